from dataclasses import replace
from fractions import Fraction

import pytest

from planner.draft.draft import draft
from planner.plan import Plan
from planner.replay import replay
from planner.workshop import (
    Budget,
    Delivery,
    DemandKind,
    Lot,
    Material,
    Packaging,
    PriceStep,
    Underway,
    Unit,
    Workshop,
)
from tests.draft.pieces import with_bar
from tests.workshop_parts import demand_row
from tests.workshops import random_workshop, tiny


def within(workshop: Workshop, amount: int) -> Plan:
    """A plan with so much to spend in all; it must keep every rule."""
    budget = Budget(month="all", first=-100, last=200, amount=amount)
    limited = workshop.changed(budgets=(budget,))
    plan = draft(limited)
    assert not replay(limited, plan).broken
    return plan


def test_money_goes_to_the_batches_that_spare_most_loss() -> None:
    bar = tiny().products["bar"]
    dear = replace(bar, id="dear", price=3000)
    workshop = with_bar().changed(
        products={"bar": bar, "dear": dear},
        lots=(),
        demand=(
            demand_row(bar, DemandKind.ORDER, 10, 20),
            demand_row(dear, DemandKind.ORDER, 10, 22),
        ),
    )

    def poured(amount: int) -> list[str]:
        return [batch.product for batch in within(workshop, amount).batches]

    # a batch of either takes 1 kg of base for 10.00
    assert poured(2000) == ["bar", "dear"]
    assert poured(1999) == ["dear"]
    assert poured(999) == []


@pytest.mark.parametrize(
    ("amount", "packs", "poured"),
    [
        (3000, {"first": 0, "second": 0}, 1),  # ten boxes and a kilo of base
        (2999, {"first": 0, "second": 0}, 0),
        (1999, {"first": 0, "second": None}, 1),  # no boxes, but base
        (999, {"first": 0, "second": None}, 0),
    ],
)
def test_batches_under_way_stay_on_their_trays_where_boxes_cannot_be_paid_for(
    amount: int, packs: dict[str, int | None], poured: int
) -> None:
    """There are boxes for one of two cured batches; ten more cost 20.00, base 10.00.

    The shop's own bars go without a box.
    """
    bar = tiny().products["bar"]
    boxed = replace(bar, id="boxed", packaging=(Packaging(material="box", per_bar=Fraction(1)),))
    base = tiny().offers["shop/base/1 kg"]
    days = [Delivery(order=day, arrive=day, usable=day) for day in range(29)]
    offer = replace(
        base,
        id="shop/box/10",
        material="box",
        amount=10,
        steps=(PriceStep(packs=1, price=2000),),
        deliveries=tuple(days),
    )
    old = [
        Underway(lot=lot, product="boxed", bars=10, pour=-9, unmould=-8, in_mould=False)
        for lot in ("first", "second")
    ]
    workshop = with_bar().changed(
        products={"bar": bar, "boxed": boxed},
        materials={
            **tiny().materials,
            "box": Material(id="box", kind="packaging", unit=Unit.PIECE),
        },
        offers={base.id: base, offer.id: offer},
        lots=(Lot(item="box", lot="b", amount=10),),
        underway=tuple(old),
        demand=(demand_row(bar, DemandKind.ORDER, 10, 20),),
    )
    plan = within(workshop, amount)
    assert {batch.lot: batch.pack for batch in plan.batches if batch.in_progress} == packs
    assert len([batch for batch in plan.batches if not batch.in_progress]) == poured


def test_a_tight_budget_loses_more_but_breaks_nothing() -> None:
    workshop = random_workshop(seed=1, products=3, days=75)
    losses = [
        replay(workshop, within(workshop, amount)).money.service
        for amount in (10_000_000, 60_000, 20_000)
    ]
    assert losses == sorted(losses)
    assert losses[0] < losses[-1]
