"""Single cells: what each kind of column reads, and what it says about the rest."""

from datetime import date
from decimal import Decimal

import pytest

from planner.tables.cells import CellError, read_cell, write_cell
from planner.tables.columns import Column, Kind
from planner.tables.values import StockStatus, Weekday, YearlyDay

MONDAY, TUESDAY, FRIDAY, SATURDAY, SUNDAY = (tuple(Weekday)[number] for number in (0, 1, 4, 5, 6))


def column(kind: Kind, choices: tuple[str, ...] = ()) -> Column:
    return Column(name="cell", kind=kind, meaning="a cell", required=True, choices=choices)


def value_of(kind: Kind, text: str) -> object:
    cell = read_cell(column(kind), text)
    assert cell is not None
    return cell.value


@pytest.mark.parametrize("text", ["", "  ", "\t\N{NO-BREAK SPACE}\n"])
@pytest.mark.parametrize("kind", Kind)
def test_a_blank_cell_of_any_kind_is_not_given(kind: Kind, text: str) -> None:
    assert read_cell(column(kind), text) is None


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        (Kind.NAME, "  sea  salt\N{NO-BREAK SPACE}bar ", "sea salt bar"),
        (Kind.NAME, "cafe\N{COMBINING ACUTE ACCENT}", "caf\N{LATIN SMALL LETTER E WITH ACUTE}"),
        (Kind.TEXT, " two\r\nlines ", "two\nlines"),
        (Kind.NUMBER, " 2,5 ", Decimal("2.5")),
        (Kind.WHOLE, "12", Decimal(12)),
        (Kind.DATE, " 2026-08-31", "2026-08-31"),
        (Kind.YEARLY_DATE, "2026-08-31", "2026-08-31"),
        (Kind.YEARLY_DATE, "--10-31", YearlyDay(10, 31)),
        (Kind.YEARLY_DATE, "--02-29", YearlyDay(2, 29)),
        (Kind.MONTH, "2026-12", "2026-12"),
        (Kind.CHOICE, "Monday ", "monday"),
        (Kind.WEEKDAYS, "Friday, MONDAY", (MONDAY, FRIDAY)),
        (Kind.WEEKDAYS, "monday/friday;tuesday monday", (MONDAY, TUESDAY, FRIDAY)),
        (Kind.WEEKDAYS, "Monday - Friday", tuple(Weekday)[:5]),
        (Kind.WEEKDAYS, "friday\N{EN DASH}monday", (MONDAY, FRIDAY, SATURDAY, SUNDAY)),
        (Kind.UNIT, "KG", "kg"),
        (Kind.UNIT, "us fl oz", "fl oz US"),
        (Kind.CURRENCY, "eur", "EUR"),
        (Kind.COUNTRY, "de", "DE"),
        (Kind.SUBDIVISION, "by", "BY"),
    ],
)
def test_stray_spaces_and_spellings_are_evened_out(kind: Kind, text: str, value: object) -> None:
    assert value_of(kind, text) == value


@pytest.mark.parametrize(
    ("kind", "text", "message"),
    [
        (Kind.NUMBER, "5 %", "expected a number; write the number alone"),
        (Kind.WHOLE, "1,500", "expected a whole number; write it without a comma"),
        (Kind.DATE, "31.08.2026", "a date such as 2026-08-31; write year, month and day with"),
        (Kind.DATE, "8/31/2026", "write year, month and day with dashes"),
        (Kind.DATE, "20260831", "write year, month and day with dashes"),
        (Kind.DATE, "1788134400", "write year, month and day with dashes"),
        (Kind.DATE, "--08-31", "write year, month and day with dashes"),
        (Kind.YEARLY_DATE, "--13-01", "there is no such day in the calendar"),
        (Kind.YEARLY_DATE, "--02-30", "there is no such day in the calendar"),
        (Kind.MONTH, "2026-13", "a month such as 2026-08; write the year, a dash and the month"),
        (Kind.MONTH, "August", "write the year, a dash and the month"),
        (Kind.WEEKDAYS, "monday, funday", '"funday" is no weekday: write its English name'),
        (Kind.WEEKDAYS, "monday-", '"monday-" is no weekday'),
        (Kind.UNIT, "fl oz", 'expected "fl oz US" or "fl oz imp"; "fl oz" differs between'),
        (Kind.UNIT, "gal", 'expected "gal US" or "gal imp"; "gal" differs between'),
        (Kind.UNIT, "cup", "expected one of mg, g, kg, .*; write one of these units"),
        (Kind.CURRENCY, "euro", "a currency code such as EUR; write the three letters of ISO 4217"),
        (Kind.COUNTRY, "Germany", "a country code such as DE; write the two letters of ISO 3166-1"),
        (Kind.SUBDIVISION, "DE-BY", "write what follows the dash in ISO 3166-2: BY for DE-BY"),
        (Kind.NAME, "mint\x1b[31m", "a short name; write it anew: it holds an invisible control"),
    ],
)
def test_a_cell_that_cannot_be_read_says_what_to_do(kind: Kind, text: str, message: str) -> None:
    with pytest.raises(CellError, match=message):
        read_cell(column(kind), text)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (None, ""),
        (12, "12"),
        (Decimal("1E+3"), "1000"),
        (Decimal("0.0000001"), "0.0000001"),
        (Decimal("2.50"), "2.50"),
        (date(2026, 8, 31), "2026-08-31"),
        (YearlyDay(2, 9), "--02-09"),
        ((MONDAY, FRIDAY), "monday, friday"),
        (StockStatus.FREE, "free"),
    ],
)
def test_values_are_written_plainly(value: object, text: str) -> None:
    assert write_cell(value) == text
