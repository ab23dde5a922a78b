"""Workshops with one true bottleneck, and the shortfalls of plans for them."""

from dataclasses import replace

from planner.account import Account
from planner.causes import Shortfall, shortfalls
from planner.plan import Plan
from planner.replay import replay
from planner.workshop import Demand, Lot, Workshop
from tests.replay.plans import SHOP_OFFER
from tests.replay.rows import BAR, retail
from tests.workshops import tiny

KG = 1_000_000
ONE_BAR_A_DAY = retail(7, 14, 23)  # ten bars: one batch
CUBE = replace(BAR, id="cube")


def found(workshop: Workshop, wanted: Plan) -> tuple[Shortfall, ...]:
    """The shortfalls of a plan that keeps all rules."""
    account = replay(workshop, wanted)
    assert account.certified, account.broken
    return shortfalls(workshop, wanted, account)


def only(workshop: Workshop, wanted: Plan) -> Shortfall:
    """The one shortfall of a plan."""
    (shortfall,) = found(workshop, wanted)
    return shortfall


def shop(*rows: Demand, **changes: object) -> Workshop:
    """The tiny workshop with some demand; base for one batch, and none can be bought."""
    return tiny().changed(**{"demand": rows or (ONE_BAR_A_DAY,), "offers": {}, **changes})


def base(amount: int, usable: int = 0) -> tuple[Lot, ...]:
    """A lot of base."""
    return (Lot(item="base", lot="base-1", amount=amount, usable=usable),)


def with_bar(workshop: Workshop, **changes: object) -> Workshop:
    """A workshop with some columns of its bar changed."""
    bar = replace(workshop.products["bar"], **changes)  # type: ignore[arg-type]
    return workshop.changed(products={**workshop.products, "bar": bar})


def late_offer(lead: int) -> Workshop:
    """No base in stock; an order brings it after `lead` days."""
    offer = tiny().offers[SHOP_OFFER]
    later = tuple(
        replace(d, arrive=d.order + lead, usable=d.order + lead)
        for d in offer.deliveries
        if d.order + lead < 30
    )
    return shop(lots=(), offers={SHOP_OFFER: replace(offer, deliveries=later)})


def busy(account: Account, kind: str, days: range, amount: int | None = None) -> Account:
    """The account with a resource in use on some days: `amount` of it, or all there is."""
    loads = []
    for load in account.loads:
        used = tuple(
            (load.capacity[day] if amount is None else amount) if day in days else now
            for day, now in enumerate(load.used)
        )
        loads.append(replace(load, used=used) if load.kind == kind else load)
    return replace(account, loads=tuple(loads))
