"""Which of the days on which a batch fits it is tried on first.

The latest day in time is a good rule for most batches, not for all. Rebuilds that now and then
follow another one reach schedules that no order of batches leads to by that rule.
"""

from collections.abc import Callable, Container, Iterable
from random import Random

from planner.draft.bench import Bench
from planner.draft.capacity import HANDS
from planner.draft.jobs import Job, Jobs
from planner.draft.placing import Openings

Preference = Callable[[Bench, Jobs, Job, Openings, Iterable[int]], Iterable[int]]
"""From some pour days of a batch to the same in the order in which they are tried."""


def as_given(
    bench: Bench, jobs: Jobs, job: Job, found: Openings, pours: Iterable[int]
) -> Iterable[int]:
    """The order of the rule itself: the latest in time, or the first after it."""
    return pours


def shuffled(draw: Random) -> Preference:
    """Any order, as chance has it."""

    def shuffle(
        bench: Bench, jobs: Jobs, job: Job, found: Openings, pours: Iterable[int]
    ) -> Iterable[int]:
        known = list(pours)
        return draw.sample(known, len(known))

    return shuffle


def as_kept(missing: Container[tuple[str, int, int]]) -> Preference:
    """Those first on which a kept plan pours such a batch (product, bars, day); else as given."""

    def keep(
        bench: Bench, jobs: Jobs, job: Job, found: Openings, pours: Iterable[int]
    ) -> Iterable[int]:
        product, bars = job.product.id, job.recipe.bars
        return sorted(pours, key=lambda pour: (product, bars, pour) not in missing)

    return keep


def snuggest(
    bench: Bench, jobs: Jobs, job: Job, found: Openings, pours: Iterable[int]
) -> Iterable[int]:
    """Those first beside which other batches leave fewest trays free, on the day before the batch
    comes on trays and on the day on which it leaves them; else as given.

    Free trays in one piece take further batches, those in gaps are lost.
    """
    free, amount = bench.free[job.tray.resource].amounts, job.tray.amount

    def free_beside(pour: int) -> int:
        beside = job.unmould[pour] - 1, found.pack(pour)
        return sum(min(free[day], amount) for day in beside if 0 <= day < len(free))

    return sorted(pours, key=free_beside)


def tidiest(
    bench: Bench, jobs: Jobs, job: Job, found: Openings, pours: Iterable[int]
) -> Iterable[int]:
    """Those first on which least minutes are wasted, or most are used that were; else as given.

    Minutes of a day are wasted that no steps together can fill. Packing counts as if it fell on a
    day of its own.
    """
    free = bench.free[HANDS].amounts

    def more_wasted(pour: int) -> int:
        wasted = 0
        days = job.step_days(pour, found.pack(pour))
        for minutes, day in zip(job.steps, days, strict=True):
            left = max(0, free[day])
            wasted += jobs.wasted[max(left - minutes, 0)] - jobs.wasted[left]
        return wasted

    return sorted(pours, key=more_wasted)
