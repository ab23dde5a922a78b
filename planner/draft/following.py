"""A schedule that follows pours proposed from elsewhere, each as near to its day as it fits."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from planner.draft.bench import Bench
from planner.draft.choice import Choice, judged
from planner.draft.jobs import Job
from planner.draft.placing import Placed, openings, place
from planner.draft.ranking import due_day
from planner.draft.schedule import Pass, Start


@dataclass(frozen=True, kw_only=True, order=True)
class Pour:
    """A batch that is proposed for a day."""

    day: int
    product: str
    bars: int


def following(start: Start, pours: Iterable[Pour]) -> Choice:
    """The proposed batches in the order of their days, then what is still short of bars.

    A batch that fits nowhere is left out, and so is one of a size that cannot be poured, or of a
    product that nobody asks for.
    """
    bench = start.bench.copy()
    placed = []
    for pour in sorted(pours):
        for job in _jobs_for(start, pour):
            found = _placed_near(start, bench, job, pour.day)
            if found is not None:
                placed.append(found)
    return judged(start, Pass(start, bench, placed).run(due_day))


def _jobs_for(start: Start, pour: Pour) -> list[Job]:
    """The job of the pour's size, if there is one and somebody asks for its bars."""
    if pour.product not in start.askings or not start.askings[pour.product].is_wanted:
        return []
    return [job for job in start.jobs.batches[pour.product] if job.recipe.bars == pour.bars]


def _placed_near(start: Start, bench: Bench, job: Job, day: int) -> Placed | None:
    """The batch on the nearest day, of two the earlier, from which its bars can be sold."""
    found = openings(bench, start.jobs, job)
    days = [
        pour
        for pour in np.flatnonzero(found.fits).tolist()
        if found.pack[pour] < job.last_sale(pour, bench.workdays.days)
    ]
    return place(bench, start.jobs, job, found, sorted(days, key=lambda d: (abs(d - day), d)))
