"""Amounts, money and days as words, for messages about broken rules and shortfalls."""

from decimal import Decimal

from planner.days import date_of, day_text
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
    """Minor units of money, written in the currency: 1250 cents is "12.50 EUR"."""
    return f"{Decimal(minor).scaleb(-workshop.currency_digits):,f} {workshop.currency}"


def day_words(workshop: Workshop, day: int) -> str:
    """A day number as a date with its weekday: "Mon 2026-08-31"."""
    if abs(day) > _CENTURY:
        return f"day {day}"
    return day_text(date_of(workshop.first_day, day))


def _plain(number: Decimal) -> str:
    """The number with commas between thousands and without zeros at its end."""
    text = f"{number:,f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
