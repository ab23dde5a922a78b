"""When each product runs short, given the batches placed so far, and what that would cost.

Bars on hand after a day's sales follow from what arrived less what was asked, where a sale that
cannot be served is lost and not made up: stock(t) = N(t) - min(0, min N(s) for s <= t), with N the
arrivals less the bars asked for up to a day, both counted from the start.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from planner.draft.asking import Asked, Asking, Floats, arrivals, loss_if_unmet, spoiled
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


@dataclass(frozen=True, kw_only=True)
class Need:
    """A product's next shortage: bars have to be packed before day `due`.

    lost      bars lost on each day from `due` on, if nothing more is made
    lost_by   bars lost up to each day
    below     bars missing on each day for a launch or a restock level
    unit      loss with each bar lost on a day
    each      loss with each bar missing for a launch or level on a day
    """

    product: str
    due: int
    lost: Ints
    lost_by: Ints
    below: Ints
    unit: Floats
    each: Floats

    def wanted(self, first: int, last: int) -> int:
        """Bars that still serve something if they can be sold from `first` to `last`."""
        if first > last:
            return 0
        missing = self.lost_by[first : last + 1] + self.below[first : last + 1]
        return int(np.maximum.reduce(missing)) - self._lost_before(first)

    def _lost_before(self, day: int) -> int:
        return int(self.lost_by[day - 1]) if day else 0

    def value(self, first: int, bars: int) -> float:
        """Loss spared by so many bars that can be sold from day `first` on."""
        lost = self.lost_by[first:] - self._lost_before(first)
        served = increments(np.minimum(lost, bars))
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
            self._arrived[span.first :] += span.amount
            self.supply.append(span)

    def next(self) -> Need | None:
        """The first shortage from `since` on; None if there is none."""
        asked = self._asked()
        surplus = self._arrived - asked.total
        if any(span.last < self.asking.days - 1 for span in self.supply):
            surplus -= spoiled(self.supply, asked.bars).cumsum()
        lowest = np.minimum.accumulate(np.minimum(surplus, 0))
        lost = -increments(lowest)
        lost[: self.since] = 0
        below = np.maximum(0, asked.level - (surplus - lowest))
        below[: self.since] = 0
        short = (lost > 0) | (below > 0)
        due = int(short.argmax())
        if not short[due]:
            return None
        return Need(
            product=self.asking.product,
            due=due,
            lost=lost,
            lost_by=lost.cumsum(),
            below=below,
            unit=asked.unit,
            each=self._each_below(below),
        )

    @cached_property
    def _arrived(self) -> Ints:
        """Bars that came up to each day."""
        return arrivals(self.supply, self.asking.days).cumsum()

    def _asked(self) -> Asked:
        launched = tuple([self.launch_days[row.launch] for row in self.asking.launches])
        return self.asking.asked(launched, tuple(self.order_days.values()))

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

    def _each_below(self, below: Ints) -> Floats:
        """Loss with each bar missing for a level; a launch's is spread over what it misses."""
        each = self.asking.below.astype(np.float64)
        for row, day in self._launches():
            each[day] += loss_if_unmet(row, self.asking.days) / max(1, int(below[day]))
        return each

    def _launches(self) -> list[tuple[Demand, int]]:
        """The product's launch rows that still happen within the plan, and their days."""
        days = [(row, self.launch_days[row.launch]) for row in self.asking.launches]
        return [(row, day) for row, day in days if day < self.asking.days]
