"""What is asked of each product, in one array of bars for each row of retail demand."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache, partial

import numpy as np
import numpy.typing as npt

from planner.draft.offers import Span
from planner.draft.supply import Ints
from planner.workshop import Demand, DemandKind, Workshop

Floats = npt.NDArray[np.float64]

REMEMBERED = 64
"""Sets of days of launches and orders that are remembered for each product."""


@dataclass(frozen=True, kw_only=True)
class Retail:
    """A row of retail demand: the bars it asks for on each day; `weight` is lost with each bar."""

    weight: int
    bars: Ints

    @cached_property
    def total(self) -> int:
        """The bars it asks for in all."""
        return int(self.bars.sum())


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What leaves if there are enough bars, with launches and orders on certain days.

    bars      bars that leave on each day
    total     bars that leave up to each day
    unit      loss with each bar lost on a day
    level     bars to be left at the end of each day
    """

    bars: Ints
    total: Ints
    unit: Floats
    level: Ints


@dataclass(frozen=True, kw_only=True)
class Asking:
    """All demand for one product, and the bars it has on hand. Retail with most weight first."""

    product: str
    days: int
    retail: tuple[Retail, ...]
    orders: tuple[Demand, ...]
    restocks: tuple[Demand, ...]
    launches: tuple[Demand, ...]
    opening: tuple[Span, ...]

    def with_bars(self, bars: Span) -> "Asking":
        """The same with more bars on hand, if they can be sold at all."""
        return replace(self, opening=(*self.opening, bars)) if bars.first <= bars.last else self

    @cached_property
    def bars(self) -> Ints:
        """Bars asked for by all rows of retail demand on each day."""
        return sum((row.bars for row in self.retail), np.zeros(self.days, np.int64))

    @cached_property
    def worth(self) -> Ints:
        """Loss if none of a day's retail bars are sold, for each day."""
        return sum((row.bars * row.weight for row in self.retail), np.zeros(self.days, np.int64))

    @cached_property
    def level(self) -> Ints:
        """The restock level to be kept at the end of each day: the highest of all rows."""
        level = np.zeros(self.days, np.int64)
        for row in self.restocks:
            held = days_of(row, self.days)
            part = level[held.start : held.stop]
            np.maximum(part, row.quantity, out=part)
        return level

    @cached_property
    def below(self) -> Ints:
        """Loss with each bar missing of a restock level on each day."""
        below = np.zeros(self.days, np.int64)
        for row in self.restocks:
            below[max(0, row.day) :] += row.weight
        return below

    @cached_property
    def asked(self) -> Callable[[tuple[int, ...], tuple[int, ...]], Asked]:
        """What leaves with launches and orders on given days, as `asked_of` has it.

        The last ones are remembered, since from need to need most of these days stay.
        """
        return lru_cache(maxsize=REMEMBERED)(partial(asked_of, self))

    @cached_property
    def is_wanted(self) -> bool:
        """True if there is any demand at all."""
        return bool(self.orders or self.restocks or self.launches or self.bars.any())


def askings_of(workshop: Workshop) -> dict[str, Asking]:
    """The demand for each product within the plan."""
    return {product: _asking(workshop, product) for product in workshop.products}


def _asking(workshop: Workshop, product: str) -> Asking:
    rows = [row for row in workshop.demand if row.product == product and row.day < workshop.days]
    retail = [
        Retail(weight=row.weight, bars=retail_bars(row, workshop.days))
        for row in rows
        if row.kind is DemandKind.RETAIL
    ]
    end = workshop.days - 1
    return Asking(
        product=product,
        days=workshop.days,
        retail=tuple(sorted(retail, key=lambda row: -row.weight)),
        orders=_of_kind(rows, DemandKind.ORDER),
        restocks=_of_kind(rows, DemandKind.RESTOCK),
        launches=_of_kind(rows, DemandKind.LAUNCH),
        opening=tuple(
            Span(first=max(0, lot.usable), last=min(end, _or(lot.use_by, end)), amount=lot.amount)
            for lot in workshop.lots
            if lot.item == product and max(0, lot.usable) <= min(end, _or(lot.use_by, end))
        ),
    )


def _of_kind(rows: list[Demand], kind: DemandKind) -> tuple[Demand, ...]:
    return tuple(row for row in rows if row.kind is kind)


def _or(day: int | None, default: int) -> int:
    return default if day is None else day


def days_of(row: Demand, days: int) -> range:
    """The days of the plan on which a row of retail or restock demand holds."""
    last = days - 1 if row.last_day is None else min(days - 1, row.last_day)
    return range(max(0, row.day), last + 1)


def retail_bars(row: Demand, days: int) -> Ints:
    """Bars asked for on each day: the weekly quantity q spread evenly.

    The j-th day of a week (j = 0 ... 6, weeks counted from the row's own first day) asks
    floor(q (j + 1) / 7) - floor(q j / 7) bars.
    """
    bars = np.zeros(days, np.int64)
    held = days_of(row, days)
    if len(held):
        day = np.arange(held.start, held.stop)
        in_week = (day - row.day) % 7
        bars[held.start : held.stop] = (
            row.quantity * (in_week + 1) // 7 - row.quantity * in_week // 7
        )
    return bars


def asked_of(asking: Asking, launched: tuple[int, ...], ordered: tuple[int, ...]) -> Asked:
    """What leaves with the launch rows and the orders on these days; the plan's length: never.

    A product is sold at retail from its first launch on. A launch wants its bars before the day's
    retail sale takes some of them.
    """
    start = min(launched, default=0)
    bars, worth = asking.bars.copy(), asking.worth.astype(np.float64)
    bars[:start] = 0
    worth[:start] = 0
    for row, day in zip(asking.orders, ordered, strict=True):
        if day < asking.days:
            bars[day] += row.quantity
            worth[day] += loss_if_unmet(row, asking.days)
    level = asking.level.copy()
    for row, day in zip(asking.launches, launched, strict=True):
        if day < asking.days:
            level[day] = max(level[day], row.quantity - int(asking.bars[day]))
    return Asked(bars=bars, total=bars.cumsum(), unit=worth / np.maximum(bars, 1), level=level)


def loss_if_unmet(row: Demand, days: int) -> int:
    """Loss of an order or launch that is not met within the plan."""
    return row.unmet + row.weight * (days - row.day)


def arrivals(spans: tuple[Span, ...] | list[Span], days: int) -> Ints:
    """Bars that can first be sold on each day."""
    arrived = np.zeros(days, np.int64)
    for span in spans:
        arrived[span.first] += span.amount
    return arrived


def spoiled(spans: tuple[Span, ...] | list[Span], taken: Ints) -> Ints:
    """Bars past their use-by date on each day, if as many as `taken` leave each day.

    The bars that expire first leave first; on the day after its last day a lot's rest is spoiled.
    """
    days = len(taken)
    gone = np.zeros(days, np.int64)
    if all(span.last >= days - 1 for span in spans):
        return gone
    left = [(span.last, span.first, span.amount) for span in sorted(spans, key=_expiry)]
    for day, wanted in enumerate(taken.tolist()):
        kept: list[tuple[int, int, int]] = []
        for last, first, amount in left:
            if last < day:
                gone[last + 1] += amount
                continue
            used = min(wanted, amount) if first <= day else 0
            wanted -= used
            if used < amount:
                kept.append((last, first, amount - used))
        left = kept
    return gone


def _expiry(span: Span) -> tuple[int, int]:
    return span.last, span.first
