"""What a column expects, in words: one wording for faults and for the documentation."""

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from planner.tables.columns import Column, Kind
from planner.tables.values import FIRST_DATE, LARGEST, LARGEST_COUNT, LAST_DATE
from planner.units import known_units

_UNSPOKEN = (LARGEST, LARGEST_COUNT, -LARGEST, -LARGEST_COUNT, FIRST_DATE, LAST_DATE)
"""Bounds that only catch slips of the keyboard; they are named when one is crossed."""

_EXPECTED: Mapping[Kind, str] = {
    Kind.TEXT: "text",
    Kind.NAME: "a short name",
    Kind.DATE: "a date such as 2026-08-31",
    Kind.YEARLY_DATE: "a date such as 2026-08-31, or --08-31 for every year",
    Kind.MONTH: "a month such as 2026-08",
    Kind.WEEKDAYS: "weekdays such as monday, thursday or monday-friday",
    Kind.CURRENCY: "a currency code such as EUR",
    Kind.COUNTRY: "a country code such as DE",
    Kind.SUBDIVISION: "the code of a part of the country such as BY",
}

_ACTIONS: Mapping[str, str] = {
    "int_from_float": "write it without decimals",
    "enum": "choose one of these words",
    "date_from_datetime_parsing": "there is no such day in the calendar: correct it",
}
"""What to do about each type of fault that pydantic tells apart."""

_BOUND_ACTIONS: Mapping[str, Callable[[object], str]] = {
    "ge": "write {} or more".format,
    "gt": "write a number above {}".format,
    "le": "write {} or less".format,
    "lt": "write a number below {}".format,
    "max_length": "shorten it to {} signs".format,
}
_DATE_BOUND_ACTIONS: Mapping[str, Callable[[object], str]] = {
    "ge": "write {} or later".format,
    "le": "write {} or earlier".format,
}


def expected_of(column: Column) -> str:
    """What a cell of this column should hold, for example "a whole number from 0 to 1440"."""
    if column.kind is Kind.CHOICE:
        return f"one of {', '.join(column.choices)}"
    if column.kind is Kind.UNIT:
        return f"a unit: one of {', '.join(known_units())}"
    if column.kind.is_numeric:
        return f"a {column.kind.value}{_bounds_of(column)}"
    return _EXPECTED[column.kind]


def _bounds_of(column: Column) -> str:
    low = _spoken(column.minimum)
    high = _spoken(column.maximum)
    if low is not None and high is not None:
        return f" from {low} to {high}"
    parts = [
        (f", {low} or more", low),
        (f" above {column.above}", _spoken(column.above)),
        (f", at most {high}", high),
        (f", below {column.below}", _spoken(column.below)),
    ]
    return "".join(words for words, bound in parts if bound is not None)


def _spoken(bound: int | date | None) -> int | date | None:
    return None if bound in _UNSPOKEN else bound


def action_for(column: Column, error_type: str, context: Mapping[str, Any]) -> str:
    """What to do about a cell of this column that was refused with this type of error.

    Types and contexts are those of pydantic; a bound that was crossed stands in the context.
    """
    is_date = column.kind in (Kind.DATE, Kind.YEARLY_DATE)
    says = _DATE_BOUND_ACTIONS if is_date else _BOUND_ACTIONS
    for bound, limit in context.items():
        if bound in says:
            return says[bound](limit)
    return _ACTIONS.get(error_type, "correct it")
