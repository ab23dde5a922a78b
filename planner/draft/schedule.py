"""One pass of the list scheduler: batch after batch, each where it serves its need best.

The need that ranks first gets its batch next: on the latest pour day that still meets the due day,
so that nothing is held needlessly, else on the earliest day after it that still serves something.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache, partial
from itertools import islice, takewhile

from planner.draft.asking import Asking, askings_of
from planner.draft.bench import Bench, empty_bench
from planner.draft.jobs import Job, Jobs, job_of, jobs_of
from planner.draft.needs import Need, ProductNeed, launch_days_of
from planner.draft.offers import Span
from planner.draft.placing import TRIES, Openings, Placed, place
from planner.draft.preferring import Preference, as_given
from planner.draft.ranking import Rule
from planner.draft.underway import finish_underway
from planner.plan import Batch, PreparationLot, Purchase
from planner.recipes import recipe_of
from planner.workshop import Workshop

REMEMBERED = 4
"""First needs that are remembered for each product."""


@dataclass(frozen=True, kw_only=True)
class Start:
    """The workshop before anything new is planned; askings count what stands as on hand.

    Batches under way stand, and of a plan with frozen days what it has in them: batches, lots of
    preparations and orders.
    """

    bench: Bench
    jobs: Jobs
    askings: Mapping[str, Asking]
    standing: tuple[Batch, ...]
    lots: tuple[PreparationLot, ...] = ()
    orders: tuple[Purchase, ...] = ()

    @cached_property
    def products(self) -> tuple[str, ...]:
        """The products that somebody asks for and that can be made."""
        asked = (product for product, asking in self.askings.items() if asking.is_wanted)
        return tuple(product for product in asked if self.jobs.batches[product])

    @cached_property
    def launch_days(self) -> Mapping[str, int]:
        """The day on which each launch is wanted."""
        return launch_days_of(self.askings)

    @cached_property
    def first_need(self) -> Callable[[str, tuple[Span, ...]], tuple[Need, float] | None]:
        """The first need of a product with the bars of some batches, as `first_need_of` has it.

        The last ones are remembered, since from pass to pass most products keep their batches.
        """
        return lru_cache(maxsize=REMEMBERED * len(self.askings))(partial(first_need_of, self))


@dataclass(frozen=True, kw_only=True)
class Schedule:
    """The batches that one pass placed, and the bench on which they stand."""

    placed: tuple[Placed, ...]
    bench: Bench


def start_of(workshop: Workshop, packs: Mapping[str, int | None] | None = None) -> Start:
    """Everything that all passes share.

    `packs` gives the pack day of each batch under way, None for one that stays on its trays;
    without it each is packed as soon as it can be.
    """
    bench = empty_bench(workshop)
    jobs = jobs_of(workshop, bench.workdays, bench.pantry)
    underway = {
        batch.lot: job_of(
            workshop, recipe_of(workshop, batch.product, batch.bars), bench.workdays, bench.pantry
        )
        for batch in workshop.underway
    }
    batches = finish_underway(workshop, bench, underway, packs)
    askings = askings_of(workshop)
    for batch in batches:
        if batch.pack is not None:
            job = underway[batch.lot]
            span = job.bars(batch.pour, batch.pack, workshop.days)
            askings[batch.product] = askings[batch.product].with_bars(span)
    return Start(bench=bench, jobs=jobs, askings=askings, standing=tuple(batches))


def first_need_of(start: Start, product: str, bars: tuple[Span, ...]) -> tuple[Need, float] | None:
    """What a product is short of before a pass, and the loss that one batch would spare."""
    waiting = ProductNeed(start.askings[product], dict(start.launch_days), bars)
    return _worth(waiting.next(), start.jobs)


class Pass:
    """A schedule that grows batch by batch, from nothing or from the batches of another one.

    A preference may change the order of the first days on which a batch is tried.
    """

    def __init__(
        self,
        start: Start,
        bench: Bench | None = None,
        kept: Iterable[Placed] = (),
        prefer: Preference = as_given,
    ) -> None:
        self.prefer = prefer
        self.days = start.bench.workdays.days
        self.jobs = start.jobs
        self.bench = bench or start.bench.copy()
        self.placed = list(kept)
        self._launch_days = dict(start.launch_days)
        self._open: dict[str, tuple[Need, float]] = {}
        self._found: dict[tuple[str, int], Openings] = {}
        self._start = start
        self._bars: dict[str, list[Span]] = {product: [] for product in start.products}
        self._needs: dict[str, ProductNeed] = {}
        for placed in self.placed:
            self._bars[placed.job.product.id].append(placed.bars)
        for product, spans in self._bars.items():
            self._note(product, start.first_need(product, tuple(spans)))

    @property
    def needs(self) -> dict[str, Need]:
        """The next need of each product that is still short of bars."""
        return {product: need for product, (need, _) in self._open.items()}

    def set_aside(self, products: Iterable[str]) -> None:
        """Leave what these products are short of as it is."""
        for product in products:
            self._note(product, None)

    def run(self, rule: Rule) -> Schedule:
        """Place batches until no need is left that can be served."""
        while self._open:
            need, value = min(self._open.values(), key=lambda entry: rule(*entry))
            if not (self._in_time(need, value) or self._late(need, value)):
                self._give_up(need)
        return Schedule(placed=tuple(self.placed), bench=self.bench)

    def run_backward(self, rule: Rule) -> Schedule:
        """Place all needs from the last due day to the first, then serve what is still short."""
        needs = sorted(_all_needs(self._start), key=lambda entry: (-entry[1], -entry[2]))
        for job, due, value in needs:
            self._place_before(job, due, value)
        for product in self._bars:
            self._look_ahead(product)
        return self.run(rule)

    def _need_of(self, product: str) -> ProductNeed:
        """A product's demand and supply, set up once it is looked at."""
        if product not in self._needs:
            asking, bars = self._start.askings[product], self._bars[product]
            self._needs[product] = ProductNeed(asking, self._launch_days, bars)
        return self._needs[product]

    def _look_ahead(self, product: str) -> None:
        self._note(product, _worth(self._need_of(product).next(), self.jobs))

    def _note(self, product: str, need: tuple[Need, float] | None) -> None:
        self._open.pop(product, None)
        if need is not None:
            self._open[product] = need

    def _in_time(self, need: Need, value: float) -> bool:
        """Place a batch that can be sold on the due day."""
        wanted = need.wanted(need.due, self._horizon(need.product, need.due))
        for job in suited(self.jobs.batches[need.product], wanted):
            if self._place_before(job, need.due, value):
                self._look_ahead(need.product)
                return True
        return False

    def _place_before(self, job: Job, due: int, value: float) -> bool:
        found = self._openings(job)
        pours = (pour for pour in found.packed_before(due) if self._keeps(job, pour, due))
        return self._put(job, found, pours, value)

    def _openings(self, job: Job) -> Openings:
        """Where a batch fits, looked for once until another is placed."""
        key = job.product.id, job.recipe.bars
        if key not in self._found:
            self._found[key] = Openings(self.bench, self.jobs, job)
        return self._found[key]

    def _keeps(self, job: Job, pour: int, day: int) -> bool:
        return job.last_sale(pour, self.days) >= day

    def _late(self, need: Need, value: float) -> bool:
        """Place a batch as early as can be after its due day, if its bars still serve anything."""
        jobs = self.jobs.batches[need.product]
        earliest = next(self._pours_after(jobs[0], need.due), None)
        if earliest is not None:
            jobs = suited(jobs, self._wanted_after(need, earliest[0] + 1))
        for job in jobs:
            pours = (
                pour
                for pack, pour in self._pours_after(job, need.due)
                if self._keeps(job, pour, pack + 1) and self._wanted_after(need, pack + 1)
            )
            if self._put(job, self._openings(job), pours, value):
                self._slip(need, self.placed[-1].pack + 1)
                return True
        return False

    def _pours_after(self, job: Job, due: int) -> Iterator[tuple[int, int]]:
        """Pack and pour days that miss the due day, the earliest to be packed first."""
        found = self._openings(job).packed_from(due)
        return takewhile(lambda days: days[0] < self.days - 1, found)

    def _wanted_after(self, need: Need, day: int) -> int:
        """Bars that serve something from a later day on: what slips to it, and what follows."""
        if day >= self.days:
            return 0
        waiting = self._need_of(need.product).waiting(need, day)
        return waiting + need.wanted(day, self._horizon(need.product, day))

    def _horizon(self, product: str, day: int) -> int:
        """The last day on which bars that are first sold on a day can be expected to keep."""
        keeps = self.jobs.batches[product][0].keeps
        return self.days - 1 if keeps is None else max(day, min(self.days - 1, day + keeps))

    def _put(self, job: Job, found: Openings, pours: Iterable[int], value: float) -> bool:
        first = islice(pours, TRIES)
        preferred = self.prefer(self.bench, self.jobs, job, found, first)
        placed = place(self.bench, self.jobs, job, found, preferred, value)
        if placed is None:
            return False
        self._found.clear()
        self.placed.append(placed)
        self._need_of(job.product.id).add(placed.bars)
        return True

    def _slip(self, need: Need, day: int) -> None:
        slipped = self._need_of(need.product).slip(need, day)
        self._look_ahead(need.product)
        self._look_again(slipped)

    def _give_up(self, need: Need) -> None:
        """No batch of the product fits any more: its launches that are short never happen."""
        del self._open[need.product]
        cancelled = [
            row.launch
            for row in self._start.askings[need.product].launches
            if self._launch_days[row.launch] < self.days
            and need.below[self._launch_days[row.launch]]
        ]
        for name in cancelled:
            self._launch_days[name] = self.days
        self._look_again(cancelled)

    def _look_again(self, launches: list[str]) -> None:
        """Renew the needs of the other products of launches that moved."""
        for product in list(self._open):
            rows = self._start.askings[product].launches
            if any(row.launch in launches for row in rows):
                self._look_ahead(product)


