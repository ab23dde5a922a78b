"""Which resource is the cause, on workshops whose one true bottleneck is known by construction.

Each is shown twice: the cause is named, and a workshop with more of that one thing, and nothing
else, has a plan of one batch more under which the loss vanishes.
"""

from dataclasses import replace

import pytest

from planner.causes import Cause
from planner.plan import Plan, Purchase, PurchaseLine
from planner.workshop import Budget, DemandKind, Mould, Place, Tray, Vessel, Workshop
from tests.causes.cases import (
    CUBE,
    KG,
    ONE_BAR_A_DAY,
    base,
    found,
    late_offer,
    only,
    shop,
    with_bar,
)
from tests.replay.plans import SHOP_OFFER, batch, buying, plan
from tests.replay.rows import BAR, order, retail
from tests.workshops import tiny

ENOUGH = shop()
SCARCE = [
    (
        Cause.TRAYS,
        shop(trays={"tray": Tray(id="tray", count=0)}),
        "need 1 tray (tray) on Thu 17 Sep: 0 of 0 are free",
    ),
    (
        Cause.MOULDS,
        shop(moulds={"block": Mould(id="block", count=0, cavities=10)}),
        "need 1 mould (block) on Wed 16 Sep",
    ),
    (
        Cause.VESSEL,
        shop(vessels={"pot": Vessel(id="pot", count=1, capacity_mg=9 * KG, minutes_per_day=59)}),
        "need 60 min (pot) on Wed 16 Sep: 59 of 59 are free",
    ),
    (
        Cause.HANDS,
        ENOUGH.changed(minutes=tuple(59 if m else 0 for m in ENOUGH.minutes)),
        "need 60 min (hands)",
    ),
    (
        Cause.PLACE,
        with_bar(shop(places={"fridge": Place(id="fridge", moulds=0)}), place="fridge"),
        "need 1 mould (fridge)",
    ),
    (Cause.MATERIAL, shop(lots=()), "none can be bought"),
    (Cause.MATERIAL, shop(lots=base(KG - 1)), "0.001 g of base"),
]


@pytest.mark.parametrize(("cause", "workshop", "words"), SCARCE)
def test_the_one_thing_that_is_missing_is_the_cause(
    cause: Cause, workshop: Workshop, words: str
) -> None:
    shortfall = only(workshop, plan())
    assert (shortfall.demand, shortfall.product, shortfall.item) == ("retail", "bar", "")
    assert (shortfall.first_day, shortfall.last_day, shortfall.quantity) == (14, 23, 10)
    assert (shortfall.unit, shortfall.cause) == ("bars", cause)
    assert words in shortfall.detail


def test_with_enough_of_everything_the_loss_vanishes() -> None:
    assert found(ENOUGH, plan(batch())) == ()
    fridge = with_bar(shop(places={"fridge": Place(id="fridge", moulds=1)}), place="fridge")
    assert found(fridge, plan(batch())) == ()


def test_hands_may_be_missing_after_pouring_only() -> None:
    # on Mondays there is time for all, on the other days for neither unmoulding nor pouring
    for minutes, expected in ((9, [Cause.HANDS]), (10, [Cause.BETTER_PLAN])):
        week = (480, minutes, 9, 9, 9, 0, 0)
        workshop = ENOUGH.changed(minutes=tuple(week[day % 7] for day in range(30)))
        assert [each.cause for each in found(workshop, plan())] == expected
    assert found(workshop, plan(batch())) == ()


def test_what_another_batch_holds_is_named_with_its_days() -> None:
    # one tray, on which cubes cure from day 1 to day 25
    cube = replace(CUBE, cure_days=25)
    workshop = shop(
        ONE_BAR_A_DAY,
        replace(order(10, 29), product="cube"),
        products={"bar": BAR, "cube": cube},
        lots=base(2 * KG),
        trays={"tray": Tray(id="tray", count=1)},
    )
    cubes = replace(batch(0, 1, 28), product="cube")
    wanted = plan(cubes, promises={"order": 29})
    shortfall = only(workshop, wanted)
    assert shortfall.cause is Cause.TRAYS
    assert "1 tray (tray) on Thu 17 Sep: 0 of 1 are free" in shortfall.detail
    two = workshop.changed(trays={"tray": Tray(id="tray", count=2)})
    assert found(two, plan(cubes, batch(), promises={"order": 29})) == ()


