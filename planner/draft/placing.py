"""Where a batch fits: on which pour days every rule can be kept, and putting it there.

Feasible pour days are found for all days at once; only the preparations a batch needs are tried
one pour day after the other, since each lot changes what is free for the next.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from planner.draft.bench import Bench, Task, Use
from planner.draft.capacity import HANDS, Take, next_of
from planner.draft.jobs import Job, Jobs, Parts, takes_on
from planner.draft.offers import Span
from planner.draft.preparing import can_be_made, provide
from planner.draft.supply import Flags, Ints

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


@dataclass(frozen=True, kw_only=True)
class Openings:
    """For every pour day whether a batch fits there, and the day on which it is packed."""

    fits: Flags
    pack: Ints


def openings(bench: Bench, jobs: Jobs, job: Job) -> Openings:
    """All pour days on which a batch can be placed, each with its earliest pack day."""
    pack = _pack_days(bench, job)
    unmould = np.minimum(job.unmould, bench.workdays.days - 1)
    fits = np.asarray(bench.workdays.works & (pack < bench.workdays.days))
    fits &= _hands_suffice(bench, job, unmould, pack)
    fits &= room_for(bench, job.materials)
    for held in job.pour_day:
        fits &= np.asarray(bench.free[held.resource] >= held.amount)
    pours = np.arange(bench.workdays.days)
    for held in job.moulds:
        fits &= _free_throughout(bench.free[held.resource], held.amount, pours, job.release)
    tray = bench.free[job.tray.resource]
    fits &= _free_throughout(tray, job.tray.amount, job.unmould, pack)
    for preparation, amount in job.preparations:
        if fits.any():
            fits &= can_be_made(bench, jobs, preparation, amount)
    return Openings(fits=fits, pack=pack)


def room_for(bench: Bench, parts: Parts) -> Flags:
    """The days on which all parts can be used without taking them from other uses."""
    if not len(parts.rows):
        return np.ones(bench.workdays.days, np.bool_)
    rooms = bench.pantry.rooms()[parts.rows]
    return np.asarray((rooms >= parts.amounts[:, None]).all(axis=0))


def place(
    bench: Bench, jobs: Jobs, job: Job, found: Openings, pours: Iterable[int]
) -> Placed | None:
    """Put a batch on the first of the given pour days on which its preparations work out too."""
    for tries, pour in enumerate(pours):
        if tries == TRIES:
            break
        mark = bench.mark()
        placed = _place_on(bench, jobs, job, pour, int(found.pack[pour]))
        if placed is not None:
            return placed
        bench.roll_back(mark)
    return None


def _place_on(bench: Bench, jobs: Jobs, job: Job, pour: int, pack: int) -> Placed | None:
    unmould = int(job.unmould[pour])
    task = _task(jobs, job, pour, pack)
    bench.do(task)
    if any(bench.pantry.room(row, pack) < 0 for row, _ in job.packaging.pairs()):
        return None
    if not all(provide(bench, jobs, preparation, pour) for preparation, _ in job.preparations):
        return None
    bars = job.bars(pour, pack, bench.workdays.days)
    return Placed(job=job, pour=pour, unmould=unmould, pack=pack, task=task, bars=bars)


def _task(jobs: Jobs, job: Job, pour: int, pack: int) -> Task:
    unmould = int(job.unmould[pour])
    recipe = job.recipe
    takes = [
        Take(HANDS, pour, pour + 1, recipe.make_minutes),
        Take(HANDS, unmould, unmould + 1, recipe.unmould_minutes),
        Take(HANDS, pack, pack + 1, recipe.pack_minutes),
        *takes_on(job.pour_day, pour, pour + 1),
        *takes_on(job.moulds, pour, int(job.release[pour])),
        *takes_on((job.tray,), unmould, pack),
    ]
    uses = [Use(row=row, day=pour, amount=amount) for row, amount in job.materials.pairs()]
    uses += [Use(row=row, day=pack, amount=amount) for row, amount in job.packaging.pairs()]
    uses += [
        Use(row=jobs.lots[preparation].row, day=pour, amount=amount)
        for preparation, amount in job.preparations
    ]
    return Task(takes=tuple(takes), uses=tuple(uses))


def packable_days(bench: Bench, job: Job) -> Ints:
    """For each day the first from it on with hands and packaging to pack a batch."""
    hands = bench.free[HANDS] >= job.recipe.pack_minutes
    return next_of(hands & bench.workdays.works & room_for(bench, job.packaging))


def _pack_days(bench: Bench, job: Job) -> Ints:
    """The earliest pack day for each pour day; the plan's length if there is none.

    Where packing would fall on the unmould day, one pair of hands must do both on that day, or
    packing waits for the next day that can take it.
    """
    following = packable_days(bench, job)
    pack = following[job.cured]
    if job.product.cure_days > 0:
        return pack
    days = bench.workdays.days
    recipe = job.recipe
    same_day = np.where(job.unmould == np.arange(days), recipe.make_minutes, 0)
    both = recipe.pack_minutes + recipe.unmould_minutes + same_day
    hands = np.append(bench.free[HANDS], 0)
    crowded = (pack == job.unmould) & (hands[pack] < both)
    return np.where(crowded, following[np.minimum(job.unmould + 1, days)], pack)


def _hands_suffice(bench: Bench, job: Job, unmould: Ints, pack: Ints) -> Flags:
    """Minutes on the pour day and on the unmould day, with all that falls on the same day."""
    hands = bench.free[HANDS]
    recipe = job.recipe
    pours = np.arange(bench.workdays.days)
    on_unmould = recipe.unmould_minutes + np.where(pack == unmould, recipe.pack_minutes, 0)
    on_pour = recipe.make_minutes + np.where(unmould == pours, on_unmould, 0)
    return (hands >= on_pour) & (hands[unmould] >= on_unmould)


def _free_throughout(free: Ints, amount: int, first: Ints, stop: Ints) -> Flags:
    """True where an amount is free on all days from `first` up to, without, `stop`."""
    missing = free < amount
    if not missing.any():
        return np.ones(len(free), np.bool_)
    short = np.zeros(len(free) + 1, np.int64)
    missing.cumsum(out=short[1:])
    within: Flags = short[np.maximum(first, stop)] == short[first]
    return within
