"""Batches poured before the first day: they hold moulds and trays until they are packed."""

from collections.abc import Mapping

import numpy as np

from planner.draft.bench import Bench, Task, Use
from planner.draft.capacity import HANDS, Take, next_of
from planner.draft.jobs import Job, takes_on
from planner.draft.placing import room_for
from planner.plan import Batch
from planner.workshop import Underway, Workshop


def finish_underway(workshop: Workshop, bench: Bench, jobs: Mapping[str, Job]) -> list[Batch]:
    """Pack every batch under way as soon as it can be; `jobs` has one job for each lot.

    All of them unmould first: no packing may take the minutes that this needs.
    """
    batches = sorted(workshop.underway, key=lambda batch: (batch.unmould, batch.lot))
    for batch in batches:
        bench.do(_in_mould(batch, jobs[batch.lot], workshop.days))
    return [_packed(bench, batch, jobs[batch.lot]) for batch in batches]


def _in_mould(batch: Underway, job: Job, days: int) -> Task:
    if not batch.in_mould:
        return Task()
    stop = min(days, batch.unmould)
    takes = takes_on(job.moulds, 0, stop)
    if 0 <= batch.unmould < days:
        minutes = job.recipe.unmould_minutes
        takes.append(Take(HANDS, batch.unmould, batch.unmould + 1, minutes))
    return Task(takes=tuple(takes))


def _packed(bench: Bench, batch: Underway, job: Job) -> Batch:
    days = bench.workdays.days
    cured = max(0, batch.unmould + job.product.cure_days)
    ready = (
        bench.workdays.works
        & (bench.free[HANDS] >= job.recipe.pack_minutes)
        & room_for(bench, job.packaging)
        & (np.arange(days) >= cured)
    )
    pack = int(next_of(ready)[0])
    start = min(days, max(0, batch.unmould))
    takes = takes_on((job.tray,), start, pack)
    uses: tuple[Use, ...] = ()
    if pack < days:
        takes.append(Take(HANDS, pack, pack + 1, job.recipe.pack_minutes))
        uses = tuple(Use(row=row, day=pack, amount=amount) for row, amount in job.packaging.pairs())
    bench.do(Task(takes=tuple(takes), uses=uses))
    return Batch(
        pour=batch.pour,
        product=batch.product,
        bars=batch.bars,
        unmould=batch.unmould,
        pack=pack if pack < days else None,
        lot=batch.lot,
    )
