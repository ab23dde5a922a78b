from datetime import date
from fractions import Fraction

import pytest

from planner.workshop import Unit
from reports.words import (
    Currency,
    Dates,
    amount_text,
    count_text,
    days_text,
    list_text,
    percent_text,
    weighed_text,
)

EURO = Currency(code="EUR")
YEN = Currency(code="JPY", digits=0)
AUTUMN = Dates(first=date(2026, 8, 31))


@pytest.mark.parametrize(
    ("amount", "unit", "text"),
    [
        (0, Unit.GRAM, "0 g"),
        (1, Unit.GRAM, "0.0 g"),
        (9_949, Unit.GRAM, "9.9 g"),
        (10_000, Unit.GRAM, "10 g"),
        (364_400, Unit.GRAM, "364 g"),
        (999_499, Unit.GRAM, "999 g"),
        (999_500, Unit.GRAM, "1.00 kg"),
        (9_600_000, Unit.GRAM, "9.60 kg"),
        (9_605_000, Unit.GRAM, "9.61 kg"),  # half up
        (125_000_000, Unit.GRAM, "125.0 kg"),
        (2_000_000, Unit.MILLILITRE, "2.00 l"),
        (250_000, Unit.MILLILITRE, "250 ml"),
        (1, Unit.PIECE, "1 ea"),
        (1400, Unit.PIECE, "1,400 ea"),
    ],
)
def test_amounts_carry_a_unit_that_suits_their_size(amount: int, unit: Unit, text: str) -> None:
    assert amount_text(amount, unit) == text


@pytest.mark.parametrize(
    ("amount", "unit", "text"),
    [
        (4_659_140, Unit.GRAM, "4,659 g"),
        (64_264, Unit.GRAM, "64.3 g"),
        (100_000, Unit.MILLILITRE, "100 ml"),
        (2, Unit.PIECE, "2 ea"),
    ],
)
def test_what_is_weighed_keeps_the_grams(amount: int, unit: Unit, text: str) -> None:
    assert weighed_text(amount, unit) == text


def test_money_carries_its_currency_and_minor_digits() -> None:
    assert EURO.text(123_000) == "EUR 1,230.00"
    assert EURO.text(-5) == "EUR -0.05"
    assert YEN.text(1230) == "JPY 1,230"


def test_money_for_programs_is_an_exact_decimal_string() -> None:
    assert EURO.exact(123_000) == "1230.00"
    assert YEN.exact(1230) == "1230"
    assert EURO.exact_thousandths(123_000_000) == "1230.00"
    assert EURO.exact_thousandths(1_234_500) == "12.345"
    assert EURO.exact_thousandths(-1_234_500) == "-12.345"
    assert YEN.exact_thousandths(1_500) == "1.5"


def test_thousandths_round_half_up_to_the_minor_unit() -> None:
    assert EURO.text_thousandths(1_234_499) == "EUR 12.34"
    assert EURO.text_thousandths(1_234_500) == "EUR 12.35"


def test_dates_carry_their_weekday_and_the_year_only_if_it_is_another() -> None:
    assert AUTUMN.text(0) == "Mon 31 Aug"
    assert AUTUMN.text(46) == "Fri 16 Oct"
    assert AUTUMN.text(123) == "Fri 1 Jan 2027"
    assert AUTUMN.text(-250) == "Wed 24 Dec 2025"
    assert AUTUMN.full(0) == "Mon 31 Aug 2026"
    assert AUTUMN.iso(46) == "2026-10-16"
    assert AUTUMN.iso(None) is None


def test_a_span_of_one_day_is_written_as_one_date() -> None:
    assert AUTUMN.between(3, 3) == "Thu 3 Sep"
    assert AUTUMN.between(3, 9) == "Thu 3 Sep to Wed 9 Sep"


def test_days_in_a_row_are_written_as_one_span() -> None:
    assert AUTUMN.spans((0, 2, 3, 4, 7)) == ["Mon 31 Aug", "Wed 2 Sep to Fri 4 Sep", "Mon 7 Sep"]
    assert AUTUMN.spans(()) == []


def test_weeks_count_as_iso_8601_counts_them() -> None:
    # ISO 8601: week 1 holds the year's first Thursday; 2026 has 53 weeks.
    assert AUTUMN.week(0) == "week 36"
    assert AUTUMN.week(123) == "week 53"
    assert AUTUMN.week(126) == "week 1"
    assert AUTUMN.week_start(6) == 0
    assert Dates(first=date(2026, 9, 2)).week_start(0) == -2


def test_counts_shares_and_lists_are_written_in_words() -> None:
    assert count_text(1, "batch", "batches") == "1 batch"
    assert count_text(2, "batch", "batches") == "2 batches"
    assert count_text(0, "bar") == "0 bars"
    assert percent_text(Fraction(2, 3)) == "67 %"
    assert percent_text(Fraction(5, 4)) == "125 %"
    assert percent_text(None) == "-"
    assert list_text(("a", "b", "c")) == "a, b, c"
    assert list_text(("a", "b", "c"), 2) == "a, b and 1 more"


def test_all_and_nothing_are_only_said_of_all_and_nothing() -> None:
    assert percent_text(Fraction(1999, 2000)) == "99 %"
    assert percent_text(Fraction(1)) == "100 %"
    assert percent_text(Fraction(1, 2000)) == "1 %"
    assert percent_text(Fraction(0)) == "0 %"


def test_long_covers_are_told_in_weeks() -> None:
    assert days_text(1) == "1 day"
    assert days_text(13) == "13 days"
    assert days_text(17) == "2.4 weeks"
