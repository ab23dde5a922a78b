"""How much of each item can still be used on each day without taking it from somebody else.

Lots are spans of days on which an amount can be used. Uses happen on days. Whoever uses the lot
that expires first serves all uses whenever that is possible at all, so a plan is safe exactly if
some assignment of lots to uses exists. By Hall's theorem (P. Hall 1935, in its form for flows) it
exists if and only if, for every set of days, the lots usable on at least one of them hold no less
than what those days use. The room of a day is the smallest surplus over all sets that contain it.
"""

from collections.abc import Iterable, Sequence
from itertools import accumulate
from operator import add

import numpy as np
import numpy.typing as npt

from planner.draft.daysets import Flags, all_days, days_with
from planner.draft.offers import Span, last_use, possible_deliveries
from planner.workshop import Workshop

Ints = npt.NDArray[np.int64]

BOUNDLESS = 1 << 60
"""More than any amount: the room on a day on which an offer without limit delivers."""


def increments(total: Ints) -> Ints:
    """What each day adds to a running total."""
    added = total.copy()
    added[1:] -= total[:-1]
    return added


class Store:
    """One item: its lots, the days on which it can be bought without limit, and its uses."""

    def __init__(self, days: int, spans: Iterable[Span], boundless: Flags) -> None:
        self.days = days
        self.boundless = boundless
        self.always = bool(boundless.all())
        self.uses: Ints = np.zeros(days, np.int64)
        self.spans = [span for span in spans if span.first <= span.last]
        self._starts: list[int] = []
        self._entering: list[list[int]] = []
        self._leaving: list[list[int]] = []

    def copy(self) -> "Store":
        """A store with the same lots and uses that changes by itself."""
        twin = Store.__new__(Store)
        twin.__dict__.update(self.__dict__)
        twin.uses = self.uses.copy()
        twin.spans = list(self.spans)
        return twin

    def use(self, day: int, amount: int) -> bool:
        """Use an amount (negative: give it back); True if that changes the room of any day."""
        if self.boundless[day]:
            return False
        self.uses[day] += amount
        return True

    def add(self, span: Span) -> None:
        """One more lot."""
        self.spans.append(span)
        self._starts = []

    def remove(self, span: Span) -> None:
        """One lot less; rooms are negative where its amount is missing."""
        self.spans.remove(span)
        self._starts = []

    def balance(self) -> int:
        """All lots less all uses: below zero no timing of the lots can serve every use."""
        return sum(span.amount for span in self.spans) - int(self.uses.sum())

    def room(self) -> Ints:
        """For each day the amount that can be used in addition; negative where uses fail.

        All days between two changes of the usable lots see the same lots, so a set of days is
        best taken whole from there; only such stretches are counted through.
        """
        if not self._starts:
            self._divide()
        used = np.add.reduceat(self.uses, self._starts).tolist()
        surplus = _surplus(self._entering, self._leaving, used)
        lengths = np.diff([*self._starts, self.days])
        return np.where(self.boundless, BOUNDLESS, np.repeat(surplus, lengths))

    def _divide(self) -> None:
        """Cut the days into stretches that see the same lots."""
        cuts = [0]
        for span in self.spans:
            cuts += [span.first, span.last + 1]
        self._starts = [day for day in sorted(dict.fromkeys(cuts)) if day < self.days]
        stretch = {day: index for index, day in enumerate(self._starts)}
        lots = [
            (stretch[span.first], stretch.get(span.last + 1, len(self._starts)) - 1, span.amount)
            for span in self.spans
        ]
        self._entering, self._leaving = _columns(lots, len(self._starts))


def _columns(
    lots: Sequence[tuple[int, int, int]], stretches: int
) -> tuple[list[list[int]], list[list[int]]]:
    """Amounts first met on entering a stretch, and on leaving it, coming from every other one.

    entering[t][p + 1] is what the lots usable on stretch t hold that are not usable yet on the
    earlier stretch p (p = -1: nothing before). leaving[t][q - t - 1] is what the lots usable on a
    later stretch q hold that are not usable yet on t.
    """
    entering: list[list[int]] = []
    for here in range(stretches):
        begun = [0] * (here + 1)
        for first, last, amount in lots:
            if first <= here <= last:
                begun[first] += amount
        entering.append(list(accumulate(reversed(begun)))[::-1])
    leaving = [
        [entering[later][here + 1] for later in range(here + 1, stretches)]
        for here in range(stretches)
    ]
    return entering, leaving


def _surplus(entering: list[list[int]], leaving: list[list[int]], used: list[int]) -> list[int]:
    """The smallest surplus over all sets of stretches that contain a given one."""
    ending = [0]
    for here, column in enumerate(entering):
        ending.append(min(map(add, ending, column)) - used[here])
    beginning = [0] * len(used)
    following: list[int] = []
    for here in range(len(used) - 1, -1, -1):
        row = leaving[here]
        beginning[here] = min(0, min(map(add, row, following))) if row else 0
        following.insert(0, beginning[here] - used[here])
    return [ending[here + 1] + beginning[here] for here in range(len(used))]


