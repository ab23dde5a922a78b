"""The replay's own arithmetic of batches and preparations, exact until the last rounding.

Rounding always goes against the plan: masses, amounts, minutes, moulds and trays up, bars down.
"""

from collections.abc import Iterable
from fractions import Fraction
from math import ceil, floor

from planner.workshop import Packaging, Part, Preparation, Product, Unit, Workshop


def poured_mass(product: Product, bars: int) -> int:
    """Milligrams to weigh so that `bars` bars can be poured: bars x pour / (1 - loss)."""
    return ceil(Fraction(bars * product.pour_mg) / (1 - product.loss))


def charge_mass(preparation: Preparation) -> int:
    """Milligrams put together for one lot; a charge in ml weighs density times as much."""
    if preparation.unit is Unit.MILLILITRE and preparation.density is not None:
        return ceil(preparation.charge * preparation.density)
    return preparation.charge


def usable_amount(preparation: Preparation) -> int:
    """What one lot gives, in the preparation's smallest unit: charge x yield."""
    return floor(preparation.charge * preparation.yields)


def parts_taken(workshop: Workshop, formula: Iterable[Part], mass: int) -> dict[str, int]:
    """Item -> amount in its smallest unit that makes up `mass` milligrams by weight.

    A part kept in ml takes its mass / density (g/ml): so many thousandths of a millilitre.
    """
    taken: dict[str, int] = {}
    for part in formula:
        amount = ceil(part.share * mass / _milligrams_per_unit(workshop, part.item))
        taken[part.item] = taken.get(part.item, 0) + amount
    return taken


def _milligrams_per_unit(workshop: Workshop, item: str) -> Fraction:
    """What the smallest unit of an item weighs, in mg."""
    record = workshop.materials.get(item) or workshop.preparations.get(item)
    if record is None or record.unit is not Unit.MILLILITRE or record.density is None:
        return Fraction(1)
    return record.density


def sound_bars(product: Product, bars: int) -> int:
    """Bars that are not rejected: bars x (1 - reject)."""
    return floor(bars * (1 - product.reject))


def good_bars(product: Product, bars: int) -> int:
    """Bars that can be sold: the sound ones less those kept."""
    return max(0, sound_bars(product, bars) - product.keep_bars)


def packaging_taken(packaging: Iterable[Packaging], sound: int) -> dict[str, int]:
    """Material -> amount for the sound bars of a batch, in its smallest unit."""
    taken: dict[str, int] = {}
    for use in packaging:
        taken[use.material] = taken.get(use.material, 0) + ceil(use.per_bar * sound)
    return taken


def making_minutes(product: Product, bars: int) -> int:
    """Working minutes on the pour day."""
    return ceil(product.make_minutes + product.make_minutes_per_bar * bars)


def packing_minutes(product: Product, bars: int) -> int:
    """Working minutes on the pack day; every bar is handled, sound or not."""
    return ceil(product.pack_minutes_per_bar * bars)


def how_many(bars: int, in_one: int) -> int:
    """Whole moulds or trays for a batch: those of another batch never fill the last one."""
    return -(-bars // in_one)


def half_up(exact: Fraction) -> int:
    """The nearest whole number, halves up."""
    return floor(exact + Fraction(1, 2))