def _worth(need: Need | None, jobs: Jobs) -> tuple[Need, float] | None:
    """A need with the loss that a batch of the largest size would spare."""
    if need is None:
        return None
    return need, need.value(need.due, jobs.batches[need.product][0].recipe.good)


def suited(jobs: tuple[Job, ...], wanted: int) -> tuple[Job, ...]:
    """The largest size, or the smallest that covers what is wanted; then the smaller ones."""
    covering = [index for index, job in enumerate(jobs) if job.recipe.good >= wanted]
    return jobs[covering[-1] if covering else 0 :]


def _all_needs(start: Start) -> list[tuple[Job, int, float]]:
    """Every batch that is needed, with its due day, if each were ready just in time."""
    found: list[tuple[Job, int, float]] = []
    for product in start.products:
        pretended = ProductNeed(start.askings[product], dict(start.launch_days))
        while (need := pretended.next()) is not None:
            wanted = need.wanted(need.due, start.bench.workdays.days - 1)
            job = suited(start.jobs.batches[product], wanted)[0]
            found.append((job, need.due, need.value(need.due, job.recipe.good)))
            last = job.last_sale(max(0, need.due - 1), start.bench.workdays.days)
            pretended.add(Span(first=need.due, last=max(need.due, last), amount=job.recipe.good))
    return found