def test_material_that_goes_elsewhere_is_named_with_its_takers() -> None:
    workshop = shop(
        ONE_BAR_A_DAY,
        replace(order(10, 8), product="cube"),
        products={"bar": BAR, "cube": CUBE},
        lots=base(KG),
    )
    cubes = replace(batch(), product="cube")
    shortfall = only(workshop, plan(cubes, promises={"order": 8}))
    assert shortfall.cause is Cause.MATERIAL
    assert "need 1,000 g of base, missing from Wed 16 Sep" in shortfall.detail
    assert "to the end of the plan: it goes into cube" in shortfall.detail
    more = workshop.changed(lots=base(2 * KG))
    assert found(more, plan(cubes, batch(), promises={"order": 8})) == ()


def test_a_delivery_ends_what_is_missing() -> None:
    # base for the cubes now, and for bars from day 14 on: too late for the days before day 22
    workshop = shop(
        retail(7, 14, 21),
        replace(order(10, 8), product="cube"),
        products={"bar": BAR, "cube": CUBE},
        lots=(*base(KG), replace(base(KG, usable=15)[0], lot="base-2")),
    )
    cubes = replace(batch(), product="cube")
    shortfall = only(workshop, plan(cubes, promises={"order": 8}))
    assert shortfall.cause is Cause.MATERIAL
    assert "until Tue 15 Sep" in shortfall.detail


def test_lead_time() -> None:
    # Ordered on day 0 and usable on day 15, a Tuesday: poured then, packed on day 21, the bars
    # leave from day 22 on, so 8 of 10 are lost. Poured on day 2 they are in time for day 14.
    slow = late_offer(15)
    wanted = replace(buying(), batches=(batch(15, 16, 21),))
    shortfall = only(slow, wanted)
    assert (shortfall.first_day, shortfall.last_day, shortfall.quantity) == (14, 21, 8)
    assert shortfall.cause is Cause.LEAD_TIME
    assert "ordered now it is usable from Tue 15 Sep on" in shortfall.detail
    assert found(late_offer(2), replace(buying(), batches=(batch(2, 3, 8),))) == ()


def test_budget() -> None:
    # 1 kg costs 10.00, paid on the order day
    tight = late_offer(2).changed(budgets=(Budget(month="2026-09", first=-5, last=40, amount=999),))
    shortfall = only(tight, plan())
    assert shortfall.cause is Cause.BUDGET
    assert "the budget of 2026-09 is EUR 0.01 too small" in shortfall.detail
    enough = late_offer(2).changed(
        budgets=(Budget(month="2026-09", first=-5, last=40, amount=1000),)
    )
    assert found(enough, replace(buying(), batches=(batch(2, 3, 8),))) == ()


def test_budget_pays_for_freight_unless_an_order_goes_out_that_day_anyway() -> None:
    supplier = replace(tiny().suppliers["shop"], freight=500)
    budget = Budget(month="2026-09", first=0, last=29, amount=2500)
    workshop = late_offer(2).changed(suppliers={"shop": supplier}, budgets=(budget,))
    assert only(workshop, plan()).cause is Cause.BETTER_PLAN  # 15.00 of 25.00: a batch would fit
    # one pack and freight for 15.00 leave 10.00: enough for a pack more in the same order
    rows = (replace(ONE_BAR_A_DAY, quantity=14),)
    wanted = replace(buying(), batches=(batch(2, 3, 8),))
    assert only(workshop.changed(demand=rows), wanted).cause is Cause.BETTER_PLAN
    less = replace(budget, amount=2499)
    assert only(workshop.changed(demand=rows, budgets=(less,)), wanted).cause is Cause.BUDGET


