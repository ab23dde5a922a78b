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

from planner.draft.asking import Asking, arrivals, days_of, spoiled
from planner.draft.needs import loss_if_unmet
from planner.draft.offers import Span
from planner.draft.supply import Flags, Ints
from planner.workshop import Demand

Bars = Mapping[str, Sequence[Span]]


@dataclass(frozen=True, kw_only=True)
class Sold:
    """The days on which orders leave and launches happen (None: not within the plan).

    `losses` holds each product's loss in thousandths of a minor unit.
    """

    promises: Mapping[str, int | None]
    losses: Mapping[str, int]

    @property
    def loss(self) -> int:
        """The service goal: the loss of all products."""
        return sum(self.losses.values())


def sell(askings: Mapping[str, Asking], bars: Bars) -> Sold:
    """Sell what the batches bring; `bars` holds each product's lots, opening stock included."""
    counters = {
        product: Counter(asking, bars.get(product, asking.opening))
        for product, asking in askings.items()
        if asking.is_wanted
    }
    promises: dict[str, int | None] = {}
    for name, rows in _launches(askings):
        promises[name] = _launch(counters, rows)
    for counter in counters.values():
        promises.update(counter.send_orders())
    losses = {product: counter.loss(promises) for product, counter in counters.items()}
    return Sold(promises=promises, losses=losses)


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
    """One product's bars, given away day by day."""

    def __init__(self, asking: Asking, bars: Sequence[Span]) -> None:
        self.asking = asking
        bars = [span for span in bars if span.first <= span.last]
        gone = spoiled(bars, asking.bars)
        self.in_stock: Ints = np.cumsum(arrivals(bars, asking.days) - gone)
        self.kept: Ints = np.zeros(asking.days, np.int64)

    def can_launch(self, row: Demand) -> Flags:
        """The days on which a launch row would find its stock."""
        enough: Flags = self.in_stock >= row.quantity
        return enough

    def launch(self, row: Demand, day: int) -> None:
        """Keep a launch's stock until its day."""
        self.kept[day] = max(self.kept[day], row.quantity)

    def send_orders(self) -> dict[str, int | None]:
        """Let each order leave on the first day on which it breaks no promise made before."""
        promises: dict[str, int | None] = {}
        for row in sorted(self.asking.orders, key=lambda row: (-_urgency([row]), row.day)):
            can_leave = self._free_for_orders() >= row.quantity
            can_leave[: max(0, row.day)] = False
            found = np.flatnonzero(can_leave)
            promises[row.id] = int(found[0]) if len(found) else None
            if len(found):
                self.in_stock[int(found[0]) :] -= row.quantity
        return promises

    def loss(self, promises: Mapping[str, int | None]) -> int:
        """Loss of the product, as the service goal counts it."""
        days = self.asking.days
        late = 0
        for row in self.asking.orders:
            late += _loss_of_promise(row, promises[row.id], days)
        for row in self.asking.launches:
            late += _loss_of_promise(row, promises[row.launch], days)
        return late + self._loss_of_retail(promises)

    def _free_for_orders(self) -> Ints:
        """The bars that one more order may take on each day; a launch is judged after it left."""
        left = self.in_stock - self.kept
        return np.minimum.accumulate(left[::-1])[::-1]

    def _free_for_retail(self) -> Ints:
        """B(t): a launch is judged before the retail sale of its day."""
        later = np.append(self._free_for_orders()[1:], self.in_stock[-1])
        return np.asarray(np.minimum(self.in_stock, later))

    def _loss_of_retail(self, promises: Mapping[str, int | None]) -> int:
        asked = self.asking.bars.copy()
        asked[: self._launched(promises)] = 0
        total = np.cumsum(asked)
        missed = np.maximum.accumulate(np.maximum(0, total - self._free_for_retail()))
        sold = asked - np.diff(missed, prepend=0)
        loss = 0
        for row in self.asking.retail:
            served = np.minimum(sold, row.bars)
            sold = sold - served
            loss += row.weight * int((row.bars - served).sum())
        stock = self.in_stock - (total - missed)
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
