"""From tables to the workshop as a whole."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.build import build
from planner.tables.columns import Column, Kind
from planner.tables.reader import read_folder
from planner.tables.rows import (
    ClosureRow,
    Tables,
)
from planner.tables.schema import all_tables
from planner.tables.values import (
    MaterialKind,
    OrderStatus,
    Per,
    StockStatus,
    Weekday,
    YearlyDay,
)
from planner.units import known_units
from planner.workshop import (
    DemandKind,
    Unit,
)
from tests.checks.good import GOOD, TODAY, added, changed, without
from tests.records.built import built

DATA = Path(__file__).parent.parent / "data"


def test_name_days_and_money() -> None:
    workshop = built()
    assert (workshop.name, workshop.currency, workshop.currency_digits) == ("Brook", "EUR", 2)
    assert (workshop.first_day, workshop.days) == (TODAY, 60)
    assert len(workshop.minutes) == 60


def test_the_same_tables_give_the_same_workshop() -> None:
    assert built() == built()
    assert repr(built()) == repr(built())


def test_hands_closures_holidays_and_extra_days() -> None:
    minutes = built().minutes
    assert minutes[0:7] == (300, 0, 300, 0, 0, 0, 0), "Ada on Monday, Ada and Ben on Wednesday"
    assert minutes[9] == 0, "the workshop is closed on Wednesday 9 September"
    assert minutes[12] == 100, "Ada works on Saturday 12 September"
    assert minutes[16] == 300


def test_a_public_holiday_closes_the_workshop() -> None:
    tables = changed("hands", 0, weekday=Weekday.SATURDAY)
    assert built(tables).minutes[33] == 0, "3 October 2026, a Saturday, is a holiday in Germany"
    abroad = changed("workshop", 0, tables, country=None)
    assert built(abroad).minutes[33] == 300


def test_a_holiday_of_a_subdivision() -> None:
    tables = changed("workshop", 0, horizon_days=70, subdivision="BB")
    tables = changed("hands", 0, tables, weekday=Weekday.SATURDAY)
    assert built(tables).minutes[61] == 0, "31 October is a holiday in Brandenburg"
    assert built(changed("workshop", 0, tables, subdivision=None)).minutes[61] == 300


def test_a_person_on_holiday() -> None:
    away = ClosureRow(who="Ada", first_day=date(2026, 8, 31), last_day=date(2026, 9, 2))
    assert built(added("closures", away)).minutes[0:3] == (0, 0, 60)


def test_costs_and_their_defaults() -> None:
    costs = built().costs
    assert (costs.capital, costs.safety) == (Fraction(1, 10), Fraction(1, 1000))
    assert (costs.clean_down, costs.frozen_days) == (0, 0)
    tables = changed("workshop", 0, clean_down=Decimal("3.50"), capital_percent=Decimal("7.5"))
    assert built(tables).costs.clean_down == 350
    assert built(tables).costs.capital == Fraction(75, 1000)


def test_a_currency_without_decimals() -> None:
    workshop = built(changed("workshop", 0, currency="JPY"))
    assert workshop.currency_digits == 0
    assert workshop.products["rose"].price == 10
    assert workshop.products["mint"].price == 13, "12.50 is rounded half up, with a warning"


# Whole workshops


@pytest.mark.parametrize("folder", ["demo", "first"])
def test_the_ready_made_workshops_have_no_error(folder: str) -> None:
    tables, findings = read_folder(DATA / folder)
    assert findings == ()
    workshop = built(tables)
    assert set(workshop.values) == {
        *workshop.materials,
        *workshop.preparations,
        *workshop.products,
    }


def test_a_workshop_with_required_columns_only() -> None:
    bare = replace(
        GOOD, closures=(), extra_days=(), stock=(), open_orders=(), in_progress=(), demand=(),
        sales=(), budget=(), cash=(), places=(),
    )  # fmt: skip
    workshop = built(changed("products", 0, bare, place=None))
    assert (workshop.lots, workshop.underway, workshop.demand) == ((), (), ())


NAMES = ("wax", "glycerite", "toner", "box", "mint", "rose", "pot", "Mill", "Ada", "workshop", "?")


def cells(column: Column) -> st.SearchStrategy[Any]:
    """Cells that the reader would let pass, at and between the column's bounds."""
    if column.kind in (Kind.WHOLE, Kind.NUMBER):
        numbers = st.sampled_from(_numbers(column))
        return numbers if column.kind is Kind.WHOLE else numbers.map(lambda one: Decimal(one))
    if column.choices:
        return st.sampled_from(column.choices).map(lambda text: _member(column, text))
    strategies: dict[Kind, st.SearchStrategy[Any]] = {
        Kind.DATE: st.dates(date(2026, 7, 1), date(2027, 7, 1)),
        Kind.YEARLY_DATE: st.sampled_from([date(2026, 9, 20), YearlyDay(2, 29), YearlyDay(9, 1)]),
        Kind.MONTH: st.sampled_from(["2020-01", "2026-09", "2199-12"]),
        Kind.UNIT: st.sampled_from(known_units()),
        Kind.CURRENCY: st.sampled_from(["EUR", "JPY", "KWD", "ZZZ"]),
        Kind.COUNTRY: st.sampled_from(["DE", "GB", "QX"]),
        Kind.SUBDIVISION: st.sampled_from(["BY", "QX"]),
    }
    return strategies.get(column.kind, st.sampled_from(NAMES))


