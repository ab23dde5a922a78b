"""Plans for the tiny test workshop, written by hand.

Day 0 is a Monday; days 5, 6, 12, 13, 19, 20, 26 and 27 are days off; the plan has 30 days. A batch
of 10 bars poured on day 0 leaves its mould on day 1, is cured on day 6, a Sunday, and is packed on
day 7, so that its bars can leave from day 8 on.
"""

from dataclasses import replace

from planner.account import Account, Rule
from planner.plan import Batch, Plan, PreparationLot, Promise, Purchase, PurchaseLine
from planner.replay import replay
from planner.workshop import Underway, Workshop
from tests.workshops import tiny

SHOP_OFFER = "shop/base/1 kg"


def batch(pour: int = 0, unmould: int = 1, pack: int | None = 7, bars: int = 10) -> Batch:
    """A batch of the tiny workshop's bar."""
    return Batch(pour=pour, product="bar", bars=bars, unmould=unmould, pack=pack)


def underway(pack: int | None, lot: str = "old", unmould: int = -2) -> Batch:
    """What a plan says of `curing()`."""
    return Batch(pour=-3, product="bar", bars=10, unmould=unmould, pack=pack, lot=lot)


def curing(in_mould: bool = False, unmould: int = -2) -> Underway:
    """A batch poured three days before the plan."""
    return Underway(lot="old", product="bar", bars=10, pour=-3, unmould=unmould, in_mould=in_mould)


def plan(*batches: Batch, promises: dict[str, int] | None = None) -> Plan:
    """A plan of batches and promises (name -> day)."""
    made = tuple(Promise(demand=name, day=day) for name, day in (promises or {}).items())
    return Plan(batches=batches, promises=made)


def buying(packs: int = 1, order: int = 0, offer: str = SHOP_OFFER, supplier: str = "shop") -> Plan:
    """A plan of one order line."""
    lines = (PurchaseLine(offer=offer, packs=packs),)
    return Plan(purchases=(Purchase(order=order, supplier=supplier, lines=lines),))


def preparing(*makes: int, preparation: str = "tea") -> Plan:
    """A plan of lots of one preparation."""
    return Plan(
        preparations=tuple(PreparationLot(make=day, preparation=preparation) for day in makes)
    )


def with_bar(**changes: object) -> Workshop:
    """The tiny workshop, values and all, with some columns of its product changed."""
    bar = replace(tiny().products["bar"], **changes)  # type: ignore[arg-type]
    return tiny().changed(products={"bar": bar})


def broken(workshop: Workshop, wanted: Plan) -> list[tuple[int, Rule, str]]:
    """The broken rules of a plan: day, rule, subject."""
    return [(b.day, b.rule, b.subject) for b in replay(workshop, wanted).broken]


def rules(workshop: Workshop, wanted: Plan) -> list[Rule]:
    """The broken rules alone."""
    return [b.rule for b in replay(workshop, wanted).broken]


def used(account: Account, kind: str) -> tuple[int, ...]:
    """The curve of the first resource of a kind."""
    return next(load.used for load in account.loads if load.kind == kind)
