"""Who gets the bars: orders first, then launches are judged, then retail, then restock levels.

Retail takes what a day asks, but leaves on the shelf what later kept promises need beyond what the
plan still packs for them.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from planner.account import Service
from planner.replay.promising import BarLots, Call, PromiseBook, first_unmet
from planner.replay.stockroom import ShelfLot, Stockroom
from planner.workshop import Demand, DemandKind, Workshop


@dataclass(kw_only=True)
class _Row:
    """A row of retail or restock and what it lost on each day."""

    demand: Demand
    lost: list[int]
    served: int = 0

    def runs_on(self, day: int) -> bool:
        last = self.demand.last_day
        return self.demand.day <= day and (last is None or day <= last)


def asked_on(row: Demand, day: int) -> int:
    """Retail bars asked on a day: the week's quantity q spread evenly over its seven days.

    The j-th day (j = 0 .. 6) of a week, counted from the row's first day, asks
    floor(q (j + 1) / 7) - floor(q j / 7) bars.
    """
    j = (day - row.day) % 7
    return row.quantity * (j + 1) // 7 - row.quantity * j // 7


class ProductSales:
    """The sales of one product, day by day."""

    def __init__(
        self,
        workshop: Workshop,
        product: str,
        stockroom: Stockroom,
        lots: Sequence[ShelfLot],
        book: PromiseBook,
        promised: Mapping[str, int],
    ) -> None:
        self._product = product
        self._stockroom = stockroom
        self._lots = lots
        self._calls = book.calls(product, promised)
        self._opens = _opening_day(workshop, product, promised)
        self._held = _held_back(workshop.days, lots, self._calls)
        last_call = max((call.day for call in self._calls), default=0)
        self._may_expire = any(lot.use_by < last_call for lot in lots)
        self._orders: defaultdict[int, list[Call]] = defaultdict(list)
        for call in self._calls:
            if not call.launch:
                self._orders[call.day].append(call)
        self.rows = {
            index: _Row(demand=row, lost=[0] * workshop.days)
            for index, row in enumerate(workshop.demand)
            if row.product == product and row.kind in (DemandKind.RETAIL, DemandKind.RESTOCK)
        }
        # The most important first; sorting keeps the order of the table among equals.
        self._retail = sorted(
            (row for row in self.rows.values() if row.demand.kind is DemandKind.RETAIL),
            key=lambda row: -row.demand.weight,
        )
        self._levels = [row for row in self.rows.values() if row.demand.kind is DemandKind.RESTOCK]

    def trade(self, day: int) -> None:
        """One day: orders leave, then retail is served, then the level is read."""
        for call in self._orders.get(day, ()):
            self._stockroom.take(day, self._product, call.quantity, call.name)
        self._sell(day)
        left = self._stockroom.on_hand(self._product) if self._levels else 0
        for row in self._levels:
            if row.runs_on(day):
                row.lost[day] = max(0, row.demand.quantity - left)

    def _sell(self, day: int) -> None:
        """Share the day's spare bars among the retail rows, the most important first."""
        wishes = [(row, asked_on(row.demand, day)) for row in self._retail if row.runs_on(day)]
        spare = self._spare(day, sum(bars for _, bars in wishes))
        for row, asked in wishes:
            sold = min(asked, spare)
            spare -= sold
            row.served += sold
            row.lost[day] = asked - sold
            if sold:
                self._stockroom.take(day, self._product, sold, row.demand.id)

    def _spare(self, day: int, asked: int) -> int:
        """Bars that retail may take: none before the launch, none that promises need."""
        if asked == 0 or day < self._opens:
            return 0
        on_hand = self._stockroom.on_hand(self._product)
        spare = max(0, min(asked, on_hand - self._held[day]))
        if self._may_expire:
            while spare and (missing := self._missing_later(day, spare)):
                spare = max(0, spare - missing)
        return spare

    def _missing_later(self, day: int, sold: int) -> int:
        """Bars that a later promise would miss if `sold` bars went today: some may expire."""
        coming = [lot for lot in self._lots if lot.usable > day]
        later = [call for call in self._calls if call.day > day]
        today = Call(day=day, launch=False, turn=0, name="", quantity=sold)
        unmet = first_unmet([*self._stockroom.shelf(self._product), *coming], [today, *later])
        return unmet[1] if unmet else 0


def _opening_day(workshop: Workshop, product: str, promised: Mapping[str, int]) -> int:
    """The day from which retail is sold: that of the first launch, if there are launch rows."""
    launches = [
        row.launch
        for row in workshop.demand
        if row.product == product and row.kind is DemandKind.LAUNCH
    ]
    if not launches:
        return 0
    return min((promised[name] for name in launches if name in promised), default=workshop.days)


def _held_back(days: int, lots: Sequence[ShelfLot], calls: Sequence[Call]) -> list[int]:
    """Bars to be left on the shelf after each day's retail, expiry aside.

    held(t) = max(0, orders(t+1) + max(launch(t+1), held(t+1)) - new(t+1)), where new(t) are the
    bars that can leave from day t on: what promises after t need beyond what comes until then.
    """
    orders, launches, new = [0] * (days + 1), [0] * (days + 1), [0] * (days + 1)
    for call in calls:
        if call.launch:
            launches[call.day] = max(launches[call.day], call.quantity)
        else:
            orders[call.day] += call.quantity
    for lot in lots:
        if 0 < lot.usable <= days:
            new[lot.usable] += lot.amount
    held = [0] * (days + 1)
    for t in range(days - 1, -1, -1):
        held[t] = max(0, orders[t + 1] + max(launches[t + 1], held[t + 1]) - new[t + 1])
    return held


class Sales:
    """The sales of all products."""

    def __init__(
        self,
        workshop: Workshop,
        stockroom: Stockroom,
        lots: BarLots,
        promised: Mapping[str, int],
    ) -> None:
        self._workshop = workshop
        self._promised = promised
        book = PromiseBook(workshop, lots, promised)
        self._products = {
            name: ProductSales(workshop, name, stockroom, lots.get(name, ()), book, promised)
            for name in workshop.products
        }

    def trade(self, day: int) -> None:
        """One day's sales of every product."""
        for sales in self._products.values():
            sales.trade(day)

    def service(self) -> tuple[Service, ...]:
        """How every row of demand fared, in table order."""
        return tuple(self._service(index, row) for index, row in enumerate(self._workshop.demand))

    def _service(self, index: int, row: Demand) -> Service:
        if row.kind in (DemandKind.ORDER, DemandKind.LAUNCH):
            return _promise_service(self._workshop, row, self._promised)
        found = self._products[row.product].rows[index]
        lost = sum(found.lost)
        return Service(
            demand=row.id,
            kind=row.kind,
            product=row.product,
            due=row.day,
            quantity=row.quantity,
            met=None,
            served=found.served,
            late_days=0,
            lost=lost,
            loss=row.weight * lost,
            lost_by_day=tuple(found.lost),
        )


def _promise_service(workshop: Workshop, row: Demand, promised: Mapping[str, int]) -> Service:
    """Late days count from the row's own day; unmet rows are late to the end of the plan."""
    met = promised.get(row.launch if row.kind is DemandKind.LAUNCH else row.id)
    late_days = max(0, (workshop.days if met is None else met) - row.day)
    return Service(
        demand=row.id,
        kind=row.kind,
        product=row.product,
        due=row.day,
        quantity=row.quantity,
        met=met,
        served=0 if met is None else row.quantity,
        late_days=late_days,
        lost=row.quantity if met is None else 0,
        loss=row.weight * late_days + (row.unmet if met is None else 0),
    )
