from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from enum import Enum
from typing import Any

import pytest

from planner.store import digest_of
from planner.tables.rows import StockRow, Tables
from planner.tables.schema import all_tables
from planner.tables.values import Weekday, YearlyDay
from tests.store.samples import TABLES


def another(value: Any) -> Any:
    """A value of the same kind that is not `value`."""
    match value:
        case Enum():
            return next(each for each in type(value) if each is not value)
        case Decimal() | int():
            return value + 1
        case date():
            return value + timedelta(days=1)
        case YearlyDay():
            return YearlyDay(value.month, value.day - 1)
        case tuple():
            return (*value, Weekday.SUNDAY)
        case None:
            return "given"
        case _:
            return value + "'"


def every_change() -> Iterator[tuple[str, Tables]]:
    """The tables with one cell changed, for every column of every table."""
    for name, table in all_tables().items():
        first, *others = getattr(TABLES, name)
        for column in table.columns:
            changed = replace(first, **{column.name: another(getattr(first, column.name))})
            yield f"{name}.{column.name}", replace(TABLES, **{name: (changed, *others)})


def test_every_cell_counts() -> None:
    digests = {place: digest_of(tables) for place, tables in every_change()}
    assert len({digest_of(TABLES), *digests.values()}) == len(digests) + 1


def test_row_numbers_do_not_count() -> None:
    moved = tuple(replace(row, row=row.row + 40) for row in TABLES.demand)
    assert digest_of(replace(TABLES, demand=moved)) == digest_of(TABLES)


def test_the_order_of_rows_counts() -> None:
    turned = replace(TABLES, demand=TABLES.demand[::-1])
    assert digest_of(turned) != digest_of(TABLES)


def test_a_row_in_another_table_is_another_content() -> None:
    none = replace(TABLES, sales=(), cash=())
    assert digest_of(none) != digest_of(replace(TABLES, sales=()))


@pytest.mark.parametrize(
    ("written", "same"),
    [("9.60", "9.6"), ("100", "1E+2"), ("0", "0.000"), ("0", "-0"), ("10.0", "10")],
)
def test_a_number_is_the_same_however_it_is_written(written: str, same: str) -> None:
    one, other = (
        replace(TABLES, stock=(StockRow(item="box", lot="1", quantity=Decimal(text)),))
        for text in (written, same)
    )
    assert digest_of(one) == digest_of(other)


def test_the_digest_does_not_change_from_one_version_to_the_next() -> None:
    """A changed digest makes every kept plan stale: change this value only on purpose."""
    assert digest_of(TABLES) == "bdca7c17f2d264bf0a3d611106bb53f993f38653df6f3560075048cb8fee1a07"
