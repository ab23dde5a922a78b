"""The door of the list scheduler: a complete plan by rule of thumb."""

from planner.draft.affording import Affordable, affordable
from planner.draft.buying import purchases_for
from planner.draft.choosing import REBUILDS, Choice, best_schedule
from planner.draft.schedule import Start, start_of
from planner.draft.writing import batches_of, in_plan_order, lots_of
from planner.plan import Plan, Promise, Purchase
from planner.workshop import Workshop


def draft(workshop: Workshop, rebuilds: int = REBUILDS) -> Plan:
    """A plan with batches, preparations, purchases and promises that keeps every day rule.

    `rebuilds` bounds the tries at a better schedule while something is lost; the same number gives
    the same plan. The plan has no stages: nothing about it is proven. Where budgets cannot even pay
    for packing the batches under way, those that need purchases for it stay on their trays.
    """
    start = start_of(workshop)
    paid = _paid(workshop, start, rebuilds)
    if paid is None:
        start = start_of(workshop, _packed_from_stock(workshop))
        paid = _paid(workshop, start, rebuilds)
    if paid is None:
        raise AssertionError("what is on hand is not enough for what was packed from it")
    return _plan(start, paid.choice, paid.purchases)


def _paid(workshop: Workshop, start: Start, rebuilds: int) -> Affordable | None:
    """The best schedule found that can be bought for; None if the start alone cannot be."""
    choice = best_schedule(start, rebuilds)
    batches = [*start.underway, *batches_of(choice.schedule)]
    purchases = purchases_for(workshop, batches, lots_of(choice.schedule))
    if purchases is None:
        return affordable(workshop, start, choice)
    return Affordable(choice=choice, purchases=purchases)


def _packed_from_stock(workshop: Workshop) -> dict[str, int | None]:
    """The pack day of each batch under way if nothing can be bought; None without packaging."""
    underway = start_of(workshop.changed(offers={})).underway
    return {batch.lot: batch.pack for batch in underway}


def _plan(start: Start, choice: Choice, purchases: tuple[Purchase, ...]) -> Plan:
    batches = [*start.underway, *batches_of(choice.schedule)]
    return Plan(
        batches=tuple(sorted(batches, key=in_plan_order)),
        preparations=lots_of(choice.schedule),
        purchases=purchases,
        promises=tuple(
            Promise(demand=demand, day=day)
            for demand, day in sorted(choice.sold.promises.items())
            if day is not None
        ),
    )
