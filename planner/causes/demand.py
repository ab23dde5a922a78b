"""Shortfalls of demand: stretches of lost bars, late orders and launches, and what held them up."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from planner.account import Account, Service
from planner.causes.attempts import Attempts
from planner.causes.filling import Want, Wants
from planner.causes.judging import judge
from planner.causes.records import Cause, Shortfall, Verdict
from planner.wording import count_words, day_words
from planner.workshop import DemandKind, Product, Workshop

SAME_STRETCH = 7
"""Lost days at most this far apart are told as one stretch: a week's bars fall on few of its days
(common practice, no source)."""


@dataclass(frozen=True, kw_only=True)
class _Launch:
    """A launch: due when its last row is; `met` is None if it does not happen within the plan."""

    name: str
    due: int
    met: int | None
    rows: tuple[Service, ...]


class DemandShortfalls:
    """Finds the shortfalls of all rows of demand."""

    def __init__(self, workshop: Workshop, account: Account) -> None:
        self._workshop = workshop
        self._account = account
        self._attempts = Attempts(workshop, account)
        self.stocks = self._attempts.stocks
        self._launches = _launches_of(workshop, account)

    def found(self) -> Iterator[Shortfall]:
        """Rows in table order; the days of a row in order."""
        launch_of = {row.id: row.launch for row in self._workshop.demand}
        for row in self._account.service:
            if row.kind in (DemandKind.RETAIL, DemandKind.RESTOCK):
                yield from self._lost(row)
            elif row.met is None or row.late_days > 0:
                launched = row.kind is DemandKind.LAUNCH
                yield self._late(row, self._launches[launch_of[row.demand]] if launched else None)

    # Orders and launches

    def _late(self, row: Service, launch: _Launch | None) -> Shortfall:
        """An order, or a row of a launch, from the day it is due until it is met."""
        last = self._workshop.days - 1 if row.met is None else row.met - 1
        if launch is None:
            return _shortfall(row, row.due, last, row.quantity, self._late_verdict(row, last))
        if last < launch.due:  # only this row was wanted before the launch as a whole
            return _shortfall(row, row.due, last, row.quantity, self._not_launched(launch))
        return _shortfall(row, launch.due, last, row.quantity, self._launch_verdict(launch, row))

    def _late_verdict(self, row: Service, last: int) -> Verdict:
        bars = max(1, self._lacks(row, last))
        return self._verdict(row.product, (Want(first=max(0, row.due), last=last, bars=bars),))

    def _lacks(self, row: Service, day: int) -> int:
        """Bars that a row lacks on a day, what others are promised left aside."""
        return row.quantity - self._account.flows[row.product].on_hand[day]

    def _launch_verdict(self, launch: _Launch, row: Service) -> Verdict:
        """Why a launch is late: a row that has its bars waits for the one that lacks most."""
        last = self._workshop.days - 1 if launch.met is None else launch.met - 1
        lacking = max(launch.rows, key=lambda other: self._lacks(other, last))
        if self._lacks(row, last) > 0 or lacking.demand == row.demand:
            return self._late_verdict(row, last)
        verdict = self._late_verdict(lacking, last)
        waits = f"waits for {lacking.product} of the same launch"
        return Verdict(verdict.cause, f"{waits}: {verdict.sentence}")

    # Retail and restock levels

    def _lost(self, row: Service) -> Iterator[Shortfall]:
        """Each stretch of lost days, cut where its kind of cause changes."""
        lost = [day for day, bars in enumerate(row.lost_by_day) if bars]
        for stretch in _stretches(lost):
            for days, verdict in self._cut(row, stretch):
                bars = [row.lost_by_day[day] for day in days]
                quantity = sum(bars) if row.kind is DemandKind.RETAIL else max(bars)
                yield _shortfall(row, days[0], days[-1], quantity, verdict)

    def _cut(self, row: Service, stretch: list[int]) -> Iterator[tuple[list[int], Verdict]]:
        """Days before the launch, days no bar can be made for any more, and the rest."""
        launch = self._first_launch(row.product) if row.kind is DemandKind.RETAIL else None
        opens = 0 if launch is None else self._happens(launch)
        before, rest = _split(stretch, opens)
        if launch is not None:
            asked, slipped = _split(before, launch.due)
            if asked:
                yield asked, self._not_launched(launch)
            if slipped:
                yield slipped, self._slipped(launch, row)
        product = self._workshop.products[row.product]
        too_soon = [day for day in rest if self._too_soon(product, day)]
        if too_soon:
            yield too_soon, self._cure(product)
        rest = rest[len(too_soon) :]
        if rest:
            yield rest, self._lost_verdict(row, rest)

    def _lost_verdict(self, row: Service, days: list[int]) -> Verdict:
        """Why bars are lost; of a level, the most that are missing on a day count."""
        lost = [Want(first=day, last=day, bars=row.lost_by_day[day]) for day in days]
        if row.kind is DemandKind.RETAIL:
            return self._verdict(row.product, tuple(lost), whole=False)
        most = max(want.bars for want in lost)
        return self._verdict(row.product, (Want(first=days[0], last=days[-1], bars=most),))

    def _first_launch(self, product: str) -> _Launch | None:
        """The launch that opens the sale of a product."""
        own = [
            launch
            for launch in self._launches.values()
            if any(row.product == product for row in launch.rows)
        ]
        return min(own, key=self._happens, default=None)

    def _happens(self, launch: _Launch) -> int:
        return self._workshop.days if launch.met is None else launch.met

    def _not_launched(self, launch: _Launch) -> Verdict:
        when = day_words(self._workshop, launch.due)
        return Verdict(Cause.LAUNCH, f"nothing is sold before launch {launch.name}, due on {when}")

    def _slipped(self, launch: _Launch, row: Service) -> Verdict:
        own = next(other for other in launch.rows if other.product == row.product)
        verdict = self._launch_verdict(launch, own)
        return Verdict(verdict.cause, f"launch {launch.name} slips: {verdict.sentence}")

    # The cause

    def _verdict(self, name: str, rows: tuple[Want, ...], whole: bool = True) -> Verdict:
        """What held up the batches that would give the missing bars; see Wants."""
        product = self._workshop.products[name]
        if not self._attempts.useful_sizes(product):
            return Verdict(Cause.UNKNOWN, f"no batch size of {name} gives a bar to sell")
        wants = Wants(product=product, rows=rows, whole=whole)
        verdict = judge(self._workshop, self._attempts, wants)
        if verdict is not None:
            return verdict
        last = max(want.last for want in rows)
        return self._cure(product) if self._too_soon(product, last) else _stale(product)

    def _too_soon(self, product: Product, day: int) -> bool:
        """True if no bar poured within the plan can leave by a day."""
        leaving = self._attempts.first_leaving_day(product)
        return leaving is None or day < leaving

    def _cure(self, product: Product) -> Verdict:
        leaving = self._attempts.first_leaving_day(product)
        when = "only after the plan's end"
        if leaving is not None:
            when = f"from {day_words(self._workshop, leaving)} on"
        set_for = f"{count_words(product.set_days, 'night')} in the mould"
        cured_for = f"{count_words(product.cure_days, 'day')} of cure"
        sentence = f"{product.id} poured now can leave {when}: {set_for}, {cured_for}"
        return Verdict(Cause.CURE, sentence)


def _stale(product: Product) -> Verdict:
    """Bars that could leave in time would be past their date by then."""
    keeping = f"{product.id} keeps {count_words(product.shelf_life_days or 0, 'day')} from its pour"
    cured_for = f"{count_words(product.cure_days, 'day')} of cure"
    return Verdict(Cause.CURE, f"{keeping}, too few after {cured_for}")


def _launches_of(workshop: Workshop, account: Account) -> dict[str, _Launch]:
    rows: defaultdict[str, list[Service]] = defaultdict(list)
    for demand, row in zip(workshop.demand, account.service, strict=True):
        if demand.kind is DemandKind.LAUNCH:
            rows[demand.launch].append(row)
    return {
        name: _Launch(name=name, due=max(row.due for row in own), met=own[0].met, rows=tuple(own))
        for name, own in rows.items()
    }


def _stretches(days: list[int]) -> list[list[int]]:
    """Ascending days in groups whose neighbours are at most a week apart."""
    groups: list[list[int]] = []
    for day in days:
        if groups and day - groups[-1][-1] <= SAME_STRETCH:
            groups[-1].append(day)
        else:
            groups.append([day])
    return groups


def _split(days: list[int], at: int) -> tuple[list[int], list[int]]:
    return [day for day in days if day < at], [day for day in days if day >= at]


def _shortfall(row: Service, first: int, last: int, quantity: int, verdict: Verdict) -> Shortfall:
    return Shortfall(
        demand=row.demand,
        product=row.product,
        first_day=first,
        last_day=last,
        quantity=quantity,
        unit="bars",
        cause=verdict.cause,
        detail=verdict.sentence,
    )
