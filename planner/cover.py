"""How long each item lasts without new orders, and by when the next one must go out."""

from collections.abc import Iterable
from dataclasses import dataclass

from planner.account import Account
from planner.order_by import last_order_day
from planner.workshop import Unit, Workshop


@dataclass(frozen=True, kw_only=True)
class Reorder:
    """One way to buy more of an item in time.

    `order_by` is the last day on which the offer can be ordered and is usable on the run-out
    day; None if no order day of the plan is early enough. `left` is how much of the item the
    plan still has at the end of that day, what is on the way included (textbook: reorder point).
    """

    offer: str
    order_by: int | None
    left: int


@dataclass(frozen=True, kw_only=True)
class Cover:
    """One material or preparation, without what the plan still buys or makes of it.

    on_hand     usable or soon released, not past its use-by date, of which `waiting` in quarantine
    blocked     on the shelf, but not to be used
    on_the_way  open orders at suppliers
    needed      what the plan uses up to its last day
    planned     what the plan buys or makes of it
    run_out     first day on which the plan needs more than what is on hand and on the way;
                None if that lasts to the plan's end
    below_safety  first day on which on hand, purchases included, is below the safety stock
    reorders    the ways to buy more by the run-out day; those that must go out first come first
    next_order  day of the next order in the plan
    """

    item: str
    unit: Unit
    on_hand: int
    waiting: int
    blocked: int
    on_the_way: int
    needed: int
    planned: int
    safety_stock: int
    run_out: int | None
    below_safety: int | None
    reorders: tuple[Reorder, ...]
    next_order: int | None


def covers(workshop: Workshop, account: Account) -> tuple[Cover, ...]:
    """The cover of every material and preparation, in the order of the tables."""
    items = (*workshop.materials, *workshop.preparations)
    return tuple(_cover(workshop, account, item) for item in items)


def _cover(workshop: Workshop, account: Account, item: str) -> Cover:
    flow = account.flows[item]
    safety_stock = _safety_stock(workshop, item)
    held = [lot for lot in workshop.lots if lot.item == item and lot.is_usable]
    coming = _coming(account, item)
    bare = _without(flow.on_hand, coming)
    run_out = _first(day for day, amount in enumerate(bare) if amount < 0)
    orders = [p.order for p in account.purchases if any(x.material == item for x in p.lines)]
    return Cover(
        item=item,
        unit=workshop.unit_of(item),
        on_hand=sum(lot.amount for lot in held),
        waiting=sum(lot.amount for lot in held if lot.usable > 0),
        blocked=sum(lot.amount for lot in workshop.blocked if lot.item == item),
        on_the_way=sum(r.amount for r in workshop.receipts if r.material == item),
        needed=sum(flow.used),
        planned=sum(amount for _, amount in coming),
        safety_stock=safety_stock,
        run_out=run_out,
        below_safety=_first(d for d, held in enumerate(flow.on_hand) if held < safety_stock),
        reorders=() if run_out is None else _reorders(workshop, item, run_out, bare),
        next_order=min(orders, default=None),
    )


def _safety_stock(workshop: Workshop, item: str) -> int:
    record = workshop.materials.get(item) or workshop.preparations[item]
    return record.safety_stock


def _coming(account: Account, item: str) -> list[tuple[int, int]]:
    """(day from which it can be used, amount) of everything the plan buys or makes of an item."""
    bought = [
        (line.usable, line.amount)
        for purchase in account.purchases
        for line in purchase.lines
        if line.material == item
    ]
    made = [(m.ready, m.amount) for m in account.preparations if m.preparation == item]
    return sorted(bought + made)


def _without(on_hand: tuple[int, ...], coming: list[tuple[int, int]]) -> list[int]:
    """On hand by day if nothing of what is coming came; below 0 once the plan lives on it."""
    return [
        amount - sum(more for usable, more in coming if usable <= day)
        for day, amount in enumerate(on_hand)
    ]


def _reorders(workshop: Workshop, item: str, run_out: int, bare: list[int]) -> tuple[Reorder, ...]:
    found = []
    for offer in workshop.offers.values():
        if offer.material == item:
            order_by = last_order_day(offer, run_out)
            found.append(Reorder(offer=offer.id, order_by=order_by, left=_left(bare, order_by)))
    return tuple(sorted(found, key=lambda r: (-1 if r.order_by is None else r.order_by, r.offer)))


def _left(bare: list[int], day: int | None) -> int:
    """What is left at the end of the reorder day; now, if that day has passed."""
    return max(0, bare[day or 0])


def _first(days: Iterable[int]) -> int | None:
    return next(iter(days), None)
