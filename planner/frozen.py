"""The frozen days: what a new plan may not change of the stored one."""

from collections import Counter

from planner.plan import Plan
from planner.workshop import Workshop

Decision = tuple[object, ...]


def frozen_changes(workshop: Workshop, stored: Plan | None, plan: Plan) -> int:
    """How many decisions of the frozen days differ from the stored plan; 0 without one.

    Pouring, packing, making and ordering count; batches under way are packed as it fits.
    """
    if stored is None:
        return 0
    first, second = _decided(workshop, stored), _decided(workshop, plan)
    return ((first - second) + (second - first)).total()


def _decided(workshop: Workshop, plan: Plan) -> "Counter[Decision]":
    """What a plan does in the frozen days, each decision as often as it is made."""
    end = workshop.costs.frozen_days
    decided: Counter[Decision] = Counter()
    for batch in plan.batches:
        if not batch.in_progress and batch.pour < end:
            decided["pour", batch.product, batch.bars, batch.pour] += 1
        if not batch.in_progress and batch.pack is not None and batch.pack < end:
            decided["pack", batch.product, batch.bars, batch.pack] += 1
    for lot in plan.preparations:
        if lot.make < end:
            decided["make", lot.preparation, lot.make] += 1
    for order in plan.purchases:
        if order.order < end:
            for line in order.lines:
                decided["order", line.offer, order.order] += line.packs
    return decided
