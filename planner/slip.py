"""What happens if a purchase goes out later than planned: the plan is executed again without
changing anything else, and what finds too little stock is followed to the demand behind it."""

from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace

from planner.account import Account, BatchFacts, PurchaseFacts
from planner.pegging import Pegging
from planner.plan import Batch, Plan, Purchase, PurchaseLine
from planner.replay import earliest_promises, replay
from planner.workshop import Workshop

WEEK = 7


@dataclass(frozen=True, kw_only=True, order=True)
class Want:
    """A batch or preparation that finds `missing` of an item too little on day `day`.

    `use` is its lot; `name` the product or preparation.
    """

    day: int
    name: str
    use: str
    item: str
    missing: int


@dataclass(frozen=True, kw_only=True)
class Slip:
    """A purchase that goes out `days` late.

    order     the first day on which all its lines can be ordered again; None if some line then
              comes too late to be used within the plan
    wants     what finds too little stock, by day
    batches   the batches that cannot be made or packed as planned, by pour day
    demand    demand row -> bars it takes from these batches
    launches  launch -> the day to which it slips without these batches, None if it cannot be met
              within the plan; launches take no bars, so no peg leads to them
    """

    purchase: PurchaseFacts
    days: int
    order: int | None
    wants: tuple[Want, ...]
    batches: tuple[BatchFacts, ...]
    demand: Mapping[str, int]
    launches: Mapping[str, int | None]


def slip(
    workshop: Workshop, plan: Plan, account: Account, purchase: PurchaseFacts, days: int = WEEK
) -> Slip:
    """Execute the plan with one purchase `days` later and everything else as planned.

    `account` is the replay of `plan`, `purchase` one of its purchases. Each line goes out on the
    first order day of its offer that is at least `days` after the planned one.
    """
    orders = {
        line.offer: _order_day(workshop, line.offer, purchase.order + days)
        for line in purchase.lines
    }
    late = replay(workshop, _postponed(plan, purchase, orders))
    wants = _wants(account, late)
    pegging = Pegging(account=account)
    batches = pegging.batches_of(want.use for want in wants)
    return Slip(
        purchase=purchase,
        days=days,
        order=_latest(orders),
        wants=wants,
        batches=batches,
        demand=pegging.demand_of(batches),
        launches=_slipped_launches(workshop, plan, batches),
    )


def _slipped_launches(
    workshop: Workshop, plan: Plan, batches: tuple[BatchFacts, ...]
) -> dict[str, int | None]:
    """Launches that cannot keep their promised day without these batches."""
    if not batches:
        return {}
    gone = Counter(_decision(batch) for batch in batches)
    kept = []
    for batch in plan.batches:
        gone[batch] -= 1
        if gone[batch] < 0:
            kept.append(batch)
    without = earliest_promises(workshop, replace(plan, batches=tuple(kept)))
    days = {promise.demand: promise.day for promise in without}
    launches = {row.launch for row in workshop.demand if row.launch}
    return {
        promise.demand: days.get(promise.demand)
        for promise in plan.promises
        if promise.demand in launches and days.get(promise.demand) != promise.day
    }


def _decision(batch: BatchFacts) -> Batch:
    """The decision of the plan that these facts follow from."""
    return Batch(
        pour=batch.pour,
        product=batch.product,
        bars=batch.bars,
        unmould=batch.unmould,
        pack=batch.pack,
        lot=batch.lot if batch.in_progress else "",
    )


def _order_day(workshop: Workshop, offer: str, earliest: int) -> int | None:
    days = (delivery.order for delivery in workshop.offers[offer].deliveries)
    return min((day for day in days if day >= earliest), default=None)


def _latest(orders: Mapping[str, int | None]) -> int | None:
    found = [day for day in orders.values() if day is not None]
    return max(found) if len(found) == len(orders) else None


def _postponed(plan: Plan, purchase: PurchaseFacts, orders: Mapping[str, int | None]) -> Plan:
    """The plan with the purchase's lines on their later days, joined to what is ordered then."""
    packs: dict[tuple[int, str], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for planned in plan.purchases:
        moved = (planned.order, planned.supplier) == (purchase.order, purchase.supplier)
        for line in planned.lines:
            day = orders.get(line.offer) if moved else planned.order
            if day is not None:
                packs[day, planned.supplier][line.offer] += line.packs
    purchases = tuple(
        Purchase(
            order=day,
            supplier=supplier,
            lines=tuple(
                PurchaseLine(offer=offer, packs=count) for offer, count in sorted(lines.items())
            ),
        )
        for (day, supplier), lines in sorted(packs.items())
    )
    return replace(plan, purchases=purchases)


def _wants(account: Account, late: Account) -> tuple[Want, ...]:
    """What took less in the late account than as planned: use by use and item by item."""
    names = {batch.lot: batch.product for batch in account.batches}
    names |= {made.lot: made.preparation for made in account.preparations}
    planned, taken = _amounts(account), _amounts(late)
    wants = [
        Want(day=day, name=names[use], use=use, item=item, missing=amount - got)
        for (day, use, item), amount in planned.items()
        if use in names and (got := taken.get((day, use, item), 0)) < amount
    ]
    return tuple(sorted(wants))


def _amounts(account: Account) -> dict[tuple[int, str, str], int]:
    """(day, use, item) -> what it took in all, from whichever lots."""
    amounts: dict[tuple[int, str, str], int] = defaultdict(int)
    for peg in account.pegs:
        amounts[peg.day, peg.use, peg.item] += peg.amount
    return amounts
