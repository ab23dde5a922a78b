"""Units of mass, volume and pieces, and their exact sizes in the base units g, ml and ea.

Sizes come from pint's registry kept in decimal numbers, so the pound is exactly 453.59237 g and
the US fluid ounce exactly 29.5735295625 ml; nothing is rounded before the last step.
"""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from functools import cache
from math import floor
from typing import Any

from planner.errors import PlannerError
from planner.workshop import Unit

_NAMES: Mapping[str, tuple[str, ...]] = {
    "mg": ("milligram", "milligrams"),
    "g": ("gram", "grams"),
    "kg": ("kilo", "kilos", "kilogram", "kilograms"),
    "oz": ("ounce", "ounces"),
    "lb": ("lbs", "pound", "pounds"),
    "ml": ("millilitre", "millilitres", "milliliter", "milliliters"),
    "l": ("litre", "litres", "liter", "liters"),
    "fl oz US": ("us fl oz",),
    "fl oz imp": ("imp fl oz", "imperial fl oz", "fl oz imperial"),
    "gal US": ("us gal",),
    "gal imp": ("imp gal", "imperial gal", "gal imperial"),
    "ea": ("each", "pc", "pcs", "piece", "pieces"),
}
"""Each unit's name in the tables, and what else it may be called; capitals do not matter."""

_AMBIGUOUS: Mapping[str, tuple[str, str]] = {
    word: (f"{short} US", f"{short} imp")
    for short, words in {
        "fl oz": ("fl oz", "floz", "fluid ounce", "fluid ounces"),
        "gal": ("gal", "gallon", "gallons"),
    }.items()
    for word in words
}
"""Words that mean one amount in the United States and another in imperial measure."""

_PINT: Mapping[str, str] = {
    "mg": "milligram",
    "g": "gram",
    "kg": "kilogram",
    "oz": "ounce",
    "lb": "pound",
    "ml": "milliliter",
    "l": "liter",
    "fl oz US": "fluid_ounce",
    "fl oz imp": "imperial_fluid_ounce",
    "gal US": "gallon",
    "gal imp": "imperial_gallon",
}
"""What pint calls each unit."""

_MEANT: Mapping[str, str] = {
    word.casefold(): name for name, others in _NAMES.items() for word in (name, *others)
}


class UnitError(PlannerError):
    """An amount whose unit is unknown, ambiguous, or does not fit; `expected` says what would."""

    def __init__(self, found: str, expected: str, action: str) -> None:
        self.found = found
        self.expected = expected
        self.action = action
        super().__init__(f"{found}: expected {expected}; {action}")


def known_units() -> tuple[str, ...]:
    """The names of all units, as tables are written with them."""
    return tuple(_NAMES)


def canonical_unit(text: str) -> str:
    """The name of the unit that `text` means, whatever its capitals, points and spaces.

    Raises UnitError if it means none, or more than one.
    """
    word = " ".join(text.casefold().replace(".", " ").split())
    if word in _AMBIGUOUS:
        american, imperial = _AMBIGUOUS[word]
        raise UnitError(
            text,
            f'"{american}" or "{imperial}"',
            f'"{text}" differs between US and imperial measure: write which one is meant',
        )
    if word not in _MEANT:
        raise UnitError(text, f"one of {', '.join(_NAMES)}", "write one of these units")
    return _MEANT[word]


@cache
def size_of(unit: str) -> tuple[Unit, Fraction]:
    """The base unit that `unit` measures in, and how many base units make one `unit`.

    `unit` is a canonical name: size_of("kg") is (Unit.GRAM, 1000).
    """
    if unit == "ea":
        return Unit.PIECE, Fraction(1)
    quantity = _registry().Quantity(Decimal(1), _PINT[unit])
    base = Unit.GRAM if quantity.check("[mass]") else Unit.MILLILITRE
    return base, Fraction(quantity.to(_PINT[base.value]).magnitude)


def to_smallest(quantity: Decimal, unit: str, base: Unit, density: Fraction | None = None) -> int:
    """`quantity` in thousandths of `base` (g or ml) or in pieces, rounded half up.

    `density`, in g/ml, converts between mass and volume. Raises UnitError for a unit that is not
    known, that measures something else than `base`, or for a part of a piece.
    """
    name = canonical_unit(unit)
    measured, size = size_of(name)
    exact = Fraction(quantity) * size * _per_base(measured, base, density, name) * base.parts
    if base is Unit.PIECE and exact.denominator != 1:
        raise UnitError(f"{quantity} {name}", "a whole number of pieces", "write whole pieces")
    return floor(exact + Fraction(1, 2))


def _per_base(measured: Unit, base: Unit, density: Fraction | None, name: str) -> Fraction:
    """How many of `base` make one of `measured`: 1, or by the density (g/ml)."""
    if measured is base:
        return Fraction(1)
    if Unit.PIECE in (measured, base):
        kinds = [known for known in _NAMES if size_of(known)[0] is base]
        raise UnitError(
            name,
            f"a unit that measures like {base.value}: {', '.join(kinds)}",
            f'"{name}" cannot be turned into {base.value}: change the unit, or the base unit',
        )
    if density is None:
        raise UnitError(
            name,
            f"a density to turn {name} into {base.value}",
            "give density_g_per_ml, or write the amount in the base unit",
        )
    return density if base is Unit.GRAM else 1 / density


@cache
def _registry() -> Any:
    """Pint's units with decimal numbers; loaded when first needed, as that takes a moment."""
    from pint import UnitRegistry

    return UnitRegistry(non_int_type=Decimal)
