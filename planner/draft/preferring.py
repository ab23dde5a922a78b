"""Which of the days on which a batch fits it is tried on first.

The latest day in time is a good rule for most batches, not for all. Rebuilds that now and then
follow another one reach schedules that no order of batches leads to by that rule.
"""

from collections.abc import Callable, Sequence
from random import Random

import numpy as np

from planner.draft.bench import Bench
from planner.draft.capacity import HANDS
from planner.draft.jobs import Job, Jobs
from planner.draft.placing import Openings
from planner.draft.supply import Ints

Preference = Callable[[Bench, Jobs, Job, Openings, Sequence[int]], Sequence[int]]
"""From some pour days of a batch to the same in the order in which they are tried."""


def as_given(
    bench: Bench, jobs: Jobs, job: Job, found: Openings, pours: Sequence[int]
) -> Sequence[int]:
    """The order of the rule itself: the latest in time, or the first after it."""
    return pours


def shuffled(draw: Random) -> Preference:
    """Any order, as chance has it."""

    def shuffle(
        bench: Bench, jobs: Jobs, job: Job, found: Openings, pours: Sequence[int]
    ) -> Sequence[int]:
        return draw.sample(pours, len(pours))

    return shuffle


def tidiest(
    bench: Bench, jobs: Jobs, job: Job, found: Openings, pours: Sequence[int]
) -> Sequence[int]:
    """Those first on which least minutes are wasted, or most are used that were; else as given.

    Minutes of a day are wasted that no steps together can fill. Packing counts as if it fell on a
    day of its own.
    """
    free, recipe, overnight = bench.free[HANDS], job.recipe, job.product.set_days > 0

    def wasted_more(days: Ints, minutes: int) -> Ints:
        left = np.clip(free[days], 0, None)
        more: Ints = jobs.wasted[np.maximum(left - minutes, 0)] - jobs.wasted[left]
        return more

    pour: Ints = np.array(pours, np.int64)
    wasted = wasted_more(found.pack[pour], recipe.pack_minutes)
    if overnight:
        wasted += wasted_more(pour, recipe.make_minutes)
        wasted += wasted_more(job.unmould[pour], recipe.unmould_minutes)
    else:
        wasted += wasted_more(pour, recipe.make_minutes + recipe.unmould_minutes)
    return [pours[place] for place in np.argsort(wasted, kind="stable").tolist()]
