"""Materials below their safety stock, or missing altogether."""

from dataclasses import replace

from planner.causes import Cause, shortfalls
from planner.replay import replay
from planner.workshop import Lot
from tests.causes.cases import KG, ONE_BAR_A_DAY, found, late_offer, only, shop
from tests.replay.plans import batch, buying, plan
from tests.workshops import tiny


def test_below_the_safety_stock() -> None:
    # 1 kg is there, 1.5 kg are wished for; the batch on day 7 takes the kilogram
    materials = {"base": replace(tiny().materials["base"], safety_stock=1_500_000)}
    workshop = shop(ONE_BAR_A_DAY, materials=materials)
    (shortfall,) = found(workshop, plan(batch(7, 8, 14)))[1:]
    assert (shortfall.demand, shortfall.product, shortfall.item) == ("", "", "base")
    assert (shortfall.first_day, shortfall.last_day) == (0, 29)
    assert (shortfall.quantity, shortfall.unit) == (1_500_000, "g")
    assert shortfall.cause is Cause.MATERIAL
    assert "none can be bought" in shortfall.detail


def test_below_the_safety_stock_until_an_order_can_come() -> None:
    materials = {"base": replace(tiny().materials["base"], safety_stock=KG)}
    workshop = late_offer(9).changed(demand=(), materials=materials)
    shortfall = only(workshop, buying())
    assert (shortfall.first_day, shortfall.last_day, shortfall.cause) == (0, 8, Cause.LEAD_TIME)
    later = replace(buying(order=1))
    assert only(workshop, later).last_day == 9
    # where it could have come in time the plan has only chosen not to buy it
    lots = Lot(item="base", lot="a", amount=KG, use_by=15)
    bare = only(workshop.changed(lots=(lots,)), plan())
    assert (bare.first_day, bare.cause) == (16, Cause.MATERIAL)
    assert "1,000 g of base more by Wed 2026-09-16, which could be had by then" in bare.detail


def test_a_plan_that_runs_short_tells_what_is_missing() -> None:
    # tables changed after planning: no rule checks pass any more, but the lack has a name
    workshop = late_offer(12).changed(demand=())
    wanted = plan(batch(), batch(1, 2, 7))
    shortfall = shortfalls(workshop, wanted, replay(workshop, wanted))[0]
    assert (shortfall.item, shortfall.first_day, shortfall.last_day) == ("base", 0, 1)
    assert (shortfall.quantity, shortfall.cause) == (KG, Cause.LEAD_TIME)
