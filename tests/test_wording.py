"""Amounts, money and days as words."""

from planner.wording import amount_words, count_words, day_words, mass_words, money_words
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
    assert money_words(WORKSHOP, 123_450) == "1,234.50 EUR"
    assert money_words(WORKSHOP.changed(currency="JPY", currency_digits=0), 5000) == "5,000 JPY"


def test_days_are_written_with_their_weekday() -> None:
    assert day_words(WORKSHOP, 5) == "Sat 2026-09-05"
    assert day_words(WORKSHOP, -1) == "Sun 2026-08-30"
    assert day_words(WORKSHOP, 10**12) == "day 1000000000000"  # beyond all dates
