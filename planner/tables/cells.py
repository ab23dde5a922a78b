"""One cell: from the text in the file to the plain value that its column is checked with.

Trims stray spaces and evens out spelling (capitals, units, ranges of weekdays). Bounds and types
are not its business: the row classes' annotations hold them.
"""

import re
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from planner.tables.columns import Column, Kind
from planner.tables.numerals import NumeralError, read_numeral
from planner.tables.values import Weekday, YearlyDay
from planner.tables.wording import expected_of
from planner.units import UnitError, canonical_unit

_YEAR_FIRST = "write year, month and day with dashes, the year in four digits"


class CellError(ValueError):
    """A cell that cannot be read: what was expected there, and what to do."""

    def __init__(self, expected: str, action: str) -> None:
        self.expected = expected
        self.action = action
        super().__init__(f"expected {expected}; {action}")


@dataclass(frozen=True)
class Cell:
    """The value of a cell, and whether a number in it was written with a decimal comma."""

    value: Any
    had_comma: bool = False


def read_cell(column: Column, text: str, commas_expected: bool = False) -> Cell | None:
    """The value of the cell with this text; None if it is blank.

    `commas_expected` is explained at `read_numeral`. Raises CellError.
    """
    text = text.strip()
    if not text:
        return None
    if any(unicodedata.category(sign) == "Cc" and sign not in "\n\r\t" for sign in text):
        raise CellError(expected_of(column), "write it anew: it holds an invisible control sign")
    if column.kind.is_numeric:
        return _number(column, text, commas_expected)
    try:
        return Cell(_READERS[column.kind](text))
    except _ActionError as error:
        raise CellError(expected_of(column), str(error)) from error
    except UnitError as error:
        raise CellError(error.expected, error.action) from error


class _ActionError(ValueError):
    """Carries what to do about a cell; `read_cell` adds what was expected."""


def _number(column: Column, text: str, commas_expected: bool) -> Cell:
    if column.kind is Kind.WHOLE and "," in text:
        raise CellError(expected_of(column), "write it without a comma")
    try:
        numeral = read_numeral(text, commas_expected)
    except NumeralError as error:
        raise CellError(expected_of(column), str(error)) from error
    return Cell(numeral.value, numeral.had_comma)


def _text(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _name(text: str) -> str:
    """Names are compared, so spaces and the ways to write an accent are evened out."""
    return unicodedata.normalize("NFC", " ".join(text.split()))


def _date(text: str) -> str:
    if not re.fullmatch("[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        raise _ActionError(_YEAR_FIRST)
    return text


def _yearly_date(text: str) -> str | YearlyDay:
    found = re.fullmatch("--([0-9]{2})-([0-9]{2})", text)
    if found is None:
        return _date(text)
    month, day = int(found[1]), int(found[2])
    try:
        date(2000, month, day)  # a leap year, so that --02-29 is a day
    except ValueError as error:
        raise _ActionError("there is no such day in the calendar: correct it") from error
    return YearlyDay(month, day)


def _choice(text: str) -> str:
    return text.casefold()


def _weekdays(text: str) -> tuple[Weekday, ...]:
    """Weekdays apart by commas, semicolons, slashes or spaces; a dash means from ... to."""
    joined = re.sub("\\s*[-\N{EN DASH}]\\s*", "-", text.casefold())
    words = [word for word in re.split(r"[\s,;/]+", joined) if word]
    chosen = [weekday for word in words for weekday in _span(word)]
    return tuple(weekday for weekday in Weekday if weekday in chosen)


def _span(word: str) -> tuple[Weekday, ...]:
    first, dash, last = word.partition("-")
    try:
        start, end = Weekday(first).number, Weekday(last if dash else first).number
    except ValueError as error:
        raise _ActionError(f'"{word}" is no weekday: write its English name in full') from error
    week = tuple(Weekday)
    return week[start : end + 1] if start <= end else week[start:] + week[: end + 1]


def _code(pattern: str, action: str) -> Callable[[str], str]:
    """A reader of codes that must fit a pattern, whatever their capitals."""

    def read(text: str) -> str:
        if not re.fullmatch(pattern, text.upper()):
            raise _ActionError(action)
        return text.upper()

    return read


_READERS: Mapping[Kind, Callable[[str], object]] = {
    Kind.TEXT: _text,
    Kind.NAME: _name,
    Kind.DATE: _date,
    Kind.YEARLY_DATE: _yearly_date,
    Kind.MONTH: _code("2[01][0-9]{2}-(0[1-9]|1[0-2])", "write the year, a dash and the month"),
    Kind.CHOICE: _choice,
    Kind.WEEKDAYS: _weekdays,
    Kind.UNIT: canonical_unit,
    Kind.CURRENCY: _code("[A-Z]{3}", "write the three letters of ISO 4217"),
    Kind.COUNTRY: _code("[A-Z]{2}", "write the two letters of ISO 3166-1"),
    Kind.SUBDIVISION: _code(
        "[A-Z0-9]{1,3}", "write what follows the dash in ISO 3166-2: BY for DE-BY"
    ),
}


def write_cell(value: object) -> str:
    """The text from which `read_cell` and the column's type give `value` again."""
    if value is None:
        return ""
    if isinstance(value, Decimal):
        return format(value, "f")  # never with an exponent
    if isinstance(value, tuple):
        return ", ".join(str(part) for part in value)
    return value.isoformat() if isinstance(value, date) else str(value)
