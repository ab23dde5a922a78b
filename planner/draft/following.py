"""A schedule that follows pours proposed from elsewhere, each as near to its day as it fits."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from planner.draft.bench import Bench
from planner.draft.choice import Choice, judged
from planner.draft.jobs import Job
from planner.draft.placing import Placed, openings, place
from planner.draft.ranking import due_day
from planner.draft.schedule import Pass, Start


@dataclass(frozen=True, kw_only=True, order=True)
class Pour:
    """A batch that is proposed for a day, to be packed on `pack` or (0) as soon as can be.

    Without pack days, batches packed sooner than proposed may take the hands that others need.
    """

    day: int
    product: str
    bars: int
    pack: int = 0


def following(start: Start, pours: Iterable[Pour]) -> Choice:
    """The proposed batches in the order of their days, then what is still short of bars.

    A batch that fits nowhere is left out, and so is one of a size that cannot be poured, or of a
    product that nobody asks for.
    """
    bench = start.bench.copy()
    placed = []
    for pour in sorted(pours):
        for job in _jobs_for(start, pour):
            found = _placed(start, bench, job, pour)
            if found is not None:
                placed.append(found)
    return judged(start, Pass(start, bench, placed).run(due_day))


def _jobs_for(start: Start, pour: Pour) -> list[Job]:
    """The job of the pour's size, if there is one and somebody asks for its bars."""
    if pour.product not in start.askings or not start.askings[pour.product].is_wanted:
        return []
    return [job for job in start.jobs.batches[pour.product] if job.recipe.bars == pour.bars]


def _placed(start: Start, bench: Bench, job: Job, pour: Pour) -> Placed | None:
    """The batch just as proposed, else on the nearest day, packed as soon as can be."""
    waiting = replace(job, cured=np.maximum(job.cured, pour.pack))
    placed = _nearest(start, bench, waiting, pour.day, furthest=0)
    if placed is not None:
        return replace(placed, job=job)
    return _nearest(start, bench, job, pour.day, furthest=bench.workdays.days)


def _nearest(start: Start, bench: Bench, job: Job, day: int, furthest: int) -> Placed | None:
    """The batch on the nearest day, of two the earlier, from which its bars can be sold."""
    found = openings(bench, start.jobs, job)
    days = [
        pour
        for pour in np.flatnonzero(found.fits).tolist()
        if abs(pour - day) <= furthest
        and found.pack[pour] < job.last_sale(pour, bench.workdays.days)
    ]
    return place(bench, start.jobs, job, found, sorted(days, key=lambda d: (abs(d - day), d)))
