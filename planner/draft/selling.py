"""What a set of batches sells: the days on which orders leave and launches happen, and the loss.

S(t), the bars sold at retail up to day t, can never be more than what may be given away by then:
B(t), the least of A(t) and of A(T) - L(T) over all later days T, where A(T) are the bars that
arrived up to T less the orders that leave up to T, and L(T) is what a launch on T wants in stock.
Retail is sold as it is asked for as long as that holds:
S(t) = Ask(t) - max(0, max over s <= t of (Ask(s) - B(s))), with Ask the bars asked for up to a day.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from planner.draft.asking import Asking, arrivals, days_of, loss_if_unmet, spoiled
from planner.draft.daysets import Flags
from planner.draft.offers import Span
from planner.draft.supply import Ints, Store, increments
from planner.workshop import Demand

Bars = Mapping[str, Sequence[Span]]


@dataclass(frozen=True, kw_only=True)
class Sold:
    """The days on which orders leave and launches happen (None: not within the plan).

    `losses` holds each product's loss in thousandths of a minor unit, `bars` what it was sold from.
    """

    promises: Mapping[str, int | None]
    losses: Mapping[str, int]
    bars: Bars

    @property
    def loss(self) -> int:
        """The service goal: the loss of all products."""
        return sum(self.losses.values())


def sell(askings: Mapping[str, Asking], bars: Bars, known: Sold | None = None) -> Sold:
    """Sell what the batches bring; `bars` holds each product's lots, opening stock included.

    What is known to be sold from the same bars is not counted again.
    """
    launches = _launches(askings)
    changed = _changed(askings, launches, bars, known)
    counters = {
        product: Counter(asking, bars.get(product, asking.opening))
        for product, asking in askings.items()
        if product in changed
    }
    promises: dict[str, int | None] = dict(known.promises) if known else {}
    for name, rows in launches:
        if rows[0].product in counters:
            promises[name] = _launch(counters, rows)
    for counter in counters.values():
        promises.update(counter.send_orders())
    losses = dict(known.losses) if known else {}
    losses.update((product, counter.loss(promises)) for product, counter in counters.items())
    return Sold(promises=promises, losses=losses, bars=bars)


def _changed(
    askings: Mapping[str, Asking],
    launches: Sequence[tuple[str, list[Demand]]],
    bars: Bars,
    known: Sold | None,
) -> set[str]:
    """The products with other bars than known, and those that are launched together with them."""
    wanted = {product for product, asking in askings.items() if asking.is_wanted}
    if known is None:
        return wanted
    changed = {product for product in wanted if bars.get(product) != known.bars.get(product)}
    together = [{row.product for row in rows} for _, rows in launches]
    while more := {product for group in together if group & changed for product in group - changed}:
        changed |= more
    return changed


def loss_of(asking: Asking, bars: Sequence[Span], launches: Mapping[str, int | None]) -> int | None:
    """Loss of one product with the launches on given days; None if they cannot be kept."""
    counter = Counter(asking, bars)
    for row in asking.launches:
        day = launches[row.launch]
        if day is not None:
            if not counter.can_launch(row)[day]:
                return None
            counter.launch(row, day)
    return counter.loss({**launches, **counter.send_orders()})


def _launches(askings: Mapping[str, Asking]) -> list[tuple[str, list[Demand]]]:
    """The launches with their rows, the one that costs most per day and bar first."""
    rows: dict[str, list[Demand]] = {}
    for asking in askings.values():
        for row in asking.launches:
            rows.setdefault(row.launch, []).append(row)
    return sorted(rows.items(), key=lambda entry: -_urgency(entry[1]))


def _urgency(rows: Sequence[Demand]) -> float:
    return sum(row.weight for row in rows) / max(1, sum(row.quantity for row in rows))


def by_urgency(orders: Sequence[Demand]) -> list[Demand]:
    """Orders in the turn in which they leave: the one that costs most per day and bar first."""
    return sorted(orders, key=lambda row: (-_urgency([row]), row.day))


def _launch(counters: Mapping[str, "Counter"], rows: Sequence[Demand]) -> int | None:
    """The first day on which all rows of a launch are in stock."""
    possible: Flags = np.ones(counters[rows[0].product].asking.days, np.bool_)
    possible[: max(0, *(row.day for row in rows))] = False
    for row in rows:
        possible = possible & counters[row.product].can_launch(row)
    found = np.flatnonzero(possible)
    if not len(found):
        return None
    day = int(found[0])
    for row in rows:
        counters[row.product].launch(row, day)
    return day


class Counter:
    """One product's bars, given away day by day: launches first, then orders, then retail."""

    def __init__(self, asking: Asking, bars: Sequence[Span]) -> None:
        self.asking = asking
        self._bars = [span for span in bars if span.first <= span.last]
        self._arrived = arrivals(self._bars, asking.days)
        self._keeps = all(span.last == asking.days - 1 for span in self._bars)
        self._ordered: Ints = np.zeros(asking.days, np.int64)
        self._kept: dict[int, int] = {}

    def can_launch(self, row: Demand) -> Flags:
        """The days on which a launch row would find its stock."""
        return np.asarray(self._in_stock(self._ordered) >= row.quantity)

    def launch(self, row: Demand, day: int) -> None:
        """Keep a launch's stock until its day."""
        self._kept[day] = max(self._kept.get(day, 0), row.quantity)

    def send_orders(self) -> dict[str, int | None]:
        """Let each order leave on the first day on which it breaks no promise made before."""
        promises: dict[str, int | None] = {}
        for row in by_urgency(self.asking.orders):
            can_leave = self._free_for_orders() >= row.quantity
            can_leave[: max(0, row.day)] = False
            found = np.flatnonzero(can_leave)
            promises[row.id] = int(found[0]) if len(found) else None
            if len(found):
                self._ordered[int(found[0])] += row.quantity
        return promises

    def loss(self, promises: Mapping[str, int | None]) -> int:
        """Loss of the product, as the service goal counts it.

        Where bars expire within the plan, what spoils is taken from what would be asked for, so
        that the loss is near the true one, not equal to it.
        """
        days = self.asking.days
        late = 0
        for row in self.asking.orders:
            late += _loss_of_promise(row, promises[row.id], days)
        for row in self.asking.launches:
            late += _loss_of_promise(row, promises[row.launch], days)
        return late + self._loss_of_retail(promises)

    def _in_stock(self, taken: Ints) -> Ints:
        """A(t): bars that came up to each day, less orders, and what spoils if so many leave."""
        left = self._arrived - self._ordered
        return (left if self._keeps else left - spoiled(self._bars, taken)).cumsum()

    def _least_left(self) -> Ints:
        """A(t) less what a launch keeps on its day; of each day and all later ones the least."""
        left = self._in_stock(self.asking.bars + self._ordered)
        for day, quantity in self._kept.items():
            left[day] -= quantity
        return np.minimum.accumulate(left[::-1])[::-1]

    def _free_for_orders(self) -> Ints:
        """The bars that one more order may take on each day; a launch is judged after it left.

        Bars that expire within the plan cannot simply be summed up: then the room of their lots
        counts, beside all orders and, up to each launch, beside the orders before it.
        """
        if self._keeps:
            return self._least_left()
        free = self._room(self.asking.days - 1, 0)
        for day, quantity in self._kept.items():
            until = slice(0, day + 1)
            free[until] = np.minimum(free[until], self._room(day, quantity)[until])
        return free

    def _room(self, last: int, kept: int) -> Ints:
        """The room of the lots beside the orders up to a day, and what is kept on that day."""
        store = Store(self.asking.days, self._bars, np.zeros(self.asking.days, np.bool_))
        store.uses[: last + 1] = self._ordered[: last + 1]
        store.uses[last] += kept
        return store.room()

    def _loss_of_retail(self, promises: Mapping[str, int | None]) -> int:
        """Loss of retail sales and restock levels; a launch is judged before retail on its day."""
        asked = self.asking.bars.copy()
        asked[: self._launched(promises)] = 0
        in_stock = self._in_stock(asked + self._ordered)
        later = np.append(self._least_left()[1:], in_stock[-1])
        total = asked.cumsum()
        missed = np.maximum.accumulate(np.maximum(0, total - np.minimum(in_stock, later)))
        sold = asked - increments(missed)
        loss = 0
        for row in self.asking.retail:
            served = np.minimum(sold, row.bars)
            sold = sold - served
            loss += row.weight * (row.total - int(np.add.reduce(served)))
        stock = in_stock - (total - missed)
        return loss + sum(_loss_below(row, stock) for row in self.asking.restocks)

    def _launched(self, promises: Mapping[str, int | None]) -> int:
        days = [promises[row.launch] for row in self.asking.launches]
        happened = [day for day in days if day is not None]
        return min(happened, default=self.asking.days) if days else 0


def _loss_below(row: Demand, stock: Ints) -> int:
    held = days_of(row, len(stock))
    missing = np.maximum(0, row.quantity - stock[held.start : held.stop])
    return row.weight * int(missing.sum())


def _loss_of_promise(row: Demand, day: int | None, days: int) -> int:
    if day is None:
        return loss_if_unmet(row, days)
    return row.weight * max(0, day - row.day)
