"""Amounts, money and days as words, for messages about broken rules and shortfalls."""

from datetime import date
from decimal import Decimal

from planner.days import date_of
from planner.workshop import Workshop

_CENTURY = 36_525
"""Days; a plan that names days farther off than this is not worth a date."""


def count_words(number: int, noun: str) -> str:
    """A number of things: "1 night", "1,200 nights"."""
    return f"{number:,} {noun}" if number == 1 else f"{number:,} {noun}s"


def amount_words(workshop: Workshop, item: str, amount: int) -> str:
    """An amount in the item's smallest unit, written in its base unit: 1500 mg is "1.5 g"."""
    if item in workshop.products:
        return count_words(amount, "bar")
    unit = workshop.unit_of(item)
    return f"{_plain(Decimal(amount) / unit.parts)} {unit}"


def mass_words(milligrams: int) -> str:
    """A mass in milligrams, written in grams."""
    return f"{_plain(Decimal(milligrams) / 1000)} g"


def money_words(workshop: Workshop, minor: int) -> str:
    """Minor units of money, written in the currency: 1250 cents is "EUR 12.50"."""
    return f"{workshop.currency} {Decimal(minor).scaleb(-workshop.currency_digits):,f}"


def day_words(workshop: Workshop, day: int) -> str:
    """A day number as a date: "Mon 31 Aug", with its year where it is not that of day 0."""
    if abs(day) > _CENTURY:
        return f"day {day}"
    return date_words(date_of(workshop.first_day, day), workshop.first_day.year)


def date_words(day: date, plan_year: int | None = None) -> str:
    """A date with its weekday: "Mon 31 Aug 2026"; in the year of the plan "Mon 31 Aug".

    Every text for the maker writes its dates like this; only what another program reads, and the
    names of lots, carry them as ISO 8601.
    """
    year = "" if day.year == plan_year else f" {day.year}"
    return f"{day:%a} {day.day} {day:%b}{year}"


def _plain(number: Decimal) -> str:
    """The number with commas between thousands and without zeros at its end."""
    text = f"{number:,f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
