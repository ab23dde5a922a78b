"""What the packs of a material cost at least beyond their value, by how much is used in all.

Packs are whole, come in few sizes, and cost less from so many on; what is bought beyond what is
worth having counts for nothing. On which days they are ordered is left open, so that no plan costs
less.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from planner.solver.matrix import Ints
from planner.workshop import Offer, Supplier

NEVER = 1 << 60
"""What cannot be ordered costs so much."""

MOST = 50
"""Steps that are told one by one: those after them only cost what is far too much anyway."""


@dataclass(frozen=True, kw_only=True)
class Step:
    """What up to `most` used in all costs at least, in thousandths of a minor unit."""

    most: int
    cost: int


@dataclass(frozen=True, kw_only=True)
class Keeping:
    """What is left of a material, and what of that is lost.

    stock    all that comes without an order, in its smallest unit
    enough   of that and of what is bought, so much does not count as too much
    parts    smallest units in one of the units whose `worth` is charged, in thousandths of a minor
             unit, if there is too much of it
    rounded  what the money goal may charge less, because it counts whole units
    """

    stock: int
    enough: int
    parts: int
    worth: int
    rounded: int = 0


def order_costs(offer: Offer, supplier: Supplier | None, most: int) -> list[int]:
    """Cost of 0 to `most` packs in one order, in minor units; NEVER where none takes so many.

    Freight and the least that an order must come to count only with a supplier, who is told if
    nothing else can be in the order.
    """
    first = max(offer.min_packs, offer.steps[0].packs, 1)
    costs = [0] + [NEVER] * most
    last = most if offer.max_packs is None else min(most, offer.max_packs)
    for packs in range(first, last + 1):
        goods = packs * [step.price for step in offer.steps if step.packs <= packs][-1]
        if supplier is None:
            costs[packs] = goods
        elif goods >= (supplier.minimum_order or 0):
            free = supplier.free_freight_from
            costs[packs] = goods + (0 if free is not None and goods >= free else supplier.freight)
    return costs


def least_costs(costs: Sequence[int]) -> Ints:
    """The same in as many orders as it takes: n packs cost the least of all ways to split them."""
    one: Ints = np.array(costs, np.int64)
    least = one.copy()
    for packs in range(2, len(one)):
        ways = least[packs - 1 : 0 : -1] + one[1:packs]
        least[packs] = min(least[packs], ways.min())
    return np.minimum(least, NEVER)


def bought_in_all(offers: Sequence[tuple[int, Ints]], enough: int) -> tuple[Ints, Ints]:
    """Amounts that can be bought, rising, and the least cost of each beyond its value.

    Of each offer is told what a pack holds, and what 0, 1, 2 ... packs cost. Of amounts above what
    is `enough` only those count that cost less than any smaller one.
    """
    amounts: Ints = np.zeros(1, np.int64)
    costs: Ints = np.zeros(1, np.int64)
    for amount, own in offers:
        packs = np.flatnonzero(own < NEVER)
        amounts = (amounts[:, None] + amount * packs).ravel()
        costs = (costs[:, None] + own[packs]).ravel()
        order = np.lexsort((costs, amounts))
        amounts, costs = amounts[order], costs[order]
        first = np.append(True, amounts[1:] > amounts[:-1])
        amounts, costs = amounts[first], costs[first]
        least = np.minimum.accumulate(np.where(amounts < enough, NEVER, costs))
        useful = (amounts < enough) | (costs < np.append(NEVER, least[:-1]))
        amounts, costs = amounts[useful], costs[useful]
    return amounts, costs


def steps(keeping: Keeping, bought: tuple[Ints, Ints], highest: int) -> list[Step]:
    """The least cost for every use up to `highest` that something bought covers, rising.

    The last of too many steps costs what the first of those costs that it stands for.
    """
    amounts, costs = bought
    total = costs + _too_much(keeping, amounts)
    least = np.minimum.accumulate(total[::-1])[::-1]
    last = np.append(least[1:] > least[:-1], True)
    covers = keeping.stock + amounts[last]
    needed = np.append(True, covers[:-1] < highest)
    ends = np.minimum(covers[needed], highest).tolist()
    found = zip(ends, least[last][needed].tolist(), strict=True)
    told = [Step(most=most, cost=cost) for most, cost in found if most >= 0]
    if len(told) > MOST:
        told[MOST - 1 :] = [Step(most=told[-1].most, cost=told[MOST - 1].cost)]
    return told


def _too_much(keeping: Keeping, amounts: Ints) -> Ints:
    """What is lost with too much, for each amount bought."""
    extra = keeping.stock + amounts - keeping.enough
    lost: Ints = np.maximum(0, keeping.worth * extra // keeping.parts - keeping.rounded)
    return lost