class Pantry:
    """All stores, and how much of each item can still be used on each day.

    A room is counted through only where it is asked for and may have become too small: no use can
    take more from any day's room than its own amount.
    """

    def __init__(self, stores: dict[str, Store], days: int) -> None:
        self.index = {item: row for row, item in enumerate(stores)}
        self.stores = list(stores.values())
        self._all = all_days(days)
        self._rooms: list[Ints | None] = [None] * len(stores)
        self._least = [-BOUNDLESS] * len(stores)  # no day of the row has less room
        self._enough: dict[tuple[int, int], int] = {}

    def copy(self) -> "Pantry":
        """A pantry with the same contents that changes by itself."""
        twin = Pantry.__new__(Pantry)
        twin.index = self.index
        twin.stores = [store.copy() for store in self.stores]
        twin._all = self._all
        twin._rooms = self._rooms.copy()
        twin._least = self._least.copy()
        twin._enough = self._enough.copy()
        return twin

    def use(self, row: int, day: int, amount: int) -> None:
        """Use an amount of the item in `row` on a day; negative gives it back."""
        if self.stores[row].use(day, amount):
            self._changed(row, amount)

    def add(self, row: int, span: Span) -> None:
        """One more lot of the item in `row`."""
        self.stores[row].add(span)
        self._changed(row, 0)

    def remove(self, row: int, span: Span) -> None:
        """One lot less of the item in `row`."""
        self.stores[row].remove(span)
        self._changed(row, span.amount)

    def room(self, row: int) -> Ints:
        """The room of an item on each day; not to be changed."""
        room = self._rooms[row]
        if room is None:
            room = self._rooms[row] = self.stores[row].room()
            self._least[row] = int(room.min(initial=BOUNDLESS))
        return room

    def enough(self, row: int, amount: int) -> int:
        """The days on which an amount of an item can be used."""
        if self._least[row] >= amount:
            return self._all
        room = self.room(row)
        days = self._enough.get((row, amount))
        if days is None:
            days = self._enough[row, amount] = days_with(room >= amount)
        return days

    def serves_all(self, row: int) -> bool:
        """True if every use of an item can be served."""
        return self._least[row] >= 0 or bool((self.room(row) >= 0).all())

    def serves(self, row: int, day: int) -> bool:
        """True if the uses of an item that have to do with a day can be served."""
        return self._least[row] >= 0 or bool(self.room(row)[day] >= 0)

    def _changed(self, row: int, less: int) -> None:
        if less > 0:
            self._least[row] -= less
        if self._rooms[row] is not None:
            self._rooms[row] = None
            for key in [key for key in self._enough if key[0] == row]:
                del self._enough[key]


def pantry_of(workshop: Workshop) -> Pantry:
    """The stock on hand, what is on the way, and all that can still be ordered."""
    spans = spans_on_hand(workshop)
    boundless = {item: np.zeros(workshop.days, np.bool_) for item in spans}
    for offer_id, deliveries in possible_deliveries(workshop).items():
        offer = workshop.offers[offer_id]
        free = boundless[offer.material]
        for delivery in deliveries:
            last = last_use(offer, delivery, workshop.days)
            if offer.max_packs is not None:
                amount = offer.max_packs * offer.amount
                spans[offer.material].append(Span(first=delivery.usable, last=last, amount=amount))
            else:
                free[delivery.usable : last + 1] = True
                if last == workshop.days - 1:
                    break
    stores = {
        item: Store(workshop.days, _that_matter(spans[item], boundless[item]), boundless[item])
        for item in spans
    }
    return Pantry(stores, workshop.days)


def _that_matter(spans: list[Span], boundless: Flags) -> list[Span]:
    """Lots usable on some day on which the item cannot be bought without limit."""
    return [span for span in spans if not boundless[span.first : span.last + 1].all()]


def spans_on_hand(workshop: Workshop) -> dict[str, list[Span]]:
    """For each material and preparation the lots and scheduled receipts usable in the plan."""
    spans: dict[str, list[Span]] = {}
    for item in [*workshop.materials, *workshop.preparations]:
        spans[item] = []
    end = workshop.days - 1
    for lot in workshop.lots:
        if lot.item in spans:
            last = end if lot.use_by is None else min(end, lot.use_by)
            _add_span(spans[lot.item], lot.usable, last, lot.amount)
    for receipt in workshop.receipts:
        _add_span(spans[receipt.material], receipt.usable, end, receipt.amount)
    return spans


def _add_span(spans: list[Span], first: int, last: int, amount: int) -> None:
    first = max(0, first)
    if first <= last and amount > 0:
        spans.append(Span(first=first, last=last, amount=amount))