def _numbers(column: Column) -> list[int]:
    """Whole numbers at and near the bounds of a column."""
    low = column.minimum if isinstance(column.minimum, int) else (column.above or 0) + 1
    high = column.maximum if isinstance(column.maximum, int) else (column.below or 0) - 1
    return sorted({low, min(low + 1, high), min(low + 40, high), high})


ENUMERATIONS = (DemandKind, Unit, MaterialKind, StockStatus, OrderStatus, Per, Weekday)


def _member(column: Column, text: str) -> Any:
    """The member of the enumeration that the column's choices come from."""
    if column.kind is Kind.WEEKDAYS:
        return (Weekday(text),)
    row = next(kind for kind in ENUMERATIONS if [str(one) for one in kind] == list(column.choices))
    return row(text)


@st.composite
def spoiled(draw: st.DrawFn) -> Tables:
    """The good tables with one to four cells replaced by others that can be read."""
    tables = GOOD
    places = [
        (name, index, column)
        for name, table in all_tables().items()
        for index in range(len(getattr(GOOD, name)))
        for column in table.columns
        if not column.choices or column.kind is Kind.WEEKDAYS or _has_member(column)
    ]
    for name, index, column in draw(st.lists(st.sampled_from(places), min_size=1, max_size=4)):
        blank = [] if column.required else [st.just(column.default)]
        value = draw(st.one_of(cells(column), *blank))
        tables = changed(name, index, tables, **{column.name: value})
    return tables


def _has_member(column: Column) -> bool:
    return any([str(one) for one in kind] == list(column.choices) for kind in ENUMERATIONS)


@pytest.mark.slow
@settings(max_examples=50, deadline=None)
@given(tables=spoiled())
def test_spoiled_tables_give_findings_and_never_a_crash(tables: Tables) -> None:
    workshop, findings = build(tables, TODAY)
    assert (workshop is None) == any(finding.is_error for finding in findings)
    if workshop is not None:
        assert len(workshop.minutes) == workshop.days
        for one in workshop.offers.values():
            assert all(
                0 <= day.order <= day.arrive <= day.usable < workshop.days for day in one.deliveries
            )
            assert one.steps[0].packs == one.min_packs
            assert one.amount > 0
        assert all(row.day < workshop.days for row in workshop.demand)


def test_rows_left_out_by_the_reader_leave_no_workshop() -> None:
    workshop, findings = build(without("stock", 0), TODAY, complete=False)
    assert workshop is None
    assert findings == ()
