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

    A batch that fits nowhere is left out, and so is one of a size that cannot be poured.
    """
    bench = start.bench.copy()
    placed = []
    for pour in sorted(pours):
        jobs = start.jobs.batches.get(pour.product, ())
        for job in (job for job in jobs if job.recipe.bars == pour.bars):
            found = _placed_near(start, bench, job, pour.day)
            if found is not None:
                placed.append(found)
    return judged(start, Pass(start, bench, placed).run(due_day))


def _placed_near(start: Start, bench: Bench, job: Job, day: int) -> Placed | None:
    found = openings(bench, start.jobs, job)
    days = np.flatnonzero(found.fits & (found.pack < bench.workdays.days - 1)).tolist()
    return place(bench, start.jobs, job, found, sorted(days, key=lambda d: (abs(d - day), d)))
