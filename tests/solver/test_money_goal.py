"""The money goal by hand: goods, capital, waste, safety stock, clean-downs, and what is left.

Base is worth 10.00 a kilo by its only offer, so a batch of ten bars is worth 10.00 from the first
gram to the last bar. Capital costs a thousandth of a value for each day, 0.01 for a batch.
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.plan import Plan, PreparationLot
from planner.replay import replay
from planner.solver.model import PlanModel
from planner.workshop import (
    Costs,
    Delivery,
    DemandKind,
    Lot,
    Material,
    Offer,
    Packaging,
    Part,
    Preparation,
    PriceStep,
    Supplier,
    Underway,
    Unit,
    Workshop,
)
from tests.replay.plans import batch, buying, underway
from tests.solver.rows import settled
from tests.solver.solving import bar, every_day, least_cost, rounding
from tests.workshop_parts import demand_row
from tests.workshops import tiny

WORTH = 1_000_000
"""A kilo of base, a batch, or ten bars, in thousandths of a cent."""

A_DAY = WORTH // 1000
"""Capital tied up in one of them for a day."""

DUE = demand_row(bar(), DemandKind.ORDER, 10, 15)
COSTS = Costs(capital=Fraction(365, 1000), safety=Fraction(1, 100))


def offer(**changes: object) -> Offer:
    """1 kg at 10.00, ordered on any day, there the next, usable the day after."""
    days = [Delivery(order=day, arrive=day + 1, usable=day + 2) for day in range(18)]
    return replace(tiny().offers["shop/base/1 kg"], deliveries=tuple(days), **changes)  # type: ignore[arg-type]


def workshop_of(*lots: Lot, **changes: object) -> Workshop:
    """An order for ten bars due on day 15, these lots, one offer."""
    fields: dict[str, object] = {
        "costs": COSTS,
        "lots": lots,
        "offers": {"shop/base/1 kg": offer()},
        "demand": (DUE,),
    }
    return every_day(**{**fields, **changes})


def kilo(**more: object) -> Lot:
    return Lot(**{"item": "base", "lot": f"base {more}", "amount": 1_000_000, **more})  # type: ignore[arg-type]


def test_capital_is_tied_up_until_the_bars_leave() -> None:
    """A kilo in stock is base, batch or bars at the ends of days 0 to 14, and gone on 15."""
    money = least_cost(workshop_of(kilo())).money
    assert money.capital == 15 * A_DAY
    assert money.money == WORTH + 15 * A_DAY


def test_what_is_bought_is_bought_as_late_as_can_be() -> None:
    """To leave on 15 it is poured on 8, so ordered on 6: tied up at the ends of days 8 to 14."""
    account = least_cost(workshop_of())
    assert [order.order for order in account.purchases] == [6]
    assert account.money.capital == 7 * A_DAY
    assert account.money.money == WORTH + 7 * A_DAY


def test_what_spoils_is_lost_and_ties_up_nothing_more() -> None:
    """Nobody works before day 4, so a kilo good to day 3 spoils: tied up for four days, and lost.

    The other kilo is tied up until the bars leave on 15.
    """
    workshop = workshop_of(kilo(use_by=3), kilo(), minutes=(0,) * 4 + (480,) * 16)
    account = least_cost(workshop)
    assert account.money.waste == WORTH
    assert account.money.capital == (4 + 15) * A_DAY
    assert account.money.money == 2 * WORTH + (4 + 15) * A_DAY


def test_a_lot_that_would_spoil_is_used_first_even_if_bars_wait_longer() -> None:
    """Poured by day 3 it saves a kilo, which is worth more than the days it is tied up."""
    account = least_cost(workshop_of(kilo(use_by=3), kilo()))
    assert account.money.waste == 0
    assert account.money.money == WORTH + (15 + 20) * A_DAY


@pytest.mark.parametrize(("stock", "counts"), [(1, 0), (2, 1), (3, 1)])
def test_what_is_left_counts_as_far_as_it_is_worth_having(stock: int, counts: int) -> None:
    """Twice the kilo that the order takes is worth having; one is used, and one more counts."""
    account = least_cost(workshop_of(*(kilo(lot=str(number)) for number in range(stock))))
    assert account.money.opening_value == stock * WORTH
    assert account.money.left_value == counts * WORTH


def test_each_day_below_the_safety_stock_costs() -> None:
    """A kilo is missing on each of 20 days, at a hundredth of its worth.

    A pack of day 0 can be used on day 2: two days are short, and the pack is tied up on 18. What
    is left counts up to the safety stock, so it costs nothing else.
    """
    wish = replace(tiny().materials["base"], safety_stock=2_000_000)
    workshop = workshop_of(kilo(), demand=(), materials={"base": wish})
    stays = replay(workshop, Plan()).money
    assert stays.safety == 20 * WORTH // 100
    bought = least_cost(workshop).money
    assert bought.safety == 2 * WORTH // 100
    assert bought.money == bought.safety + (20 + 18) * A_DAY


def test_each_batch_costs_a_clean_down() -> None:
    """Twenty bars in one batch of twenty rather than two of ten: 3.00 once."""
    costs = replace(COSTS, clean_down=300)
    two = (DUE, replace(DUE, id="second"))
    workshop = workshop_of(costs=costs, products={"bar": bar(sizes=(10, 20))}, demand=two)
    account = least_cost(workshop)
    assert [made.bars for made in account.batches] == [20]
    assert account.money.clean_down == 300_000


def test_what_nothing_uses_ties_up_money_only_until_it_spoils() -> None:
    """Tea for no bar, made on day 1, good to day 4; and a kilo of clay bought, good to day 5.

    Model and replay count both as lost, and their capital up to those days.
    """
    tea = Preparation(
        id="tea",
        unit=Unit.GRAM,
        charge=1_000_000,
        make_minutes=20,
        ready_days=0,
        shelf_life_days=3,
        formula=(Part(item="base", share=Fraction(1)),),
    )
    clay = Material(id="clay", kind="ingredient", unit=Unit.GRAM)
    offers = [offer(), offer(id="clay", material="clay", shelf_life_days=4)]
    workshop = workshop_of(
        kilo(amount=3_000_000),
        preparations={"tea": tea},
        materials={**tiny().materials, "clay": clay},
        offers={one.id: one for one in offers},
    )
    made = (PreparationLot(make=1, preparation="tea"),)
    bought = buying(order=0, offer="clay").purchases
    plan = settled(workshop, Plan(batches=(batch(4, 5, 10),), preparations=made, purchases=bought))
    account = replay(workshop, plan)
    assert account.certified
    assert account.money.waste == 2 * WORTH
    model = PlanModel(workshop, True)
    assert abs(account.money.money - model.money.value(model.values_of(plan))) <= rounding(workshop)


OLD = Underway(lot="old", product="bar", bars=10, pour=-3, unmould=-2, in_mould=False)
"""Cured on day 3, of a kilo of base: worth a batch."""


def test_a_batch_under_way_is_packed_though_nobody_asks_for_it() -> None:
    """Its bars count as left, the parts of a batch that stays on its trays do not."""
    workshop = workshop_of(demand=(), underway=(OLD,))
    account = least_cost(workshop)
    assert account.batches[0].pack is not None
    assert account.money.left_value == account.money.opening_value == WORTH
    assert account.money.money == 20 * A_DAY


@pytest.mark.parametrize("cure_days", [5, 21, 22])
@pytest.mark.parametrize("pack", [None, 3, 19])
def test_model_and_replay_count_the_same_money_for_a_batch_under_way(
    cure_days: int, pack: int | None
) -> None:
    """Cured on day 3, on day 19, the plan's last, and on day 20, beyond the plan."""
    product = bar(cure_days=cure_days)
    workshop = workshop_of(demand=(), underway=(OLD,), products={"bar": product})
    plan = Plan(batches=(underway(pack),))
    account = replay(workshop, plan)
    if not account.certified:
        assert pack is not None
        assert pack < cure_days - 2
        return
    model = PlanModel(workshop, True)
    assert abs(account.money.money - model.money.value(model.values_of(plan))) <= rounding(workshop)


