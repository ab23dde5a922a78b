"""When each product runs short, given the batches placed so far, and what that would cost.

Bars on hand after a day's sales follow from what arrived less what was asked, where a sale that
cannot be served is lost and not made up: stock(t) = N(t) - min(0, min N(s) for s <= t), with N the
arrivals less the bars asked for up to a day, both counted from the start.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from planner.draft.asking import Asking, arrivals, spoiled
from planner.draft.offers import Span
from planner.draft.supply import Ints, increments
from planner.workshop import Demand


def launch_days_of(askings: Mapping[str, Asking]) -> dict[str, int]:
    """The day on which each launch is wanted: the latest of its rows, not before day 0."""
    wanted: dict[str, int] = {}
    for asking in askings.values():
        for row in asking.launches:
            wanted[row.launch] = max(wanted.get(row.launch, 0), row.day)
    return wanted


def launched_on(asking: Asking, launch_days: Mapping[str, int]) -> int:
    """The day from which a product is sold at retail: 0 without a launch, else its first one."""
    return min((launch_days[row.launch] for row in asking.launches), default=0)


@dataclass(frozen=True, kw_only=True)
class Need:
    """A product's next shortage: bars have to be packed before day `due`.

    lost      bars lost on each day from `due` on, if nothing more is made
    below     bars missing on each day for a launch or a restock level
    unit      loss with each bar lost on a day
    each      loss with each bar missing for a launch or level on a day
    """

    product: str
    due: int
    lost: Ints
    below: Ints
    unit: npt.NDArray[np.float64]
    each: npt.NDArray[np.float64]

    def wanted(self, first: int, last: int) -> int:
        """Bars that still serve something if they can be sold from `first` to `last`."""
        stop = last + 1
        missing = np.cumsum(self.lost[first:stop]) + self.below[first:stop]
        return int(missing.max(initial=0))

    def value(self, first: int, bars: int) -> float:
        """Loss spared by so many bars that can be sold from day `first` on."""
        served = increments(np.minimum(np.cumsum(self.lost[first:]), bars))
        helped = np.minimum(self.below[first:], bars)
        return float(served @ self.unit[first:] + helped @ self.each[first:])


class ProductNeed:
    """One product's demand and supply while a schedule grows.

    `since` is the first day whose shortages still count: earlier ones could not be prevented.
    `launch_days` is shared by all products and changed when a launch has to slip. `bars` are those
    of the first batches, besides what is on hand.
    """

    def __init__(
        self, asking: Asking, launch_days: dict[str, int], bars: Iterable[Span] = ()
    ) -> None:
        self.asking = asking
        self.launch_days = launch_days
        self.order_days = {row.id: max(0, row.day) for row in asking.orders}
        self.supply = [*asking.opening, *(span for span in bars if span.first <= span.last)]
        self.since = 0

    def add(self, span: Span) -> None:
        """Bars of one more batch."""
        if span.first <= span.last:
            self.supply.append(span)

    def next(self) -> Need | None:
        """The first shortage from `since` on; None if there is none."""
        days = self.asking.days
        taken, worth = self._taken()
        level = self._levels()
        arrived = arrivals(self.supply, days) - spoiled(self.supply, taken)
        surplus = np.cumsum(arrived - taken)
        lowest = np.minimum.accumulate(np.minimum(surplus, 0))
        lost = -increments(lowest)
        below = np.maximum(0, level - (surplus - lowest))
        lost[: self.since] = 0
        below[: self.since] = 0
        short = np.flatnonzero((lost > 0) | (below > 0))
        if not len(short):
            return None
        return Need(
            product=self.asking.product,
            due=int(short[0]),
            lost=lost,
            below=below,
            unit=worth / np.maximum(taken, 1),
            each=self._each_below(below),
        )

    def waiting(self, need: Need, day: int) -> int:
        """Bars for orders and launches that could not be served before `day` and slip to it."""
        asking = self.asking
        orders = sum(row.quantity for row in asking.orders if self._misses(need, row, day))
        launched = [self.launch_days[row.launch] for row in asking.launches]
        return orders + sum(int(need.below[on]) for on in launched if need.due <= on < day)

    def _misses(self, need: Need, order: Demand, day: int) -> bool:
        return need.due <= self.order_days[order.id] < day

    def slip(self, need: Need, day: int) -> list[str]:
        """Give up serving the need before `day`; the launches that slip with it are returned."""
        for row in self.asking.orders:
            if self._misses(need, row, day):
                self.order_days[row.id] = day
        slipped = []
        for row in self.asking.launches:
            on = self.launch_days[row.launch]
            if need.due <= on < day and need.below[on]:
                self.launch_days[row.launch] = day
                slipped.append(row.launch)
        self.since = max(self.since, day)
        return slipped

    def _taken(self) -> tuple[Ints, npt.NDArray[np.float64]]:
        """Bars that leave on each day if there are enough, and the loss if none do."""
        days = self.asking.days
        start = launched_on(self.asking, self.launch_days)
        taken = self.asking.bars.copy()
        taken[:start] = 0
        worth = self.asking.worth.astype(np.float64)
        worth[:start] = 0
        for row in self.asking.orders:
            day = self.order_days[row.id]
            if day < days:
                taken[day] += row.quantity
                worth[day] += loss_if_unmet(row, days)
        return taken, worth

    def _levels(self) -> Ints:
        """Bars to be left at the end of each day.

        A launch wants its bars before the day's retail sale takes some of them.
        """
        level = self.asking.level.copy()
        for row, day in self._launches():
            level[day] = max(level[day], row.quantity - int(self.asking.bars[day]))
        return level

    def _each_below(self, below: Ints) -> npt.NDArray[np.float64]:
        """Loss with each bar missing for a level; a launch's is spread over what it misses."""
        each = np.zeros(self.asking.days)
        for row in self.asking.restocks:
            each[max(0, row.day) :] += row.weight
        for row, day in self._launches():
            each[day] += loss_if_unmet(row, self.asking.days) / max(1, int(below[day]))
        return each

    def _launches(self) -> list[tuple[Demand, int]]:
        """The product's launch rows that still happen within the plan, and their days."""
        days = [(row, self.launch_days[row.launch]) for row in self.asking.launches]
        return [(row, day) for row, day in days if day < self.asking.days]


def loss_if_unmet(row: Demand, days: int) -> int:
    """Loss of an order or launch that is not met within the plan."""
    return row.unmet + row.weight * (days - row.day)
