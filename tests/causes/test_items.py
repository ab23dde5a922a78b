"""Materials below their safety stock, or missing altogether."""

from dataclasses import replace
from fractions import Fraction

from planner.causes import Cause, shortfalls
from planner.replay import replay
from planner.workshop import Lot, Material, Packaging, Unit
from tests.causes.cases import KG, ONE_BAR_A_DAY, base, found, late_offer, only, shop, with_bar
from tests.causes.test_parts import TEA
from tests.replay.plans import batch, buying, curing, plan, preparing, underway
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
    assert bare.detail == (
        "the safety stock needs 1,000 g of base more by Wed 16 Sep, which could be had by then, "
        "but may cost more than to be short of it"
    )


def test_a_plan_that_runs_short_tells_what_is_missing() -> None:
    # tables changed after planning: no rule checks pass any more, but the lack has a name
    workshop = late_offer(12).changed(demand=())
    wanted = plan(batch(), batch(1, 2, 7))
    shortfall = shortfalls(workshop, wanted, replay(workshop, wanted))[0]
    assert (shortfall.item, shortfall.first_day, shortfall.last_day) == ("base", 0, 1)
    assert (shortfall.quantity, shortfall.cause) == (KG, Cause.LEAD_TIME)


def test_what_the_plan_lacks_of_parts_and_packaging() -> None:
    # 0.4 of 1 kg are there on day 0; 4 of 10 boxes for the batch under way, which is packed on
    # day 0, and none on day 7; a batch that is never packed takes no boxes
    box = Material(id="box", kind="packaging", unit=Unit.PIECE)
    workshop = with_bar(
        shop(materials={**tiny().materials, "box": box}, underway=(curing(unmould=-9),)),
        packaging=(Packaging(material="box", per_bar=Fraction(1)),),
    )
    boxes = Lot(item="box", lot="boxes", amount=4)
    workshop = workshop.changed(lots=(*base(400_000), boxes), demand=())
    wanted = plan(underway(0, unmould=-9), batch(), batch(1, 2, 30), batch(1, 2, None))
    first, second = shortfalls(workshop, wanted, replay(workshop, wanted))
    assert (first.item, first.first_day, first.last_day) == ("base", 0, 1)
    assert first.quantity == 2 * KG  # two batches on day 1
    assert (second.item, second.first_day, second.last_day) == ("box", 0, 7)
    assert (second.quantity, second.unit) == (10, "ea")
    assert second.detail.startswith("the plan needs 10 ea of box more by Mon 31 Aug")


def test_preparations_below_safety_stock_and_parts_they_lack() -> None:
    tea = replace(TEA, safety_stock=KG)
    workshop = shop(preparations={"tea": tea}, lots=base(KG // 2), demand=())
    wanted = preparing(0)
    base_row, tea_row = shortfalls(workshop, wanted, replay(workshop, wanted))
    assert (base_row.item, base_row.quantity) == ("base", KG // 2)
    # ready on day 3, and one lot is as much as is wished for
    assert (tea_row.item, tea_row.first_day, tea_row.last_day) == ("tea", 0, 2)
    assert tea_row.detail.startswith("the safety stock needs 1,000 g of tea more by Mon 31 Aug")
