"""Preparations and packaging that hold a batch up."""

from dataclasses import replace
from fractions import Fraction

from planner.causes import Cause
from planner.plan import Plan
from planner.workshop import Lot, Material, Packaging, Part, Preparation, Unit, Vessel, Workshop
from tests.causes.cases import KG, ONE_BAR_A_DAY, base, found, only, shop, with_bar
from tests.replay.plans import batch, plan, preparing
from tests.replay.rows import order, retail
from tests.workshops import tiny

TEA = Preparation(
    id="tea",
    unit=Unit.GRAM,
    charge=KG,
    make_minutes=15,
    ready_days=3,
    formula=(Part(item="base", share=Fraction(1)),),
)


def of_tea(tea: Preparation = TEA, **changes: object) -> Workshop:
    """Bars poured of tea."""
    workshop = shop(preparations={"tea": tea}, **changes)
    return with_bar(workshop, formula=(Part(item="tea", share=Fraction(1)),))


def brewed(make: int, pour: int, pack: int) -> Plan:
    """A lot of tea and a batch of it."""
    return replace(preparing(make), batches=(batch(pour, pour + 1, pack),))


def test_a_preparation_that_steeps_too_long() -> None:
    # day 0 + 15: ready on day 15, too late for a pour by day 8
    slow = of_tea(replace(TEA, ready_days=15))
    shortfall = only(slow, plan())
    assert shortfall.cause is Cause.LEAD_TIME  # for day 22 and 23 it is not too late
    assert "would fit and give 2 of the 10 bars; 10 more bars of bar, poured on" in shortfall.detail
    assert "need 1,000 g of tea more by Thu 10 Sep; made now it is ready" in shortfall.detail
    shortfall = only(slow.changed(demand=(retail(7, 14, 21),)), plan())
    assert shortfall.cause is Cause.LEAD_TIME
    assert "made now it is ready on Tue 15 Sep" in shortfall.detail
    assert found(of_tea(), brewed(0, 3, 9)) == ()


def test_a_preparation_whose_own_part_is_missing() -> None:
    shortfall = only(of_tea(lots=base(KG - 1)), plan())
    assert shortfall.cause is Cause.MATERIAL
    assert "need more tea, which needs 0.001 g of base" in shortfall.detail


def test_a_preparation_whose_vessel_or_hands_are_missing() -> None:
    pan = Vessel(id="pan", count=1, capacity_mg=9 * KG, minutes_per_day=30)
    tea = replace(TEA, vessel="pan", vessel_minutes=31)
    vessels = {**tiny().vessels, "pan": pan}
    assert only(of_tea(tea, vessels=vessels), plan()).cause is Cause.VESSEL
    lengthy = replace(TEA, make_minutes=481)
    assert only(of_tea(lengthy), plan()).cause is Cause.HANDS


def test_a_preparation_that_others_take() -> None:
    # tea keeps three days and is made on day 0 only; base is used up by it
    workshop = of_tea(lots=base(KG)).changed(
        demand=(ONE_BAR_A_DAY, replace(order(10, 10), product="cube"))
    )
    cube = replace(workshop.products["bar"], id="cube")
    workshop = workshop.changed(products={**workshop.products, "cube": cube})
    wanted = replace(
        brewed(0, 3, 9),
        batches=(replace(batch(3, 4, 9), product="cube"),),
        promises=plan(promises={"order": 10}).promises,
    )
    shortfall = only(workshop, wanted)
    assert shortfall.cause is Cause.MATERIAL


def test_packaging_is_missing_on_the_pack_day() -> None:
    box = Material(id="box", kind="packaging", unit=Unit.PIECE)
    workshop = with_bar(
        shop(materials={**tiny().materials, "box": box}),
        packaging=(Packaging(material="box", per_bar=Fraction(1)),),
    )
    boxes = Lot(item="box", lot="boxes", amount=9)
    few = workshop.changed(lots=(*workshop.lots, boxes))
    shortfall = only(few, plan())
    assert shortfall.cause is Cause.MATERIAL
    assert "1 ea of box" in shortfall.detail
    enough = workshop.changed(lots=(*workshop.lots, replace(boxes, amount=10)))
    assert found(enough, plan(batch())) == ()
