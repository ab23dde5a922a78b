"""Batches poured before the first day: they hold moulds and trays until they are packed.

One that finds no hands or packaging within the plan stays on its trays to the plan's end.
"""

from collections.abc import Mapping

from planner.draft.bench import Bench, Task
from planner.draft.capacity import HANDS, Take
from planner.draft.daysets import first_from
from planner.draft.jobs import Job, takes_on
from planner.draft.placing import packable_days
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
    cured = max(0, batch.unmould + job.product.cure_days)
    pack = first_from(packable_days(bench, job), cured, bench.workdays.days)
    return pack if pack < bench.workdays.days else None


def _packed(bench: Bench, batch: Underway, job: Job, pack: int | None) -> Batch:
    days = bench.workdays.days
    start = min(days, max(0, batch.unmould))
    takes = takes_on((job.tray,), start, days if pack is None else pack)
    if pack is not None:
        takes.append(Take(HANDS, pack, pack + 1, job.recipe.pack_minutes))
    uses = () if pack is None else ((pack, job.packaging),)
    bench.do(Task(takes=tuple(takes), uses=uses))
    return continued(batch, pack)