def test_a_batch_under_way_waits_for_boxes_only_if_they_are_worth_it() -> None:
    """Boxes that cost more freight than the batch is worth, and nobody asks for its bars.

    Ten boxes are wished for in stock, so that they count also in its bars.
    """
    box = Material(id="box", kind="packaging", unit=Unit.PIECE, safety_stock=10)
    packed = bar(packaging=(Packaging(material="box", per_bar=Fraction(1)),))
    boxes = offer(
        id="print/box/10",
        supplier="print",
        material="box",
        amount=10,
        steps=(PriceStep(packs=1, price=100),),
    )

    def pack_day(freight: int) -> int | None:
        workshop = workshop_of(
            demand=(),
            underway=(OLD,),
            products={"bar": packed},
            materials={**tiny().materials, "box": box},
            suppliers={**tiny().suppliers, "print": Supplier(id="print", freight=freight)},
            offers={**workshop_of().offers, boxes.id: boxes},
        )
        return least_cost(workshop).batches[0].pack

    assert pack_day(900) is not None
    assert pack_day(1100) is None


@pytest.mark.parametrize("reject", [Fraction(0), Fraction(1, 10)])
@pytest.mark.parametrize("pour", [0, 4, 8])
@pytest.mark.parametrize("wait", [0, 2])
def test_model_and_replay_count_the_same_money(pour: int, wait: int, reject: Fraction) -> None:
    """Nothing spoils and no bar is unsold: equal but for rounding, whatever the days."""
    due = replace(DUE, quantity=9)
    workshop = workshop_of(kilo(), products={"bar": bar(reject=reject)}, demand=(due,))
    plan = settled(workshop, Plan(batches=(batch(pour, pour + 1, pour + 6 + wait),)))
    account = replay(workshop, plan)
    assert account.certified
    model = PlanModel(workshop, True)
    gap = account.money.money - model.money.value(model.values_of(plan))
    assert abs(gap) <= rounding(workshop)


@pytest.mark.parametrize("ready", [0, 3])
def test_a_preparation_that_steeps_ties_up_nothing_meanwhile(ready: int) -> None:
    """A kilo of tea made on day 1; 100 g go into the batch of day 4, the rest is left."""
    tea = Preparation(
        id="tea",
        unit=Unit.GRAM,
        charge=1_000_000,
        make_minutes=20,
        ready_days=ready,
        formula=(Part(item="base", share=Fraction(1)),),
    )
    formula = (Part(item="base", share=Fraction(9, 10)), Part(item="tea", share=Fraction(1, 10)))
    workshop = workshop_of(
        kilo(amount=2_000_000), preparations={"tea": tea}, products={"bar": bar(formula=formula)}
    )
    made = (PreparationLot(make=1, preparation="tea"),)
    plan = settled(workshop, Plan(batches=(batch(4, 5, 10),), preparations=made))
    account = replay(workshop, plan)
    assert account.certified
    assert account.money.capital == (15 * 2 + 5 * 1) * A_DAY - ready * A_DAY
    model = PlanModel(workshop, True)
    assert abs(account.money.money - model.money.value(model.values_of(plan))) <= rounding(workshop)
