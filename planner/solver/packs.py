"""What the packs of a material cost at least beyond their value, by how much is used in all.

Packs are whole, come in few sizes, and cost less from so many on; what is left over beyond what was
used counts for nothing. On which days they are ordered is left open, so that no plan costs less.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from planner.solver.matrix import Ints
from planner.workshop import Offer, Supplier

NEVER = 1 << 60
"""What cannot be ordered costs so much."""

MOST = 3_000
"""Amounts that can be bought, up to which all of them are looked at."""


@dataclass(frozen=True, kw_only=True)
class Piece:
    """Costs that rise or fall evenly while the use goes up from `first` to `last`.

    `cost` is the least at `first`, and `slope` what each smallest unit used adds to it, both in
    thousandths of a minor unit times the parts of the material's unit.
    """

    first: int
    last: int
    cost: int
    slope: int

    def at(self, use: int) -> int:
        """The cost of a use between the two."""
        return self.cost + self.slope * (use - self.first)


@dataclass(frozen=True, kw_only=True)
class Keeping:
    """What is left of a material, and what of that is lost.

    stock    all that comes without an order, in its smallest unit
    wanted   of that and of what is bought, so much does not count as too much
    parts    smallest units in one of the units whose `worth` is charged, in thousandths of a minor
             unit, if there is too much of it
    rounded  what the money goal may charge less, because it counts whole units
    """

    stock: int
    wanted: int
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


def pieces(keeping: Keeping, bought: tuple[Ints, Ints], highest: int) -> list[Piece]:
    """The least cost for every use from 0 to `highest` that something bought covers.

    Between two amounts that can be bought it is that of the larger one, less twice the worth of
    what is used where too much is left: that is used, and as much again counts. None where there
    are too many amounts.
    """
    amounts, costs = _undominated(keeping, *bought)
    if len(amounts) > MOST:
        return []
    covers = keeping.stock + amounts
    ends = sorted({*covers.tolist(), *_just_lost(keeping, amounts).tolist(), highest})
    ends = [end for end in ends if 0 <= end <= min(highest, int(covers.max()))]
    found: list[Piece] = []
    for first, last in zip([0, *(end + 1 for end in ends)], ends, strict=False):
        able = covers >= last
        ways = [
            int((keeping.parts * costs[able] + _too_much(keeping, amounts[able], use)).min())
            for use in (first, last)
        ]
        slope = (ways[1] - ways[0]) // max(1, last - first)
        _append(found, Piece(first=first, last=last, cost=ways[0], slope=slope))
    return found


def _too_much(keeping: Keeping, amounts: Ints, use: int) -> Ints:
    """What is lost with too much, for each amount bought, in the units of a piece's cost."""
    extra = keeping.stock + amounts - keeping.wanted - 2 * use
    return np.maximum(0, keeping.worth * extra - keeping.parts * keeping.rounded)


def _just_lost(keeping: Keeping, amounts: Ints) -> Ints:
    """The highest use at which something is lost with too much, for each amount bought."""
    worth = max(1, keeping.worth)
    beyond = worth * (keeping.stock + amounts - keeping.wanted) - keeping.parts * keeping.rounded
    highest: Ints = beyond // (2 * worth)
    return highest


def _undominated(keeping: Keeping, amounts: Ints, costs: Ints) -> tuple[Ints, Ints]:
    """What may be bought, but for what costs no less than more of it does with all that is left."""
    spent = keeping.parts * costs + keeping.worth * amounts
    least = np.minimum.accumulate(spent[::-1])[::-1]
    useful = spent < np.append(least[1:], np.iinfo(np.int64).max)
    return amounts[useful], costs[useful]


def _append(found: list[Piece], piece: Piece) -> None:
    """Append a piece, as one with the last where that goes on evenly."""
    if found:
        last = found[-1]
        rest = Piece(first=last.first, last=piece.last, cost=last.cost, slope=last.slope)
        even = rest.at(piece.first) == piece.cost
        if even and (piece.first == piece.last or piece.slope == last.slope):
            found[-1] = rest
            return
    found.append(piece)
