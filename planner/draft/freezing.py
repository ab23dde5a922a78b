"""The frozen days of a plan, as a start to which a schedule can only add on later days.

What the plan does in them stands like a batch under way: it is in nobody's hands to move it.
"""

from dataclasses import replace

from planner.draft.bench import Bench
from planner.draft.capacity import Workdays
from planner.draft.jobs import Job
from planner.draft.placing import task_of
from planner.draft.preparing import lot_task
from planner.draft.schedule import Start
from planner.plan import Batch, Plan


def frozen_start(start: Start, plan: Plan, end: int) -> Start:
    """The start with all that a plan pours, makes and orders before day `end`, and nothing else.

    The plan keeps every rule; what it orders in those days is in store already. Of a batch poured
    before that day, packing later stands too.
    """
    bench, askings = start.bench.copy(), dict(start.askings)
    lots = tuple(lot for lot in plan.preparations if lot.make < end)
    for lot in lots:
        made = start.jobs.lots[lot.preparation]
        bench.do(lot_task(start.jobs, made, lot.make, bench.workdays.days))
    batches = [batch for batch in plan.batches if not batch.in_progress and batch.pour < end]
    for batch in batches:
        if batch.pack is None:
            raise AssertionError("only a batch under way may stay on its trays")
        job = _job_of(start, batch)
        bench.do(task_of(start.jobs, job, batch.pour, batch.pack))
        bars = job.bars(batch.pour, batch.pack, bench.workdays.days)
        askings[batch.product] = askings[batch.product].with_bars(bars)
    bench.lots.clear()  # so that none of them is moved or left out
    _close(bench, end)
    return replace(
        start,
        bench=bench,
        askings=askings,
        standing=(*start.standing, *batches),
        lots=lots,
        orders=tuple(order for order in plan.purchases if order.order < end),
    )


def _job_of(start: Start, batch: Batch) -> Job:
    jobs = start.jobs.batches[batch.product]
    return next(job for job in jobs if job.recipe.bars == batch.bars)


def _close(bench: Bench, end: int) -> None:
    """Let nothing more begin before a day."""
    works = bench.workdays.works >> end << end
    bench.workdays = Workdays(days=bench.workdays.days, works=works)
