"""A row of a table as values that SQLite keeps, and back, exactly.

Numbers become decimal text, dates ISO text, words their own text, weekdays a JSON array; blank is
NULL. Whole numbers and text stay as they are.
"""

import json
from collections.abc import Callable, Mapping
from dataclasses import fields
from datetime import date
from decimal import Decimal
from enum import StrEnum
from functools import partial
from types import NoneType, UnionType
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

from planner.tables.columns import Row
from planner.tables.values import YearlyDay

Cell = str | int | None
R = TypeVar("R", bound=Row)

# The number of a table's first row, as a spreadsheet counts: the header is row 1.
FIRST_ROW = 2


def columns(record: type[Row]) -> tuple[str, ...]:
    """The names of the record's columns in their order; the row's number is not one of them."""
    return tuple(field.name for field in fields(record) if field.name != "row")


def to_cells(row: Row) -> dict[str, Cell]:
    """The row's columns, by name, as the store keeps them."""
    return {name: to_cell(getattr(row, name)) for name in columns(type(row))}


def to_cell(value: Any) -> Cell:
    """One value of a row as the store keeps it."""
    match value:
        case Decimal():
            return decimal_text(value)
        case date():
            return value.isoformat()
        case tuple():
            return json.dumps([to_cell(each) for each in value])
        case StrEnum() | YearlyDay():
            return str(value)
        case str() | int() | None:
            return value
    raise TypeError(f"{value!r} has no form in the store")


def decimal_text(number: Decimal) -> str:
    """All digits of the number, without exponent and without a minus before nothing."""
    return format(number if number else number.copy_abs(), "f")


def row_reader(record: type[R]) -> Callable[[Mapping[str, Any]], R]:
    """A function that puts a row of type `record` together again from its cells and its `row`."""
    hints = get_type_hints(record)
    readers = {name: _reader(hints[name]) for name in columns(record)}

    def read(cells: Mapping[str, Any]) -> R:
        values = {
            name: None if cells[name] is None else reader(cells[name])
            for name, reader in readers.items()
        }
        return record(row=cells["row"], **values)

    return read


def _reader(hint: Any) -> Callable[[Any], Any]:
    union = get_origin(hint) in (Union, UnionType)
    given = [part for part in get_args(hint) if part is not NoneType] if union else [hint]
    if YearlyDay in given:
        return _season_day
    if get_origin(given[0]) is tuple:
        return partial(_words, get_args(given[0])[0])
    return date.fromisoformat if given[0] is date else given[0]


def _season_day(text: str) -> date | YearlyDay:
    if text.startswith("--"):
        return YearlyDay(int(text[2:4]), int(text[5:7]))
    return date.fromisoformat(text)


def _words(kind: Callable[[str], StrEnum], text: str) -> tuple[StrEnum, ...]:
    return tuple(kind(word) for word in json.loads(text))
