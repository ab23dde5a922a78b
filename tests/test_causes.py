"""Causes of shortfalls, on workshops whose one true bottleneck is known by construction.

Each is shown twice: the cause is named, and a workshop with more of that one thing, and nothing
else, has a plan of one batch more under which the loss vanishes.
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.causes import Cause, Shortfall, shortfalls
from planner.causes.attempts import Attempt
from planner.causes.judging import judge
from planner.causes.records import Block
from planner.plan import Plan, Purchase, PurchaseLine
from planner.replay import replay
from planner.workshop import (
    Budget,
    Demand,
    DemandKind,
    Lot,
    Material,
    Mould,
    Packaging,
    Part,
    Place,
    Preparation,
    Tray,
    Unit,
    Vessel,
    Workshop,
)
from tests.replay.plans import SHOP_OFFER, batch, buying, plan, preparing
from tests.replay.rows import BAR, launch, level, order, retail
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


ENOUGH = shop()
SCARCE = [
    (
        Cause.TRAYS,
        shop(trays={"tray": Tray(id="tray", count=0)}),
        "need 1 tray (tray) on Thu 2026-09-17: 0 of 0 are free",
    ),
    (
        Cause.MOULDS,
        shop(moulds={"block": Mould(id="block", count=0, cavities=10)}),
        "need 1 mould (block) on Wed 2026-09-16",
    ),
    (
        Cause.VESSEL,
        shop(vessels={"pot": Vessel(id="pot", count=1, capacity_mg=9 * KG, minutes_per_day=59)}),
        "need 60 min (pot) on Wed 2026-09-16: 59 of 59 are free",
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
    for minutes, expected in ((9, [Cause.HANDS]), (10, [Cause.UNKNOWN])):
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
    assert "1 tray (tray) on Thu 2026-09-17: 0 of 1 are free" in shortfall.detail
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
    assert "need 1,000 g of base, missing from Wed 2026-09-16" in shortfall.detail
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
    assert "until Tue 2026-09-15" in shortfall.detail


def late_offer(lead: int) -> Workshop:
    """No base in stock; an order brings it after `lead` days."""
    offer = tiny().offers[SHOP_OFFER]
    later = tuple(
        replace(d, arrive=d.order + lead, usable=d.order + lead)
        for d in offer.deliveries
        if d.order + lead < 30
    )
    return shop(lots=(), offers={SHOP_OFFER: replace(offer, deliveries=later)})


def test_lead_time() -> None:
    # Ordered on day 0 and usable on day 15, a Tuesday: poured then, packed on day 21, the bars
    # leave from day 22 on, so 8 of 10 are lost. Poured on day 2 they are in time for day 14.
    slow = late_offer(15)
    wanted = replace(buying(), batches=(batch(15, 16, 21),))
    shortfall = only(slow, wanted)
    assert (shortfall.first_day, shortfall.last_day, shortfall.quantity) == (14, 21, 8)
    assert shortfall.cause is Cause.LEAD_TIME
    assert "ordered now it is usable from Tue 2026-09-15 on" in shortfall.detail
    assert found(late_offer(2), replace(buying(), batches=(batch(2, 3, 8),))) == ()


def test_budget() -> None:
    # 1 kg costs 10.00, paid on the order day
    tight = late_offer(2).changed(budgets=(Budget(month="2026-09", first=-5, last=40, amount=999),))
    shortfall = only(tight, plan())
    assert shortfall.cause is Cause.BUDGET
    assert "the budget of 2026-09 is 0.01 EUR too small" in shortfall.detail
    enough = late_offer(2).changed(
        budgets=(Budget(month="2026-09", first=-5, last=40, amount=1000),)
    )
    assert found(enough, replace(buying(), batches=(batch(2, 3, 8),))) == ()


def test_budget_pays_for_freight_unless_an_order_goes_out_that_day_anyway() -> None:
    supplier = replace(tiny().suppliers["shop"], freight=500)
    budget = Budget(month="2026-09", first=0, last=29, amount=2500)
    workshop = late_offer(2).changed(suppliers={"shop": supplier}, budgets=(budget,))
    assert only(workshop, plan()).cause is Cause.UNKNOWN  # 15.00 of 25.00: a batch would fit
    # one pack and freight for 15.00 leave 10.00: enough for a pack more in the same order
    rows = (replace(ONE_BAR_A_DAY, quantity=14),)
    wanted = replace(buying(), batches=(batch(2, 3, 8),))
    assert only(workshop.changed(demand=rows), wanted).cause is Cause.UNKNOWN
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
    assert "from Tue 2026-09-08 on: 1 night in the mould, 5 days of cure" in shortfall.detail
    quick = with_bar(workshop, cure_days=1)  # unmoulded on day 1, packed on day 2
    assert found(quick, plan(batch(0, 1, 2))) == ()


def test_a_cure_that_outlasts_the_plan() -> None:
    shortfall = only(with_bar(shop(), cure_days=40), plan())
    assert shortfall.cause is Cause.CURE
    assert "only after the plan's end" in shortfall.detail


def test_stretches_of_days_have_causes_of_their_own() -> None:
    # one bar a day from day 3: the first five come too soon; the batch lasts from day 8 to day 17,
    # and there is base for no second one
    first, second = found(shop(retail(7, 3)), plan(batch()))
    assert (first.first_day, first.last_day, first.cause) == (3, 7, Cause.CURE)
    assert (second.first_day, second.last_day, second.cause) == (18, 29, Cause.MATERIAL)
    assert found(shop(retail(7, 8), lots=base(3 * KG)), plan(*(batch() for _ in range(3)))) == ()


def test_a_stretch_is_cut_where_bars_could_first_leave() -> None:
    # nothing is made at all: day 3 to 7 is the cure's fault, the rest that of the vessel
    pot = Vessel(id="pot", count=1, capacity_mg=9 * KG, minutes_per_day=59)
    first, second = found(shop(retail(7, 3), vessels={"pot": pot}), plan())
    assert (first.first_day, first.last_day, first.cause) == (3, 7, Cause.CURE)
    assert (second.first_day, second.last_day, second.cause) == (8, 29, Cause.VESSEL)


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
    assert "one batch more on Mon 2026-08-31: the limit of a day is 1" in shortfall.detail
    two = with_bar(workshop, max_batches_per_day=2)
    assert found(two, plan(batch(0, 7, 14), batch(0, 7, 14))) == ()


def test_unknown_when_a_batch_would_have_fitted() -> None:
    shortfall = only(ENOUGH, plan())
    assert shortfall.cause is Cause.UNKNOWN
    assert "a better plan than this one may exist" in shortfall.detail


def attempt(pour: int, *causes: Cause) -> Attempt:
    """A batch that some causes stop."""
    blocks = tuple(Block(cause, f"more {cause} for day {pour}") for cause in causes)
    return Attempt(pour=pour, blocks=blocks)


def judged(*attempts: Attempt) -> tuple[Cause, str]:
    """The verdict on attempts at a batch of ten bars."""
    return judge(ENOUGH, "bar", 10, attempts)


def test_the_cause_that_alone_stops_most_days_decides() -> None:
    cause, sentence = judged(
        attempt(9, Cause.HANDS),
        attempt(8, Cause.TRAYS),
        attempt(7, Cause.TRAYS),
        attempt(4, Cause.HANDS, Cause.MOULDS),
        attempt(3, Cause.HANDS, Cause.MOULDS),
    )
    assert cause is Cause.TRAYS
    # told of the latest day on which it decides
    assert sentence == "10 more bars of bar, poured on Tue 2026-09-08, need more trays for day 8"


def test_where_several_causes_stop_every_day_the_best_day_decides() -> None:
    cause, sentence = judged(
        attempt(9, Cause.HANDS, Cause.TRAYS, Cause.MOULDS),
        attempt(8, Cause.VESSEL, Cause.MOULDS),
        attempt(7, Cause.HANDS, Cause.VESSEL, Cause.TRAYS),
        attempt(4, Cause.HANDS, Cause.TRAYS),
        attempt(3, Cause.MOULDS, Cause.HANDS, Cause.PLACE),
    )
    assert cause is Cause.MOULDS  # on day 8, and met on more days than the vessel is
    assert "poured on Tue 2026-09-08, need more moulds" in sentence


def test_one_day_without_hindrance_is_enough() -> None:
    cause, sentence = judged(attempt(9, Cause.HANDS), attempt(8), attempt(7, Cause.HANDS))
    assert cause is Cause.UNKNOWN
    assert "10 more bars of bar, poured on Tue 2026-09-08" in sentence


# Preparations and packaging

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
    assert shortfall.cause is Cause.UNKNOWN  # for day 22 and 23 it is not too late
    shortfall = only(slow.changed(demand=(retail(7, 14, 21),)), plan())
    assert shortfall.cause is Cause.LEAD_TIME
    assert "made now it is ready on Tue 2026-09-15" in shortfall.detail
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


# Orders, launches and levels


def test_a_late_order() -> None:
    # due on day 5, met on day 8: no batch could have left before
    shortfall = only(shop(order(10, 5)), plan(batch(), promises={"order": 8}))
    assert (shortfall.demand, shortfall.first_day, shortfall.last_day) == ("order", 5, 7)
    assert (shortfall.quantity, shortfall.cause) == (10, Cause.CURE)


def test_an_order_that_is_not_met() -> None:
    shortfall = only(shop(order(10, 8), lots=base(KG - 1)), plan())
    assert (shortfall.first_day, shortfall.last_day, shortfall.quantity) == (8, 29, 10)
    assert shortfall.cause is Cause.MATERIAL


def test_an_order_waits_for_a_batch_large_enough() -> None:
    # 5 bars are there, 10 more are asked for: half a batch would not do, and base is there for half
    workshop = shop(
        order(15, 8),
        products={"bar": replace(BAR, sizes=(10, 5))},
        lots=(*base(KG // 2), Lot(item="bar", lot="bar-0", amount=5)),
    )
    shortfall = only(workshop, plan())
    assert shortfall.cause is Cause.MATERIAL
    assert "10 more bars of bar, poured on" in shortfall.detail


def test_an_overdue_order_counts_from_its_own_day() -> None:
    shortfall = only(shop(order(10, -4)), plan(batch(), promises={"order": 8}))
    assert (shortfall.first_day, shortfall.last_day) == (-4, 7)


def test_a_launch_waits_for_the_row_that_lacks_bars() -> None:
    # ten cubes are there; bars due on day 9 cannot be poured: 59 min of the pot
    pot = Vessel(id="pot", count=1, capacity_mg=9 * KG, minutes_per_day=59)
    workshop = shop(
        launch(10, 9),
        launch(10, 9, product="cube"),
        replace(retail(7, 3, 12), product="cube"),
        products={"bar": BAR, "cube": CUBE},
        lots=(*base(KG), Lot(item="cube", lot="cube-0", amount=10)),
        vessels={"pot": pot},
    )
    bars, cubes, before, after = found(workshop, plan())
    assert (bars.demand, bars.first_day, bars.last_day) == ("spring bar", 9, 29)
    assert bars.cause is cubes.cause is after.cause is Cause.VESSEL
    assert "waits for bar of the same launch" in cubes.detail
    # retail of the cubes: six days were asked for before the launch was due at all
    assert (before.first_day, before.last_day, before.cause) == (3, 8, Cause.UNKNOWN)
    assert "nothing is sold before launch spring, due on Wed 2026-09-09" in before.detail
    assert (after.first_day, after.last_day, after.quantity) == (9, 12, 4)
    assert "launch spring slips" in after.detail


def test_a_row_due_before_its_launch() -> None:
    workshop = shop(launch(5, 9), replace(launch(5, 12), id="later"), lots=base(KG), days=29)
    shortfall = only(workshop, plan(batch(), promises={"spring": 12}))
    assert (shortfall.first_day, shortfall.last_day) == (9, 11)
    assert "due on Sat 2026-09-12" in shortfall.detail


def test_a_restock_level_tells_the_most_bars_missing() -> None:
    pot = Vessel(id="pot", count=1, capacity_mg=9 * KG, minutes_per_day=59)
    stock = Lot(item="bar", lot="bar-0", amount=6)
    workshop = shop(
        level(8, 14, 20), retail(7, 16, 17), vessels={"pot": pot}, lots=(*base(KG), stock)
    )
    # 6 bars until day 15, then 5, then 4: 2, 3 and 4 bars below the level of 8
    shortfall = only(workshop, plan())
    assert (shortfall.demand, shortfall.first_day, shortfall.last_day) == ("level", 14, 20)
    assert (shortfall.quantity, shortfall.cause) == (4, Cause.VESSEL)


def test_bars_that_would_not_keep_are_no_help() -> None:
    # poured on Monday, day 14, packed on day 21, gone from day 22 on: they must keep 8 days
    monday = shop(retail(7, 22, 22))
    assert only(with_bar(monday, shelf_life_days=8), plan()).cause is Cause.UNKNOWN
    assert found(with_bar(monday, shelf_life_days=8), plan(batch(14, 15, 21))) == ()
    shortfall = only(with_bar(monday, shelf_life_days=6), plan())
    assert shortfall.cause is Cause.CURE
    assert "bar keeps 6 days from its pour, too few after 5 days of cure" in shortfall.detail


# Materials


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


def test_nothing_is_short_when_all_is_served() -> None:
    lines = (PurchaseLine(offer=SHOP_OFFER, packs=1),)
    wanted = Plan(
        batches=(batch(), batch(2, 3, 8)),
        purchases=(Purchase(order=0, supplier="shop", lines=lines),),
    )
    assert found(tiny(), wanted) == ()
    assert [row.kind for row in tiny().demand] == [DemandKind.RETAIL]
