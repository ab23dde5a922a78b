"""A plan as a textbook makes it: explode the demand, offset by lead times, then find room.

Material requirements planning (Orlicky, Material Requirements Planning, 1975; Hopp and Spearman,
Factory Physics, chapter on MRP; both from memory) in four steps:

1. Netting: demand for each product less stock on hand, batches under way and earlier receipts.
2. Lot sizing: fixed order quantity, the good bars of one batch of the largest size.
3. Offsetting: a receipt is released the lead time (setting, cure, and the night after packing)
   before its due day, counted in the workshop's calendar, so that it comes in time; on the first
   day of the plan if that is past.
4. Finite forward loading: the method knows no capacities, so each batch in turn, by planned pour
   day and then due day, slides to the first later day on which everything suffices; where none
   does, it is left out.

Preparations are made lot for lot, each lot as late as its use allows, and materials are bought for
what is used. Nothing is tried twice, and no batch makes room for a more important one.
"""

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass, replace

from planner.draft import purchases_for
from planner.draft.daysets import last_before
from planner.draft.jobs import Job
from planner.draft.placing import Openings, Placed, place
from planner.draft.schedule import Schedule, Start, start_of
from planner.draft.writing import all_batches, all_lots
from planner.needs import requirements_of
from planner.plan import Plan, in_plan_order
from planner.replay import earliest_promises
from planner.requirements import Item, Record, fixed_quantity, record_of
from planner.workshop import Workshop


@dataclass(frozen=True, kw_only=True)
class Release:
    """A batch that the requirements ask for on day `due`, and the day to pour it for that."""

    pour: int
    due: int
    job: Job


def textbook_plan(workshop: Workshop) -> Plan:
    """The textbook's plan, with every promise on the earliest day that it can keep.

    Budgets are no part of the method: raises ValueError where they cannot pay for the plan.
    """
    start = start_of(workshop)
    schedule = _loaded(start, sorted(_releases(workshop, start), key=_urgency))
    batches, lots = all_batches(start, schedule), all_lots(start, schedule)
    purchases = purchases_for(workshop, batches, lots)
    if purchases is None:
        raise ValueError(f"the budgets of {workshop.name} cannot pay for the textbook's plan")
    plan = Plan(
        batches=tuple(sorted(batches, key=in_plan_order)), preparations=lots, purchases=purchases
    )
    return replace(plan, promises=earliest_promises(workshop, plan))


def _releases(workshop: Workshop, start: Start) -> Iterator[Release]:
    """Every batch of every product, in table order; one without a size that fits has none."""
    records = requirements_of(workshop)
    for product in workshop.products:
        for job in start.jobs.batches[product][:1]:
            good = job.recipe.good
            for due, bars in enumerate(_receipts(records[product], good)):
                pour = _latest_pour(start, job, due)
                yield from [Release(pour=pour, due=due, job=job)] * (bars // good)


def _urgency(release: Release) -> tuple[int, int]:
    """Earlier pour days first; of two, what is due first. Equals stay in table order."""
    return release.pour, release.due


def _receipts(record: Record, good: int) -> tuple[int, ...]:
    """Bars to come in on each day, in whole batches of so many good bars."""
    item = Item(scheduled=record.scheduled, sizing=fixed_quantity(good))
    return record_of(item, record.gross).receipts


def _latest_pour(start: Start, job: Job, due: int) -> int:
    """The last working day on which a batch can be poured and be packed before a day; else 0."""
    in_time = bisect_left(job.cured, due)
    return max(0, last_before(start.bench.workdays.works, in_time))


def _loaded(start: Start, releases: list[Release]) -> Schedule:
    """Every release on the first day from its own on that can take it."""
    placed: list[Placed] = []
    for release in releases:
        found = Openings(start.bench, start.jobs, release.job)
        pours = (pour for pour in found.all() if pour >= release.pour)
        batch = place(start.bench, start.jobs, release.job, found, pours)
        if batch is not None:
            placed.append(batch)
    return Schedule(placed=tuple(placed), bench=start.bench)
