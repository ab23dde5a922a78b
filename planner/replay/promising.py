"""Which promises the plan's bars can keep, and whether any could be kept earlier.

A promise lets an order leave whole on a day, or a launch happen on it. Retail never stands in
their way, since it is held back for them; so promises are judged against opening stock and packed
bars alone. Bars leave first expired first out, which leaves later promises the most.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from typing import NamedTuple

from planner.account import BatchFacts, Rule
from planner.plan import Plan, Promise
from planner.replay.batches import read_batches
from planner.replay.calendar import in_plan
from planner.replay.faults import Faults
from planner.replay.making import packed_lot
from planner.replay.naming import LotNames
from planner.replay.stockroom import ShelfLot, Source, shelf_lot
from planner.wording import day_words
from planner.workshop import Demand, DemandKind, Workshop

BarLots = Mapping[str, Sequence[ShelfLot]]
"""Product -> the lots of bars that are there or come within the plan."""


class Call(NamedTuple):
    """What one promise asks of one product on a day.

    An order takes its bars away; a launch only needs them there once the day's orders have left.
    Calls sort in the order in which they are served.
    """

    day: int
    launch: bool
    turn: int
    name: str
    quantity: int


class Unmet(NamedTuple):
    """A call that cannot be met, and how many bars of the product are missing for it."""

    product: str
    call: Call
    missing: int


@dataclass(frozen=True, kw_only=True)
class Commitment:
    """An order, or a launch with all its rows; it cannot be promised before `day`."""

    name: str
    day: int
    rows: tuple[Demand, ...]

    @property
    def products(self) -> tuple[str, ...]:
        """The products it asks for, in table order."""
        return tuple(dict.fromkeys(row.product for row in self.rows))


def commitments_of(workshop: Workshop) -> dict[str, Commitment]:
    """Name -> orders and launches, in table order; a launch is due when its last row is."""
    rows: defaultdict[str, list[Demand]] = defaultdict(list)
    for row in workshop.demand:
        if row.kind is DemandKind.ORDER:
            rows[row.id].append(row)
        elif row.kind is DemandKind.LAUNCH:
            rows[row.launch].append(row)
    return {
        name: Commitment(name=name, day=max(0, *(row.day for row in found)), rows=tuple(found))
        for name, found in rows.items()
    }


def bar_lots(workshop: Workshop, batches: Iterable[BatchFacts]) -> BarLots:
    """Opening lots of bars, and the good bars of every batch packed within the plan."""
    lots: defaultdict[str, list[ShelfLot]] = defaultdict(list)
    for lot in workshop.lots:
        if lot.item in workshop.products:
            shelved = shelf_lot(lot.lot, lot.amount, lot.usable, lot.use_by, Source.OPENING)
            lots[lot.item].append(shelved)
    for batch in batches:
        if batch.pack is not None and in_plan(workshop, batch.pack):
            lots[batch.product].append(packed_lot(workshop, batch, batch.pack))
    return lots


def first_unmet(lots: Iterable[ShelfLot], calls: Iterable[Call]) -> tuple[Call, int] | None:
    """The first call that the lots cannot meet, and how many bars are missing; None if none."""
    coming = sorted(((lot.usable, lot.use_by, lot.amount) for lot in lots), reverse=True)
    shelf: list[tuple[int, int]] = []  # (use_by, bars), the soonest to expire on top
    on_hand = 0
    for call in sorted(calls):
        while coming and coming[-1][0] <= call.day:
            _, use_by, bars = coming.pop()
            heappush(shelf, (use_by, bars))
            on_hand += bars
        while shelf and shelf[0][0] < call.day:
            on_hand -= heappop(shelf)[1]
        if on_hand < call.quantity:
            return call, call.quantity - on_hand
        if not call.launch:
            on_hand -= call.quantity
            _take_bars(shelf, call.quantity)
    return None


def _take_bars(shelf: list[tuple[int, int]], quantity: int) -> None:
    """Take bars off a heap that holds enough of them."""
    while quantity > 0:
        use_by, bars = heappop(shelf)
        if bars > quantity:
            heappush(shelf, (use_by, bars - quantity))
        quantity -= bars


class PromiseBook:
    """Judges promise days (name -> day) against a fixed supply of bars.

    Orders of one product and day are served in the order of `names`.
    """

    def __init__(self, workshop: Workshop, lots: BarLots, names: Iterable[str] = ()) -> None:
        self.commitments = commitments_of(workshop)
        self._days = workshop.days
        self._lots = lots
        known = (name for name in (*names, *self.commitments) if name in self.commitments)
        self._turn = {name: turn for turn, name in enumerate(dict.fromkeys(known))}
        self._names_by_product: defaultdict[str, list[str]] = defaultdict(list)
        for name in self._turn:
            for product in self.commitments[name].products:
                self._names_by_product[product].append(name)

    def calls(self, product: str, promised: Mapping[str, int]) -> list[Call]:
        """What the promises ask of a product, in the order in which it is served."""
        return sorted(
            Call(
                day=promised[name],
                launch=row.kind is DemandKind.LAUNCH,
                turn=self._turn[name],
                name=name,
                quantity=row.quantity,
            )
            for name in self._names_by_product[product]
            if name in promised
            for row in self.commitments[name].rows
            if row.product == product
        )

    def unmet(self, product: str, promised: Mapping[str, int]) -> Unmet | None:
        """The first promise for a product that cannot be kept; None if all can be."""
        found = first_unmet(self._lots.get(product, ()), self.calls(product, promised))
        return None if found is None else Unmet(product, *found)

    def earliest_day(self, name: str, others: Mapping[str, int], before: int) -> int | None:
        """The first day before `before` on which `name` can be kept with all the others.

        Only some days have to be tried: on the others nothing has come or gone since the day
        before, so that what can be kept then could have been kept a day earlier.
        """
        commitment = self.commitments[name]
        if before <= commitment.day:
            return None
        others = {other: day for other, day in others.items() if other != name}
        tried = {commitment.day}
        for product in commitment.products:
            tried.update(lot.usable for lot in self._lots.get(product, ()))
            tried.update(call.day + 1 for call in self.calls(product, others))
        for day in sorted(tried):
            if commitment.day <= day < min(before, self._days):
                promised = {**others, name: day}
                if all(self.unmet(product, promised) is None for product in commitment.products):
                    return day
        return None

    def drop_unmet(self, promised: dict[str, int]) -> list[Unmet]:
        """Take promises out until the rest can be kept; what could not be met is returned."""
        dropped = []
        for product in self._names_by_product:
            while (unmet := self.unmet(product, promised)) is not None:
                del promised[unmet.call.name]
                dropped.append(unmet)
        return dropped


def read_promises(workshop: Workshop, plan: Plan, lots: BarLots, faults: Faults) -> dict[str, int]:
    """The promises that are kept: name -> day.

    All others are broken rules, and so are later days than the bars allow with all other promises
    kept, or no day: a customer's order goes before the shop, whatever the shop could earn.
    """
    book = PromiseBook(workshop, lots, (promise.demand for promise in plan.promises))
    promised = _well_formed(workshop, plan, book, faults)
    for product, call, missing in book.drop_unmet(promised):
        message = f"cannot be kept: {missing} of {call.quantity} bars of {product} are missing"
        faults.add(call.day, Rule.PROMISE, call.name, message)
    for name, day in promised.items():
        earlier = book.earliest_day(name, promised, before=day)
        if earlier is not None:
            message = f"could be kept on {day_words(workshop, earlier)} already"
            faults.add(day, Rule.PROMISE, name, message)
    said = [promise.demand for promise in plan.promises]
    for name in (name for name in book.commitments if name not in said):
        possible = book.earliest_day(name, promised, before=workshop.days)
        if possible is not None:
            message = "is not promised, though it could be kept on this day"
            faults.add(possible, Rule.PROMISE, name, message)
    return promised


def _well_formed(
    workshop: Workshop, plan: Plan, book: PromiseBook, faults: Faults
) -> dict[str, int]:
    """Promises of orders and launches, one for each, on a day that is allowed."""
    promised: dict[str, int] = {}
    rows = {row.id for row in workshop.demand}
    for name, day in ((promise.demand, promise.day) for promise in plan.promises):
        commitment = book.commitments.get(name)
        if commitment is None and name in rows:
            message = "only an order, or a launch by its name, is promised a day"
            faults.add(day, Rule.PROMISE, name, message)
        elif commitment is None:
            faults.add(day, Rule.UNKNOWN, name, "promised, but there is no such order or launch")
        elif name in promised:
            faults.add(day, Rule.PROMISE, name, "promised twice")
        elif not in_plan(workshop, day):
            faults.add(day, Rule.PROMISE, name, "promised for a day outside the plan")
        elif day < commitment.day:
            message = f"promised before {day_words(workshop, commitment.day)}, when it is due"
            faults.add(day, Rule.PROMISE, name, message)
        else:
            promised[name] = day
    return promised


def earliest_promises(workshop: Workshop, plan: Plan) -> tuple[Promise, ...]:
    """The plan's promises, each moved to the earliest day that leaves all others feasible.

    Promises are moved in the plan's order until none can be moved any more, which is the form
    that the replay accepts. A promise that cannot be kept loses its day; it, and every order or
    launch that has none, then gets the earliest day that delays no other, if there is one.
    Unknown names are left out.
    """
    batches = read_batches(workshop, plan, LotNames(workshop), Faults())
    names = [promise.demand for promise in plan.promises]
    book = PromiseBook(workshop, bar_lots(workshop, batches), names)
    promised = _well_formed(workshop, plan, book, Faults())
    book.drop_unmet(promised)
    _move_earlier(book, promised)
    for name in (*dict.fromkeys(names), *book.commitments):
        if name in book.commitments and name not in promised:
            day = book.earliest_day(name, promised, before=workshop.days)
            if day is not None:
                promised[name] = day
                _move_earlier(book, promised)
    return tuple(sorted(Promise(demand=name, day=day) for name, day in promised.items()))


def _move_earlier(book: PromiseBook, promised: dict[str, int]) -> None:
    """Move promises to earlier days, in their order, until none can be moved."""
    moved = True
    while moved:
        moved = False
        for name in promised:
            day = book.earliest_day(name, promised, before=promised[name])
            if day is not None:
                promised[name], moved = day, True
