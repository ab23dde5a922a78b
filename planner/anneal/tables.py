"""A start of the list scheduler as arrays for compiled code."""

from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from planner.anneal.facts import JOB, PRODUCT, Facts, Ints, Records
from planner.draft.asking import Asking, arrivals, days_of, loss_if_unmet
from planner.draft.bench import Bench
from planner.draft.capacity import HANDS
from planner.draft.jobs import Held, Job
from planner.draft.keeping import Kept
from planner.draft.ranking import Ranking
from planner.draft.schedule import Start
from planner.draft.selling import by_urgency
from planner.draft.supply import Store
from planner.workshop import Demand

PLENTY = 1 << 50
"""Room where an item can be bought without limit."""


class Rooms:
    """What is free of each resource on each day, and what can still be used of each item.

    An item is held from its use on. Where preparations are `made`, the lots on the bench are all
    there is of them; else each batch takes its share of the minutes for a lot.
    """

    def __init__(self, start: Start, bench: Bench, made: bool) -> None:
        self._start, self._bench, self._made = start, bench, made
        self._rows = {name: row for row, name in enumerate(dict.fromkeys([HANDS, *bench.free]))}
        self._items: dict[int, int] = {}
        days = bench.workdays.days
        self.free: list[Sequence[int]] = [bench.free[name].amounts for name in self._rows]
        self.until = [days] * len(self.free)

    def job(self, job: Job, product: int) -> tuple[tuple[object, ...], list[tuple[int, int]]]:
        """A record of `JOB` and its parts."""
        sections = [
            self._held(job.pour_day),
            self._held(job.moulds),
            self._used((*job.materials, *self._preparations(job))),
            self._used(job.packaging),
        ]
        recipe = job.recipe
        record = (
            product,
            recipe.make_minutes + self._minutes_before(job),
            recipe.unmould_minutes,
            recipe.pack_minutes,
            recipe.good,
            job.product.shelf_life_days or self._bench.workdays.days,
            self._rows[job.tray.resource],
            job.tray.amount,
            *np.cumsum([len(section) for section in sections]),
        )
        return record, [part for section in sections for part in section]

    def _held(self, held: Iterable[Held]) -> list[tuple[int, int]]:
        return [(self._rows[part.resource], part.amount) for part in held if part.amount > 0]

    def _used(self, parts: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
        rooms = [(self._item(row), amount) for row, amount in parts]
        return [(room, amount) for room, amount in rooms if self.until[room] > 0]

    def _preparations(self, job: Job) -> tuple[tuple[int, int], ...]:
        return self._start.jobs.made(job.preparations) if self._made else ()

    def _minutes_before(self, job: Job) -> int:
        """A batch's share of the minutes for the lots that it needs."""
        if self._made:
            return 0
        recipes = [
            (self._start.jobs.lots[name].recipe, amount) for name, amount in job.preparations
        ]
        return round(
            sum(recipe.make_minutes * amount / recipe.amount for recipe, amount in recipes)
        )

    def _item(self, row: int) -> int:
        """The room of an item."""
        if row not in self._items:
            self._items[row] = len(self.free)
            room, until = _room_of(self._bench.pantry.stores[row])
            self.free.append(room)
            self.until.append(until)
        return self._items[row]


def _room_of(store: Store) -> tuple[list[int], int]:
    """What came of an item up to each day less its uses, and the day from which it has no limit."""
    room = arrivals(store.spans, store.days).cumsum() - store.uses.cumsum()
    limited, boundless = np.flatnonzero(~store.boundless), np.flatnonzero(store.boundless)
    if len(boundless):
        room[boundless[0] :] += PLENTY
    return room.tolist(), int(limited[-1]) + 1 if len(limited) else 0


def facts_of(
    start: Start, bench: Bench, made: bool, rules: Sequence[Ranking], kept: Kept
) -> tuple[Facts, list[Job], Ints, Ints]:
    """The facts, the jobs in their order, the rooms before any batch, and the bars that arrive.

    The bench is that of the start, with the lots of preparations that are `made`.
    """
    days = start.bench.workdays.days
    products = list(start.products)
    rooms = Rooms(start, bench, made)
    jobs = [job for product in products for job in start.jobs.batches[product]]
    made_of = [rooms.job(job, products.index(job.product.id)) for job in jobs]
    askings = [start.askings[product] for product in products]
    orders = [by_urgency(asking.orders) for asking in askings]
    facts = Facts(
        jobs=np.array([record for record, _ in made_of], JOB),
        parts=_filled([parts for _, parts in made_of]),
        steps=np.array([_steps(job, days) for job in jobs], np.int64),
        products=_products(start, askings),
        asked=np.array([_asked(asking) for asking in askings], np.int64),
        retail=_rows((row.bars for asking in askings for row in asking.retail), days),
        weight=np.array([row.weight for asking in askings for row in asking.retail], np.int64),
        orders=_rows(
            ((*_promise(row, days), max(0, row.day)) for rows in orders for row in rows), 5
        ),
        restocks=_rows((_restock(row, days) for asking in askings for row in asking.restocks), 4),
        launches=_rows(
            (
                (*_promise(row, days), list(start.launch_days).index(row.launch))
                for asking in askings
                for row in asking.launches
            ),
            5,
        ),
        wanted=np.array(list(start.launch_days.values()), np.int64),
        until=np.array(rooms.until, np.int64),
        working=np.array([start.bench.workdays.works >> day & 1 for day in range(days)], np.int64),
        wasted=np.array(start.jobs.wasted, np.int64),
        rules=np.array([[_rule(rule, product) for product in products] for rule in rules]),
        kept=_kept(jobs, days, kept.pours),
        worth=kept.worth,
    )
    arrived = np.array([arrivals(asking.opening, days) for asking in askings], np.int64)
    return facts, jobs, _rows(rooms.free, days), arrived


def _products(start: Start, askings: Sequence[Asking]) -> Records:
    """Records of `PRODUCT`."""
    counts = [
        (
            len(start.jobs.batches[asking.product]),
            len(asking.retail),
            len(asking.orders),
            len(asking.restocks),
            len(asking.launches),
        )
        for asking in askings
    ]
    firsts = np.cumsum([(0,) * 5, *counts], axis=0)
    keeps = [start.jobs.batches[asking.product][0].keeps for asking in askings]
    horizons = [
        asking.days if days is None else days for asking, days in zip(askings, keeps, strict=True)
    ]
    return np.array(
        [(*row, horizon) for row, horizon in zip(firsts, [*horizons, 0], strict=True)], PRODUCT
    )


def _steps(job: Job, days: int) -> Ints:
    """UNMOULD, CURED, RELEASE and LATEST for each day, and LATEST for the plan's length too."""
    latest = np.searchsorted(job.cured, np.arange(days + 1))
    ends = [(*steps, days) for steps in (job.unmould, job.cured, job.release)]
    return np.column_stack([*ends, latest])


def _asked(asking: Asking) -> Ints:
    """ASK, WORTH, LEVEL and EACH for each day."""
    return np.column_stack([asking.bars, asking.worth, asking.level, asking.below])


def _promise(row: Demand, days: int) -> tuple[int, int, int, int]:
    return row.day, row.quantity, row.weight, loss_if_unmet(row, days)


def _restock(row: Demand, days: int) -> tuple[int, int, int, int]:
    held = days_of(row, days)
    return held.start, held.stop, row.quantity, row.weight


def _rule(rule: Ranking, product: str) -> tuple[float, float, float, float]:
    return rule.due, rule.density, rule.ahead.get(product, 0.0), rule.each.get(product, 0.0)


def _kept(jobs: Sequence[Job], days: int, pours: Mapping[tuple[str, int, int], int]) -> Ints:
    """How often a kept plan pours each job on each day."""
    kept = np.zeros((len(jobs), days), np.int64)
    places = places_of(jobs)
    for (product, bars, day), count in pours.items():
        if (product, bars) in places and 0 <= day < days:
            kept[places[product, bars], day] = count
    return kept


def places_of(jobs: Sequence[Job]) -> dict[tuple[str, int], int]:
    """The place of each product and size among the jobs."""
    return {(job.product.id, job.recipe.bars): place for place, job in enumerate(jobs)}


def _filled(rows: Sequence[Sequence[tuple[int, int]]]) -> Ints:
    """Rows of pairs, those that are shorter filled up."""
    longest = max((len(row) for row in rows), default=0)
    filled = [[*row, *[(0, 0)] * (longest - len(row))] for row in rows]
    return np.array(filled, np.int64).reshape(len(rows), longest, 2)


def _rows(rows: Iterable[Sequence[int] | Ints], length: int) -> Ints:
    return np.array(list(rows), np.int64).reshape(-1, length)
