"""The shelves: every lot of every item, and the books of what came, went and spoiled.

At each use the lot that expires first goes first (textbook: first expired, first out). Among lots
of one use-by date the one usable earliest goes first, then opening stock before open orders before
what the plan buys or makes, then by lot name.
"""

from bisect import insort
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import IntEnum
from fractions import Fraction
from itertools import accumulate
from sys import maxsize

from planner.account import Flow, Peg, Rule, Waste
from planner.replay.faults import Faults
from planner.replay.quantities import half_up
from planner.wording import amount_words
from planner.workshop import Workshop

NEVER = maxsize
"""The use-by day of a lot that does not expire."""


class Source(IntEnum):
    """Where a lot comes from, in the order in which lots of one date are used."""

    OPENING = 0
    OPEN_ORDER = 1
    PLAN = 2


@dataclass(kw_only=True, order=True, slots=True)
class ShelfLot:
    """A lot and what is left of it; lots sort in the order in which they are used."""

    use_by: int
    usable: int
    source: Source
    lot: str
    amount: int = field(compare=False)


def shelf_lot(lot: str, amount: int, usable: int, use_by: int | None, source: Source) -> ShelfLot:
    """A lot for the shelf; without a use-by day it is used last."""
    last_day = NEVER if use_by is None else use_by
    return ShelfLot(use_by=last_day, usable=usable, source=source, lot=lot, amount=amount)


class Stockroom:
    """All lots by item, day by day. Days must be begun in ascending order."""

    def __init__(self, workshop: Workshop) -> None:
        self._workshop = workshop
        self._shelves: defaultdict[str, list[ShelfLot]] = defaultdict(list)
        self._coming: defaultdict[int, list[tuple[str, ShelfLot]]] = defaultdict(list)
        self._missing: defaultdict[tuple[int, str], int] = defaultdict(int)
        self._opening: defaultdict[str, int] = defaultdict(int)
        self._arrived = self._blank_books()
        self._used = self._blank_books()
        self._wasted = self._blank_books()
        self.pegs: list[Peg] = []
        self.waste: list[Waste] = []
        self._take_over()

    def _blank_books(self) -> defaultdict[str, list[int]]:
        return defaultdict(lambda: [0] * self._workshop.days)

    def _take_over(self) -> None:
        """Put opening lots on the shelves; quarantine and open orders come on their day."""
        for lot in self._workshop.lots:
            shelved = shelf_lot(lot.lot, lot.amount, lot.usable, lot.use_by, Source.OPENING)
            if lot.usable > 0:
                self.expect(lot.item, shelved)
            elif lot.amount > 0:
                insort(self._shelves[lot.item], shelved)
                self._opening[lot.item] += lot.amount
        for receipt in self._workshop.receipts:
            coming = shelf_lot(
                receipt.reference, receipt.amount, receipt.usable, None, Source.OPEN_ORDER
            )
            self.expect(receipt.material, coming)

    def expect(self, item: str, lot: ShelfLot) -> None:
        """Announce a lot that comes on the day from which it is usable."""
        self._coming[max(0, lot.usable)].append((item, lot))

    def begin(self, day: int) -> None:
        """Arrivals of the day, then what can no longer be used goes."""
        for item, lot in self._coming.pop(day, ()):
            self.put(day, item, lot)
        for item, shelf in self._shelves.items():
            while shelf and shelf[0].use_by < day:
                self._discard(day, item, shelf.pop(0))

    def put(self, day: int, item: str, lot: ShelfLot) -> None:
        """Put a lot on its shelf today; an empty one leaves no trace."""
        if lot.amount > 0:
            insort(self._shelves[item], lot)
            self._arrived[item][day] += lot.amount

    def _discard(self, day: int, item: str, lot: ShelfLot) -> None:
        self._wasted[item][day] += lot.amount
        value = Fraction(lot.amount * self._workshop.values.get(item, 0), 1_000_000)
        self.waste.append(
            Waste(day=day, item=item, lot=lot.lot, amount=lot.amount, value=half_up(value))
        )

    def take(self, day: int, item: str, amount: int, use: str) -> None:
        """Take an amount for a use, first expired first; what is missing is noted."""
        shelf = self._shelves[item]
        left = amount
        while left > 0 and shelf:
            lot = shelf[0]
            taken = min(left, lot.amount)
            lot.amount -= taken
            left -= taken
            self.pegs.append(Peg(day=day, item=item, lot=lot.lot, use=use, amount=taken))
            if lot.amount == 0:
                shelf.pop(0)
        self._used[item][day] += amount - left
        if left > 0:
            self._missing[day, item] += left

    def on_hand(self, item: str) -> int:
        """What can be used of an item right now."""
        return sum(lot.amount for lot in self._shelves[item])

    def shelf(self, item: str) -> Sequence[ShelfLot]:
        """The lots that can be used right now, in the order in which they would be."""
        return self._shelves[item]

    def remaining(self) -> Mapping[str, int]:
        """Item -> everything that is there or still to come, usable or not yet."""
        left: defaultdict[str, int] = defaultdict(int)
        for item, shelf in self._shelves.items():
            left[item] += sum(lot.amount for lot in shelf)
        for lots in self._coming.values():
            for item, lot in lots:
                left[item] += lot.amount
        return left

    def flows(self) -> dict[str, Flow]:
        """The books of every material, preparation and product, in the order of the tables."""
        workshop = self._workshop
        items = (*workshop.materials, *workshop.preparations, *workshop.products)
        return {item: self._flow(item) for item in items}

    def _flow(self, item: str) -> Flow:
        """On hand at the end of a day = the day before + arrived - used - wasted."""
        arrived, used, wasted = self._arrived[item], self._used[item], self._wasted[item]
        changes = (a - u - w for a, u, w in zip(arrived, used, wasted, strict=True))
        on_hand = tuple(accumulate(changes, initial=self._opening[item]))[1:]
        return Flow(arrived=tuple(arrived), used=tuple(used), wasted=tuple(wasted), on_hand=on_hand)

    def report_missing(self, faults: Faults) -> None:
        """Stock never goes below zero: one broken rule for each item and day that runs short."""
        for (day, item), amount in self._missing.items():
            words = amount_words(self._workshop, item, amount)
            faults.add(day, Rule.STOCK, item, f"{words} are missing for the uses of this day")
