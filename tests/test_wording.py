"""Amounts, money and days as words."""

from datetime import date

from planner.wording import (
    amount_words,
    count_words,
    date_words,
    day_words,
    mass_words,
    money_words,
)
from tests.workshops import tiny

WORKSHOP = tiny()  # begins on Mon 31 Aug 2026; base is kept in g


def test_amounts_are_written_in_the_base_unit() -> None:
    assert amount_words(WORKSHOP, "base", 1_234_500) == "1,234.5 g"
    assert amount_words(WORKSHOP, "base", 1_000_000) == "1,000 g"
    assert amount_words(WORKSHOP, "bar", 1200) == "1,200 bars"
    assert mass_words(1) == "0.001 g"


def test_one_thing_is_not_many() -> None:
    assert count_words(1, "night") == "1 night"
    assert count_words(0, "night") == "0 nights"
    assert amount_words(WORKSHOP, "bar", 1) == "1 bar"


def test_money_is_written_in_the_currency() -> None:
    assert money_words(WORKSHOP, 123_450) == "EUR 1,234.50"
    assert money_words(WORKSHOP.changed(currency="JPY", currency_digits=0), 5000) == "JPY 5,000"


def test_days_are_written_with_their_weekday_and_the_year_only_if_it_is_another() -> None:
    assert day_words(WORKSHOP, 5) == "Sat 5 Sep"
    assert day_words(WORKSHOP, -1) == "Sun 30 Aug"
    assert day_words(WORKSHOP, 122) == "Thu 31 Dec"
    assert day_words(WORKSHOP, 123) == "Fri 1 Jan 2027"
    assert day_words(WORKSHOP, -250) == "Wed 24 Dec 2025"
    assert day_words(WORKSHOP, 10**12) == "day 1000000000000"  # beyond all dates


def test_a_date_without_a_plan_carries_its_year() -> None:
    assert date_words(date(2026, 8, 31)) == "Mon 31 Aug 2026"
    assert date_words(date(2026, 8, 31), 2026) == "Mon 31 Aug"
    assert date_words(date(2027, 1, 1), 2026) == "Fri 1 Jan 2027"
