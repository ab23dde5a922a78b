"""How much of each material is worth having: more of it counts for nothing."""

from collections import Counter
from collections.abc import Mapping
from fractions import Fraction
from graphlib import TopologicalSorter
from math import ceil

from planner.replay.quantities import (
    charge_mass,
    good_bars,
    packaging_taken,
    parts_taken,
    poured_mass,
    sound_bars,
    usable_amount,
)
from planner.replay.selling import asked_on
from planner.workshop import Demand, DemandKind, Product, Workshop


def worth_having(workshop: Workshop) -> dict[str, int]:
    """Material -> amount in its smallest unit: what all demand takes, as much again, safety stocks.

    Less what the bars and preparations that are there, and the batches under way, save of it, but
    for the packaging that these still need. A bar takes its share of a batch of the largest size, a
    preparation of a lot; every amount is rounded up.
    """
    there = _there(workshop)
    needed: Counter[str] = Counter()
    for batch in workshop.underway:
        underway = workshop.products[batch.product]
        needed.update(packaging_taken(underway.packaging, sound_bars(underway, batch.bars)))
    for product in workshop.products.values():
        bars = 2 * _asked(workshop, product.id) - there[product.id]
        good = good_bars(product, max(product.sizes))
        _take(needed, _taken_by_batch(workshop, product), Fraction(bars, max(1, good)))
    users = {
        name: [part.item for part in record.formula if part.item in workshop.preparations]
        for name, record in workshop.preparations.items()
    }
    for name in reversed(list(TopologicalSorter(users).static_order())):
        record = workshop.preparations[name]
        amount = needed[name] + record.safety_stock - there[name]
        parts = parts_taken(workshop, record.formula, charge_mass(record))
        _take(needed, parts, Fraction(amount, max(1, usable_amount(record))))
    materials = workshop.materials.items()
    return {name: needed[name] + material.safety_stock for name, material in materials}


def _there(workshop: Workshop) -> Counter[str]:
    """Bars and preparations on hand, on the way, and in batches under way."""
    there: Counter[str] = Counter()
    for lot in workshop.lots:
        if lot.is_usable:
            there[lot.item] += lot.amount
    for batch in workshop.underway:
        there[batch.product] += good_bars(workshop.products[batch.product], batch.bars)
    return there


def _asked(workshop: Workshop, product: str) -> int:
    """Bars that the demand rows of a product ask for in all; a level counts once."""
    rows = (row for row in workshop.demand if row.product == product)
    return sum(_asked_by(row, workshop.days) for row in rows)


def _asked_by(row: Demand, days: int) -> int:
    if row.kind is not DemandKind.RETAIL:
        return row.quantity
    end = days if row.last_day is None else min(days, row.last_day + 1)
    return sum(asked_on(row, day) for day in range(max(0, row.day), end))


def _taken_by_batch(workshop: Workshop, product: Product) -> dict[str, int]:
    bars = max(product.sizes)
    taken = Counter(parts_taken(workshop, product.formula, poured_mass(product, bars)))
    taken.update(packaging_taken(product.packaging, sound_bars(product, bars)))
    return taken


def _take(needed: Counter[str], amounts: Mapping[str, int], times: Fraction) -> None:
    if times > 0:
        for item, amount in amounts.items():
            needed[item] += ceil(amount * times)
