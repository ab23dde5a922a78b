"""What items are worth: their cost price."""

from collections.abc import Mapping
from fractions import Fraction

from planner.recipes import lot_recipe_of, recipe_of
from planner.records.money import half_up
from planner.workshop import Workshop

PER = 1000
"""A value counts for so many smallest units, or bars."""


def values_of(workshop: Workshop) -> Mapping[str, int]:
    """Cost price per 1,000 smallest units or bars, in thousandths of a minor unit.

    material     cheapest price per unit of all steps of all its offers; 0 without an offer
    preparation  value of a lot's parts / amount that can be used
    product      value of parts and packaging of a batch of the largest size / its good bars
    """
    values = {material: _cheapest(workshop, material) for material in workshop.materials}
    for preparation in workshop.preparations:
        _add_preparation(workshop, preparation, values)
    for product in workshop.products.values():
        batch = recipe_of(workshop, product.id, max(product.sizes))
        cost = _worth(batch.parts, values) + _worth(batch.packaging, values)
        values[product.id] = half_up(cost * PER / batch.good)
    return values


def _cheapest(workshop: Workshop, material: str) -> int:
    prices = [
        Fraction(step.price * 1000 * PER, offer.amount)
        for offer in workshop.offers.values()
        if offer.material == material
        for step in offer.steps
    ]
    return half_up(min(prices)) if prices else 0


def _add_preparation(workshop: Workshop, preparation: str, values: dict[str, int]) -> None:
    """Value a preparation after the preparations that go into it; they form no circle."""
    if preparation in values:
        return
    lot = lot_recipe_of(workshop, workshop.preparations[preparation])
    for part in lot.parts:
        if part in workshop.preparations:
            _add_preparation(workshop, part, values)
    values[preparation] = half_up(_worth(lot.parts, values) * PER / lot.amount)


def _worth(parts: Mapping[str, int], values: Mapping[str, int]) -> Fraction:
    """The value of some amounts, in thousandths of a minor unit."""
    return sum((Fraction(amount * values[item], PER) for item, amount in parts.items()), Fraction())
