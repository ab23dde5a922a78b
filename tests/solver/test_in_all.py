"""The money goal with what is bought in all: below the full one; by hand where no day counts.

The tiny workshop's base is worth 10.00 a kilo, a batch of ten bars takes one; see test_money_goal.
"""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.draft.draft import draft
from planner.plan import Plan
from planner.solver.matrix import program_of
from planner.workshop import Costs, Delivery, DemandKind, Lot, PriceStep, Supplier, Workshop
from tests.replay.plans import batch, buying
from tests.solver.pools import small_workshop
from tests.solver.rows import broken_rows, settled
from tests.solver.small import plans, workshops
from tests.solver.solving import bar, every_day, rounding
from tests.solver.twice import Both
from tests.workshop_parts import demand_row
from tests.workshops import random_workshop, tiny

WORTH = 1_000_000
"""A kilo of base, a batch, or ten bars, in thousandths of a cent."""

GRAM = WORTH // 1000
"""What is too much is charged in whole grams."""

DEAR = Costs(capital=Fraction(365, 1000))
"""A thousandth for each day."""

DUE = demand_row(bar(), DemandKind.ORDER, 10, 15)

BOUGHT = replace(buying(), batches=(batch(8, 9, 14),))
"""A pack is ordered on day 0, and a batch poured on day 8."""


def workshop_of(stock: int, packs: int, price: int, **changes: object) -> Workshop:
    """An order for ten bars due on day 15, so many kilos in stock, packs of so many at a price.

    A pack can be ordered on any day, and used on the second after it.
    """
    days = [Delivery(order=day, arrive=day + 1, usable=day + 2) for day in range(18)]
    offer = replace(
        tiny().offers["shop/base/1 kg"],
        amount=packs * 1_000_000,
        steps=(PriceStep(packs=1, price=price),),
    )
    lots = (Lot(item="base", lot="base", amount=stock * 1_000_000),) if stock else ()
    fields: dict[str, object] = {
        "costs": Costs(capital=Fraction(0)),
        "lots": lots,
        "offers": {offer.id: replace(offer, deliveries=tuple(days))},
        "demand": (DUE,),
    }
    return every_day(**{**fields, **changes})


@pytest.mark.parametrize(("packs", "price"), [(1, 1000), (2, 2000), (3, 3000), (3, 3300)])
def test_without_capital_it_is_what_whole_packs_cost(packs: int, price: int) -> None:
    """One kilo is used: of three bought one more counts as left, the third is lost."""
    both = Both(workshop_of(0, packs, price))
    worth = Fraction(price * 1000, packs)
    cost = worth + max(0, packs - 2) * worth
    assert both.of(BOUGHT) == pytest.approx((cost, cost), abs=2 * GRAM)


def test_an_order_of_the_only_offer_pays_its_freight() -> None:
    shop = Supplier(id="shop", freight=250)
    both = Both(workshop_of(0, 1, 1000, suppliers={"shop": shop}))
    cost = WORTH + 250_000
    assert both.of(BOUGHT) == pytest.approx((cost, cost), abs=2 * GRAM)


@pytest.mark.parametrize(("last_order", "held"), [(17, 7), (5, 8), (3, 10), (0, 13)])
def test_what_is_bought_ties_up_capital_since_the_last_delivery_before_it_is_used(
    last_order: int, held: int
) -> None:
    """Bought on day 0 it is there from day 2 on, and gone as bars on day 15: 13 days.

    Poured on day 8 it was there on that day at the latest, or since the last day on which anything
    ordered could be used.
    """
    workshop = workshop_of(0, 1, 1000, costs=DEAR)
    offer = workshop.offers["shop/base/1 kg"]
    few = replace(offer, deliveries=offer.deliveries[: last_order + 1])
    full, in_all = Both(replace(workshop, offers={few.id: few}), BOUGHT).of(BOUGHT)
    assert full == pytest.approx(WORTH + 13 * WORTH // 1000, abs=GRAM)
    assert in_all == pytest.approx(WORTH + held * WORTH // 1000, abs=GRAM)


@pytest.mark.parametrize("usable", [0, 8, 9])
def test_what_was_there_was_not_bought(usable: int) -> None:
    """A kilo in stock, from the day of pouring on at the latest, or a day too late for it."""
    lot = Lot(item="base", lot="base", amount=1_000_000, usable=usable)
    workshop = workshop_of(0, 1, 1000, costs=DEAR, lots=(lot,))
    stock, bought = Both(workshop, BOUGHT), Both(workshop_of(0, 1, 1000, costs=DEAR), BOUGHT)
    tied = in_bare(stock) - in_bare(Both(workshop, Plan()))
    assert tied == pytest.approx(WORTH // 1000 if usable == 9 else 0, abs=GRAM // 10)
    assert in_bare(bought) - in_bare(Both(bought.workshop, Plan())) > 10 * WORTH // 1000


def in_bare(both: Both) -> int:
    """What a plan that pours costs in all, whether or not the full model allows it."""
    return both.in_all.value(both.bare.values_of(settled(both.workshop, BOUGHT)))


def test_told_near_another_plan_it_costs_no_more() -> None:
    """Near one that uses nothing no capital is told; near one that pours early too much use is."""
    workshop = workshop_of(0, 1, 1000, costs=DEAR)
    early = replace(BOUGHT, batches=(batch(3, 4, 14),))
    full, near_itself = Both(workshop, BOUGHT).of(BOUGHT)
    for other in (Plan(), early):
        assert Both(workshop, other).of(BOUGHT)[1] <= near_itself <= full
    assert Both(workshop, Plan()).of(BOUGHT)[1] == pytest.approx(
        full - 18 * WORTH // 1000, abs=GRAM
    )


def test_nothing_bought_and_nothing_used_costs_what_is_too_much() -> None:
    """Two kilos lie there, and nobody wants them."""
    both = Both(workshop_of(2, 1, 1000, demand=()))
    assert both.of(Plan()) == pytest.approx((2 * WORTH, 2 * WORTH), abs=GRAM)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(8))
def test_no_draft_costs_less_than_it_does_in_all(seed: int) -> None:
    workshop = small_workshop(seed)
    full, in_all = Both(workshop).of(draft(workshop))
    assert in_all <= full + rounding(workshop)


def test_it_is_near_what_a_plan_costs() -> None:
    """Freight and capital are all that is left out."""
    workshop = random_workshop(6, products=3, days=60, bottleneck="trays")
    full, in_all = Both(workshop).of(draft(workshop))
    assert 0.9 * full < in_all < full


@pytest.mark.slow
@given(st.data())
def test_no_plan_costs_less_than_it_does_in_all(data: st.DataObject) -> None:
    """Odd plans too: with lots that spoil, stock that is never used, packs too many."""
    workshop = data.draw(workshops())
    plan = settled(workshop, data.draw(plans(workshop)))
    both = Both(workshop, settled(workshop, data.draw(plans(workshop))))
    full = both.full.values_of(plan)
    if broken_rows(both.full.model, full):
        return
    bare = both.bare.values_of(plan)
    assert broken_rows(both.bare.model, bare) == []
    assert both.in_all.value(bare) <= both.full.money.value(full) + rounding(workshop)


def test_its_program_says_the_same_in_arrays() -> None:
    workshop = random_workshop(2, products=2, days=30)
    both = Both(workshop)
    values = both.bare.values_of(settled(workshop, draft(workshop)))
    program = program_of(both.bare.model, both.in_all)
    columns = [values[column] for column in range(program.columns)]
    assert program.holds(columns)
    cost = program.offset + program.unit * int(sum(program.cost * columns))
    assert cost == both.in_all.value(values)
