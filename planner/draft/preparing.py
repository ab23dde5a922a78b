"""Preparations made in-house: each lot on the latest day from which it still serves its use.

A preparation may use preparations; their lots are made the same way before it. Where no further
lot can be made for a batch, one already planned for a later use is put together earlier instead,
so that both uses draw on it.
"""

import numpy as np

from planner.draft.bench import Bench, Task, Use
from planner.draft.jobs import Jobs, LotJob, takes_on
from planner.draft.supply import Flags, Ints

DEEPEST = 12
"""Preparations within preparations that are followed before it is taken for a circle."""

TRIES = 4
"""Make days tried for a lot, and planned lots tried to be made earlier."""


def can_be_made(bench: Bench, jobs: Jobs, preparation: str, amount: int, depth: int = 0) -> Flags:
    """Days on which an amount is in store, or a lot may be had; too hopeful where lots compete."""
    job = jobs.lots[preparation]
    in_store: Flags = bench.pantry.rooms()[job.row] >= amount
    if depth > DEEPEST or in_store.all():
        return in_store
    days = bench.workdays.days
    makeable = _make_days(bench, jobs, job, depth)
    counted = np.append(0, np.cumsum(makeable))
    uses = np.arange(days)
    latest = np.clip(uses - job.ready_days + 1, 0, days)
    oldest = 0 if job.shelf_days is None else np.clip(uses - job.shelf_days, 0, days)
    within_reach = counted[latest] > counted[np.minimum(oldest, latest)]
    found = np.asarray(in_store | within_reach)
    if depth == 0:
        planned = bench.lots.get(preparation, [])
        found |= uses < max((lot.make + job.ready_days for lot in planned), default=0)
    return found


def provide(bench: Bench, jobs: Jobs, preparation: str, day: int, depth: int = 0) -> bool:
    """Make lots until what is used of a preparation on a day, so far overdrawn, can be used.

    If that fails the bench is left as far as it came; the caller rolls it back.
    """
    if depth > DEEPEST:
        return False
    job = jobs.lots[preparation]
    while bench.pantry.room(job.row, day) < 0:
        made = _make_lot(bench, jobs, job, day, depth)
        if not made and (depth > 0 or not _make_earlier(bench, jobs, job, day)):
            return False
    return True


def _make_days(bench: Bench, jobs: Jobs, job: LotJob, depth: int) -> Flags:
    """Working days with hands, vessel and parts for one lot."""
    makeable = bench.workdays.works & (job.recipe.amount > 0)
    for held in job.make_day:
        makeable &= bench.free[held.resource] >= held.amount
    if len(job.materials.rows):
        rooms = bench.pantry.rooms()[job.materials.rows]
        makeable &= (rooms >= job.materials.amounts[:, None]).all(axis=0)
    for part, amount in job.preparations:
        makeable &= can_be_made(bench, jobs, part, amount, depth + 1)
    return makeable


def _make_lot(bench: Bench, jobs: Jobs, job: LotJob, day: int, depth: int) -> bool:
    """Make one lot that can be used on a day, as late as that can be."""
    oldest = 0 if job.shelf_days is None else max(0, day - job.shelf_days)
    latest = day - job.ready_days
    if latest < oldest:
        return False
    window = _make_days(bench, jobs, job, depth)[oldest : latest + 1]
    candidates: Ints = np.flatnonzero(window)[::-1] + oldest
    for make in candidates[:TRIES].tolist():
        mark = bench.mark()
        if _make_on(bench, jobs, job, make, depth):
            return True
        bench.roll_back(mark)
    return False


def _make_on(bench: Bench, jobs: Jobs, job: LotJob, make: int, depth: int) -> bool:
    parts = job.materials.pairs()
    parts += [(jobs.lots[part].row, amount) for part, amount in job.preparations]
    bench.do(
        Task(
            takes=tuple(takes_on(job.make_day, make, make + 1)),
            uses=tuple(Use(row=row, day=make, amount=amount) for row, amount in parts),
            preparation=job.id,
            make=make,
            brings=job.span(make, bench.workdays.days),
        )
    )
    return all(provide(bench, jobs, part, make, depth + 1) for part, _ in job.preparations)


def _make_earlier(bench: Bench, jobs: Jobs, job: LotJob, day: int) -> bool:
    """Make a lot planned for later uses sooner, if it then serves those and this day's use."""
    if bench.pantry.stores[job.row].balance() < 0:
        return False
    later = [lot for lot in bench.lots.get(job.id, []) if lot.make + job.ready_days > day]
    for lot in sorted(later, key=lambda lot: lot.make)[:TRIES]:
        mark = bench.mark()
        bench.undo(lot)
        moved = _make_lot(bench, jobs, job, day, 0)
        if moved and not (bench.pantry.rooms()[job.row] < 0).any():
            return True
        bench.roll_back(mark)
    return False
