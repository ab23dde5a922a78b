"""Where a batch fits: on which pour days every rule can be kept, and putting it there.

Feasible pour days are found for all days at once; only the preparations a batch needs are tried
one pour day after the other, since each lot changes what is free for the next.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from planner.draft.bench import Bench, Task
from planner.draft.capacity import HANDS, Take
from planner.draft.daysets import all_days, ascending, descending, first_from, last_before, runs
from planner.draft.jobs import Job, Jobs, takes_on
from planner.draft.offers import Span
from planner.draft.preparing import can_be_made, provide

TRIES = 12
"""Pour days on which a batch that needs preparations is tried before it is given up."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Placed:
    """A batch that has its place, and the bars that come of it.

    `value` is the loss that it was thought to spare when it was placed.
    """

    job: Job
    pour: int
    unmould: int
    pack: int
    task: Task
    bars: Span
    value: float = 0.0


class Openings:
    """The pour days on which a batch fits, each with the earliest day on which it can be packed.

    All rules up to the first night on the trays are looked at for all days at once, the days after
    it only for the pour days that are asked for. It holds until another batch is placed.
    """

    def __init__(self, bench: Bench, jobs: Jobs, job: Job) -> None:
        self._job = job
        self._days = bench.workdays.days
        self._hands = bench.free[HANDS]
        self._trays = bench.free[job.tray.resource].enough(job.tray.amount)
        self._packable = packable_days(bench, job)
        self._pours = self._possible(bench, jobs)
        self._packs: dict[int, int] = {}

    def pack(self, pour: int) -> int:
        """The earliest pack day of a batch poured on a day; the plan's length if it fits not."""
        pack = self._packs.get(pour)
        if pack is None:
            pack = self._packs[pour] = self._packed(pour)
        return pack

    def all(self) -> list[int]:
        """All pour days, the first first."""
        return [pour for pour in ascending(self._pours) if self.pack(pour) < self._days]

    def packed_before(self, due: int) -> Iterator[int]:
        """The pour days with which it is packed before a day, the last first."""
        latest = bisect_right(self._job.cured, last_before(self._packable, due))
        for pour in descending(self._pours & all_days(min(due, latest))):
            if self.pack(pour) < due:
                yield pour

    def packed_from(self, due: int) -> Iterator[tuple[int, int]]:
        """Pack and pour days where it is packed on a day or later, earliest pack day first.

        Of the pour days with the same pack day the last comes first.
        """
        earliest = bisect_left(self._job.cured, last_before(self._packable, due))
        alike: list[tuple[int, int]] = []
        for pour in ascending(self._pours >> earliest << earliest):
            pack = self.pack(pour)
            if due <= pack < self._days:
                if alike and alike[-1][0] != pack:
                    yield from reversed(alike)
                    alike = []
                alike.append((pack, pour))
        yield from reversed(alike)

    def _possible(self, bench: Bench, jobs: Jobs) -> int:
        """The pour days on which everything fits but maybe packing and the last days on trays."""
        job, recipe = self._job, self._job.recipe
        last_pack = last_before(self._packable, self._days)
        found = bench.workdays.works & job.curing.to(all_days(last_pack + 1))
        if job.product.set_days > 0:
            found &= self._hands.enough(recipe.make_minutes)
            found &= job.unmoulding.to(self._hands.enough(recipe.unmould_minutes))
        else:
            found &= self._hands.enough(recipe.make_minutes + recipe.unmould_minutes)
        for held in job.pour_day:
            found &= bench.free[held.resource].enough(held.amount)
        for held in job.moulds:
            found &= job.moulding.within(bench.free[held.resource].enough(held.amount))
        found &= job.unmoulding.to(runs(self._trays, job.on_trays))
        for row, amount in job.materials:
            found &= bench.pantry.enough(row, amount)
        for preparation, amount in job.preparations:
            if found:
                found &= can_be_made(bench, jobs, preparation, amount)
        return found

    def _packed(self, pour: int) -> int:
        """The first pack day, if there are trays up to it.

        Where packing would fall on the unmould day, one pair of hands must do both on that day, or
        packing waits for the next day that can take it.
        """
        job = self._job
        unmould = job.unmould[pour]
        pack = first_from(self._packable, job.cured[pour], self._days)
        if pack == unmould < self._days and self._hands.amounts[pack] < self._both(pour):
            pack = first_from(self._packable, unmould + 1, self._days)
        held = all_days(pack) >> unmould << unmould
        return pack if self._trays & held == held else self._days

    def _both(self, pour: int) -> int:
        """The minutes of packing and all that comes before it on the same day."""
        recipe = self._job.recipe
        before = recipe.make_minutes if self._job.unmould[pour] == pour else 0
        return before + recipe.unmould_minutes + recipe.pack_minutes


def place(
    bench: Bench,
    jobs: Jobs,
    job: Job,
    found: Openings,
    pours: Iterable[int],
    value: float = 0.0,
) -> Placed | None:
    """Put a batch on the first of the given pour days on which its preparations work out too."""
    for tries, pour in enumerate(pours):
        if tries == TRIES:
            break
        mark = bench.mark()
        placed = _place_on(bench, jobs, job, pour, found.pack(pour), value)
        if placed is not None:
            return placed
        bench.roll_back(mark)
    return None


def _place_on(
    bench: Bench, jobs: Jobs, job: Job, pour: int, pack: int, value: float
) -> Placed | None:
    unmould = job.unmould[pour]
    task = task_of(jobs, job, pour, pack)
    bench.do(task)
    if not all(bench.pantry.serves(row, pack) for row, _ in job.packaging):
        return None
    if not all(provide(bench, jobs, preparation, pour) for preparation, _ in job.preparations):
        return None
    bars = job.bars(pour, pack, bench.workdays.days)
    return Placed(job=job, pour=pour, unmould=unmould, pack=pack, task=task, bars=bars, value=value)


def task_of(jobs: Jobs, job: Job, pour: int, pack: int) -> Task:
    """What a batch takes and uses that is poured on one day and packed on another."""
    unmould = job.unmould[pour]
    recipe = job.recipe
    takes = [
        Take(HANDS, pour, pour + 1, recipe.make_minutes),
        Take(HANDS, unmould, unmould + 1, recipe.unmould_minutes),
        Take(HANDS, pack, pack + 1, recipe.pack_minutes),
        *takes_on(job.pour_day, pour, pour + 1),
        *takes_on(job.moulds, pour, job.release[pour]),
        *takes_on((job.tray,), unmould, pack),
    ]
    made = jobs.made(job.preparations)
    uses = (pour, job.materials), (pack, job.packaging), (pour, made)
    return Task(takes=tuple(takes), uses=uses)


def packable_days(bench: Bench, job: Job) -> int:
    """The days with hands and packaging to pack a batch."""
    days = bench.workdays.works & bench.free[HANDS].enough(job.recipe.pack_minutes)
    for row, amount in job.packaging:
        days &= bench.pantry.enough(row, amount)
    return days
