"""Batches poured before the first day: they hold moulds and trays until they are packed.

One that finds no hands or packaging within the plan stays on its trays to the plan's end.
"""

from collections.abc import Mapping

import numpy as np

from planner.draft.bench import Bench, Task, Use
from planner.draft.capacity import HANDS, Take, next_of
from planner.draft.jobs import Job, takes_on
from planner.draft.placing import room_for
from planner.plan import Batch, continued
from planner.workshop import Underway, Workshop


def finish_underway(
    workshop: Workshop,
    bench: Bench,
    jobs: Mapping[str, Job],
    packs: Mapping[str, int | None] | None = None,
) -> list[Batch]:
    """Pack every batch under way as soon as it can be; `jobs` has one job for each lot.

    `packs` says the day for each lot instead, None for one that stays on its trays. All of them
    unmould first: no packing may take the minutes that this needs.
    """
    batches = sorted(workshop.underway, key=lambda batch: (batch.unmould, batch.lot))
    for batch in batches:
        bench.do(_in_mould(batch, jobs[batch.lot], workshop.days))
    finished = []
    for batch in batches:
        job = jobs[batch.lot]
        pack = _first_day(bench, batch, job) if packs is None else packs[batch.lot]
        finished.append(_packed(bench, batch, job, pack))
    return finished


def _in_mould(batch: Underway, job: Job, days: int) -> Task:
    if not batch.in_mould:
        return Task()
    stop = min(days, batch.unmould)
    takes = takes_on(job.moulds, 0, stop)
    if 0 <= batch.unmould < days:
        minutes = job.recipe.unmould_minutes
        takes.append(Take(HANDS, batch.unmould, batch.unmould + 1, minutes))
    return Task(takes=tuple(takes))


def _first_day(bench: Bench, batch: Underway, job: Job) -> int | None:
    """The first day on which hands and packaging suffice to pack a batch."""
    days = bench.workdays.days
    cured = max(0, batch.unmould + job.product.cure_days)
    ready = (
        bench.workdays.works
        & (bench.free[HANDS] >= job.recipe.pack_minutes)
        & room_for(bench, job.packaging)
        & (np.arange(days) >= cured)
    )
    pack = int(next_of(ready)[0])
    return pack if pack < days else None


def _packed(bench: Bench, batch: Underway, job: Job, pack: int | None) -> Batch:
    days = bench.workdays.days
    start = min(days, max(0, batch.unmould))
    takes = takes_on((job.tray,), start, days if pack is None else pack)
    uses: tuple[Use, ...] = ()
    if pack is not None:
        takes.append(Take(HANDS, pack, pack + 1, job.recipe.pack_minutes))
        uses = tuple(Use(row=row, day=pack, amount=amount) for row, amount in job.packaging.pairs())
    bench.do(Task(takes=tuple(takes), uses=uses))
    return continued(batch, pack)
