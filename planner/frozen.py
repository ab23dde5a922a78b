"""The frozen days: what a new plan may not change of the stored one."""

from collections import Counter
from dataclasses import replace

from planner.plan import Plan
from planner.workshop import Delivery, Lot, Offer, Workshop

Decision = tuple[object, ...]


def orders_placed(workshop: Workshop, plan: Plan) -> Workshop:
    """The workshop in which the plan's orders of the frozen days have gone out and no others can.

    What they bring counts as lots, so that its use-by dates count too.
    """
    end = workshop.costs.frozen_days
    days = {
        (offer.id, delivery.order): delivery
        for offer in workshop.offers.values()
        for delivery in offer.deliveries
    }
    lots = []
    for order in plan.purchases:
        for line in order.lines if order.order < end else ():
            offer, delivery = workshop.offers.get(line.offer), days.get((line.offer, order.order))
            if offer is not None and delivery is not None:
                lots.append(_lot(offer, delivery, line.packs))
    offers = {
        offer.id: replace(offer, deliveries=tuple(d for d in offer.deliveries if d.order >= end))
        for offer in workshop.offers.values()
    }
    return replace(workshop, lots=(*workshop.lots, *lots), offers=offers)


def _lot(offer: Offer, delivery: Delivery, packs: int) -> Lot:
    life = offer.shelf_life_days
    return Lot(
        item=offer.material,
        lot=f"{offer.id} of day {delivery.order}",
        amount=packs * offer.amount,
        usable=delivery.usable,
        use_by=None if life is None else delivery.arrive + life,
        supplier=offer.supplier,
    )


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
