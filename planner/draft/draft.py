"""The door of the list scheduler: a complete plan by rule of thumb."""

from planner.draft.affording import affordable
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
    for packing the batches under way, it buys nothing.
    """
    start = start_of(workshop)
    choice = best_schedule(start, rebuilds)
    batches = [*start.underway, *batches_of(choice.schedule)]
    purchases = purchases_for(workshop, batches, lots_of(choice.schedule))
    if purchases is None:
        paid = affordable(workshop, start, choice)
        choice, purchases = (paid.choice, paid.purchases) if paid else (choice, ())
    return _plan(start, choice, purchases)


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
