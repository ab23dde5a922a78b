"""A schedule that follows another plan's batches, each as near to its day as it fits."""

from collections.abc import Iterable
from dataclasses import replace

from planner.draft.bench import Bench
from planner.draft.choice import Choice, judged
from planner.draft.jobs import Job
from planner.draft.placing import Openings, Placed, place
from planner.draft.ranking import due_day
from planner.draft.schedule import Pass, Start
from planner.plan import Batch, in_plan_order


def following(start: Start, batches: Iterable[Batch], lots: Bench | None = None) -> Choice:
    """The batches that fit as they are, then the others in the order of their days, then what is
    still short of bars; on the start's bench, or on one that has lots of preparations besides.

    Those under way are in the start already. A batch that fits nowhere is left out, and so is one
    of a size that cannot be poured, or of a product that nobody asks for.
    """
    bench = (lots or start.bench).copy()
    placed = []
    moved = []
    planned = [batch for batch in batches if not batch.in_progress]
    for batch in sorted(planned, key=in_plan_order):
        for job in _jobs_for(start, batch):
            found = _as_it_is(start, bench, job, batch)
            if found is None:
                moved.append((job, batch))
            else:
                placed.append(found)
    for job, batch in moved:
        found = _nearest(start, bench, job, batch.pour, furthest=bench.workdays.days)
        if found is not None:
            placed.append(found)
    return judged(start, Pass(start, bench, placed).run(due_day))


def _jobs_for(start: Start, batch: Batch) -> list[Job]:
    """The job of the batch's size, if there is one and somebody asks for its bars."""
    if batch.product not in start.askings or not start.askings[batch.product].is_wanted:
        return []
    return [job for job in start.jobs.batches[batch.product] if job.recipe.bars == batch.bars]


def _as_it_is(start: Start, bench: Bench, job: Job, batch: Batch) -> Placed | None:
    """The batch just as it is: packed sooner, it might take the hands that others need."""
    waiting = replace(job, cured=tuple(max(day, batch.pack or 0) for day in job.cured))
    placed = _nearest(start, bench, waiting, batch.pour, furthest=0)
    return None if placed is None else replace(placed, job=job)


def _nearest(start: Start, bench: Bench, job: Job, day: int, furthest: int) -> Placed | None:
    """The batch on the nearest day, of two the earlier, from which its bars can be sold."""
    found = Openings(bench, start.jobs, job)
    days = [
        pour
        for pour in found.all()
        if abs(pour - day) <= furthest
        and found.pack(pour) < job.last_sale(pour, bench.workdays.days)
    ]
    return place(bench, start.jobs, job, found, sorted(days, key=lambda d: (abs(d - day), d)))
