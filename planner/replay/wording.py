"""Amounts and money as words, for the messages about broken rules."""

from decimal import Decimal

from planner.workshop import Workshop


def amount_words(workshop: Workshop, item: str, amount: int) -> str:
    """An amount in the item's smallest unit, written in its base unit: 1500 mg is "1.5 g"."""
    if item in workshop.products:
        return f"{amount} bars"
    unit = workshop.unit_of(item)
    return f"{_plain(Decimal(amount) / unit.parts)} {unit}"


def mass_words(milligrams: int) -> str:
    """A mass in milligrams, written in grams."""
    return f"{_plain(Decimal(milligrams) / 1000)} g"


def money_words(workshop: Workshop, minor: int) -> str:
    """Minor units of money, written in the currency: 1250 cents is "12.50 EUR"."""
    return f"{Decimal(minor).scaleb(-workshop.currency_digits):f} {workshop.currency}"


def _plain(number: Decimal) -> str:
    """The number without an exponent and without zeros at its end."""
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