def test_packs_that_can_be_ordered_in_time() -> None:
    # one delivery, of at most one pack: half of a batch
    offer = late_offer(2).offers[SHOP_OFFER]
    half = replace(offer, amount=KG // 2, max_packs=1, deliveries=offer.deliveries[:1])
    shortfall = only(shop(lots=(), offers={SHOP_OFFER: half}), plan())
    assert shortfall.cause is Cause.MATERIAL
    assert "base more than can come in time" in shortfall.detail
    two = replace(half, max_packs=2)
    wanted = replace(buying(packs=2), batches=(batch(2, 3, 8),))
    assert found(shop(lots=(), offers={SHOP_OFFER: two}), wanted) == ()


def test_stock_may_be_lent_until_more_is_bought() -> None:
    # The only kilogram goes into cubes on day 21; bars could take it on day 0, since a kilogram
    # more is usable on day 2. So it is not the base that stops them, but the vessel.
    pot = Vessel(id="pot", count=1, capacity_mg=9 * KG, minutes_per_day=60)
    cube = replace(CUBE, vessel="pan")
    workshop = tiny(
        demand=(ONE_BAR_A_DAY, replace(order(10, 29), product="cube")),
        products={"bar": replace(BAR, vessel_minutes=61), "cube": cube},
        vessels={"pot": pot, "pan": replace(pot, id="pan")},
    )
    cubes = replace(batch(21, 22, 28), product="cube")
    assert only(workshop, plan(cubes, promises={"order": 29})).cause is Cause.VESSEL


def test_cure() -> None:
    # poured on day 0, bars leave from day 8 on
    workshop = shop(retail(7, 3, 12))
    shortfall = only(workshop, plan(batch()))
    assert (shortfall.first_day, shortfall.last_day, shortfall.quantity) == (3, 7, 5)
    assert shortfall.cause is Cause.CURE
    assert "from Tue 8 Sep on: 1 night in the mould, 5 days of cure" in shortfall.detail
    quick = with_bar(workshop, cure_days=1)  # unmoulded on day 1, packed on day 2
    assert found(quick, plan(batch(0, 1, 2))) == ()


def test_a_cure_that_outlasts_the_plan() -> None:
    shortfall = only(with_bar(shop(), cure_days=40), plan())
    assert shortfall.cause is Cause.CURE
    assert "only after the plan's end" in shortfall.detail


def test_daily_limit() -> None:
    # work on Mondays only: poured on day 0, unmoulded on day 7, packed on day 14, gone from day 15
    # on; poured on day 7, gone from day 22 on. Two bars a day are asked for from day 15 on: those
    # of days 20 and 21 could come from a second batch on day 0 only
    weekly = tuple(480 if day % 7 == 0 else 0 for day in range(30))
    workshop = shop(retail(14, 15, 24), minutes=weekly, lots=base(3 * KG))
    limited = with_bar(workshop, max_batches_per_day=1)
    shortfall = only(limited, plan(batch(0, 7, 14), batch(7, 14, 21)))
    assert (shortfall.first_day, shortfall.last_day) == (20, 21)
    assert shortfall.cause is Cause.DAILY_LIMIT
    assert "one batch more on Mon 31 Aug: the limit of a day is 1" in shortfall.detail
    two = with_bar(workshop, max_batches_per_day=2)
    assert found(two, plan(batch(0, 7, 14), batch(0, 7, 14))) == ()


def test_a_better_plan_is_possible_when_a_batch_would_have_fitted() -> None:
    shortfall = only(ENOUGH, plan())
    assert shortfall.cause is Cause.BETTER_PLAN
    assert "a better plan than this one may exist" in shortfall.detail


def test_nothing_is_short_when_all_is_served() -> None:
    lines = (PurchaseLine(offer=SHOP_OFFER, packs=1),)
    wanted = Plan(
        batches=(batch(), batch(2, 3, 8)),
        purchases=(Purchase(order=0, supplier="shop", lines=lines),),
    )
    assert found(tiny(), wanted) == ()
    assert [row.kind for row in tiny().demand] == [DemandKind.RETAIL]
