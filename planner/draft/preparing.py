"""Preparations made in-house: each lot on the latest day from which it still serves its use.

A preparation may use preparations; their lots are made the same way before it. Where no further
lot can be made for a batch, one already planned for a later use is put together earlier instead,
so that both uses draw on it.
"""

from itertools import islice

from planner.draft.bench import Bench, Task
from planner.draft.daysets import all_days, descending, spread
from planner.draft.jobs import Jobs, LotJob, takes_on

DEEPEST = 12
"""Preparations within preparations that are followed before it is taken for a circle."""

TRIES = 4
"""Make days tried for a lot, and planned lots tried to be made earlier."""


def can_be_made(bench: Bench, jobs: Jobs, preparation: str, amount: int, depth: int = 0) -> int:
    """Days on which an amount is in store, or a lot may be had; too hopeful where lots compete."""
    job = jobs.lots[preparation]
    whole = all_days(bench.workdays.days)
    in_store = bench.pantry.enough(job.row, amount)
    if depth > DEEPEST or in_store == whole:
        return in_store
    makeable = _make_days(bench, jobs, job, depth)
    kept = bench.workdays.days if job.shelf_days is None else job.shelf_days - job.ready_days + 1
    found = in_store | spread(makeable << job.ready_days, kept)
    if depth == 0:
        planned = bench.lots.get(preparation, [])
        found |= all_days(max((lot.make + job.ready_days for lot in planned), default=0))
    return found & whole


def provide(bench: Bench, jobs: Jobs, preparation: str, day: int, depth: int = 0) -> bool:
    """Make lots until what is used of a preparation on a day, so far overdrawn, can be used.

    If that fails the bench is left as far as it came; the caller rolls it back.
    """
    if depth > DEEPEST:
        return False
    job = jobs.lots[preparation]
    while not bench.pantry.serves(job.row, day):
        made = _make_lot(bench, jobs, job, day, depth)
        if not made and (depth > 0 or not _make_earlier(bench, jobs, job, day)):
            return False
    return True


def _make_days(bench: Bench, jobs: Jobs, job: LotJob, depth: int) -> int:
    """Working days with hands, vessel and parts for one lot."""
    makeable = bench.workdays.works if job.recipe.amount > 0 else 0
    for held in job.make_day:
        makeable &= bench.free[held.resource].enough(held.amount)
    for row, amount in job.materials:
        makeable &= bench.pantry.enough(row, amount)
    for part, amount in job.preparations:
        makeable &= can_be_made(bench, jobs, part, amount, depth + 1)
    return makeable


def _make_lot(bench: Bench, jobs: Jobs, job: LotJob, day: int, depth: int) -> bool:
    """Make one lot that can be used on a day, as late as that can be."""
    oldest = 0 if job.shelf_days is None else max(0, day - job.shelf_days)
    latest = day - job.ready_days
    if latest < oldest:
        return False
    days = _make_days(bench, jobs, job, depth) & all_days(latest + 1) & ~all_days(oldest)
    for make in islice(descending(days), TRIES):
        mark = bench.mark()
        if _make_on(bench, jobs, job, make, depth):
            return True
        bench.roll_back(mark)
    return False


def _make_on(bench: Bench, jobs: Jobs, job: LotJob, make: int, depth: int) -> bool:
    bench.do(lot_task(jobs, job, make, bench.workdays.days))
    return all(provide(bench, jobs, part, make, depth + 1) for part, _ in job.preparations)


def lot_task(jobs: Jobs, job: LotJob, make: int, days: int) -> Task:
    """What making a lot on a day takes, uses and brings."""
    return Task(
        takes=tuple(takes_on(job.make_day, make, make + 1)),
        uses=((make, job.materials), (make, jobs.made(job.preparations))),
        preparation=job.id,
        make=make,
        brings=job.span(make, days),
    )


def _make_earlier(bench: Bench, jobs: Jobs, job: LotJob, day: int) -> bool:
    """Make a lot planned for later uses sooner, if it then serves those and this day's use."""
    if bench.pantry.stores[job.row].balance() < 0:
        return False
    later = [lot for lot in bench.lots.get(job.id, []) if lot.make + job.ready_days > day]
    for lot in sorted(later, key=lambda lot: lot.make)[:TRIES]:
        mark = bench.mark()
        bench.undo(lot)
        moved = _make_lot(bench, jobs, job, day, 0)
        if moved and bench.pantry.serves_all(job.row):
            return True
        bench.roll_back(mark)
    return False
