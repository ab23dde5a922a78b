"""Late orders and launches, levels not kept, and stretches of lost days."""

from dataclasses import replace

from planner.causes import Cause, shortfalls
from planner.replay import replay
from planner.workshop import Lot, Tray, Vessel
from tests.causes.cases import CUBE, KG, base, busy, found, only, shop, with_bar
from tests.replay.plans import batch, plan
from tests.replay.rows import BAR, launch, level, order, retail


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
    assert (before.first_day, before.last_day, before.cause) == (3, 8, Cause.LAUNCH)
    assert "nothing is sold before launch spring, due on Wed 9 Sep" in before.detail
    assert (after.first_day, after.last_day, after.quantity) == (9, 12, 4)
    assert "launch spring slips: waits for bar of the same launch" in after.detail


def test_a_row_due_before_its_launch() -> None:
    workshop = shop(launch(5, 9), replace(launch(5, 12), id="later"), lots=base(KG), days=29)
    shortfall = only(workshop, plan(batch(), promises={"spring": 12}))
    assert (shortfall.first_day, shortfall.last_day) == (9, 11)
    assert "due on Sat 12 Sep" in shortfall.detail


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
    assert only(with_bar(monday, shelf_life_days=8), plan()).cause is Cause.BETTER_PLAN
    assert found(with_bar(monday, shelf_life_days=8), plan(batch(14, 15, 21))) == ()
    shortfall = only(with_bar(monday, shelf_life_days=6), plan())
    assert shortfall.cause is Cause.CURE
    assert "bar keeps 6 days from its pour, too few after 5 days of cure" in shortfall.detail


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


def test_a_launch_a_day_late_is_late_and_no_row_of_it_is_early() -> None:
    # due on day 7, met on day 8, the first on which bars poured now can leave
    shortfall = only(shop(launch(10, 7)), plan(batch(), promises={"spring": 8}))
    assert (shortfall.first_day, shortfall.last_day, shortfall.cause) == (7, 7, Cause.CURE)


def test_each_row_of_a_launch_that_lacks_bars_has_a_cause_of_its_own() -> None:
    # bars have no pot, cubes no trays; bars lack ten, cubes lack five
    pan = Vessel(id="pan", count=1, capacity_mg=9 * KG, minutes_per_day=480)
    workshop = shop(
        launch(10, 9),
        launch(5, 9, product="cube"),
        products={"bar": BAR, "cube": replace(CUBE, vessel="pan", tray="rack")},
        vessels={"pot": replace(pan, id="pot", minutes_per_day=59), "pan": pan},
        trays={"tray": Tray(id="tray", count=9), "rack": Tray(id="rack", count=0)},
    )
    assert [each.cause for each in found(workshop, plan())] == [Cause.VESSEL, Cause.TRAYS]


def test_the_first_of_two_launches_opens_the_sale() -> None:
    # the first on day 8, the second on day 12; what is asked for before day 8 is not yet sold
    workshop = shop(retail(7, 6, 12), launch(1, 8, "first"), launch(1, 12, "second"))
    shortfall = only(workshop, plan(batch(), promises={"first": 8, "second": 12}))
    assert (shortfall.first_day, shortfall.last_day) == (6, 7)
    assert "launch first, due on Tue 8 Sep" in shortfall.detail


def test_the_launch_of_another_product_keeps_nothing_from_sale() -> None:
    workshop = shop(
        retail(7, 8, 9),
        launch(5, 20, product="cube"),
        products={"bar": BAR, "cube": CUBE},
        lots=(*base(KG), Lot(item="cube", lot="cube-0", amount=5)),
    )
    shortfall = only(workshop, plan(promises={"spring": 20}))
    assert shortfall.cause is Cause.BETTER_PLAN
    assert "nothing stands in the way" in shortfall.detail


def test_lost_days_a_week_apart_are_one_stretch() -> None:
    # one bar a week is asked for on the seventh day: on days 9, 16 and 23
    shortfall = only(shop(retail(1, 3), lots=()), plan())
    assert (shortfall.first_day, shortfall.last_day, shortfall.quantity) == (9, 23, 3)
    # eight days apart they are two
    rows = retail(1, 3, 9), replace(retail(1, 11, 17), id="later")
    assert len(found(shop(*rows, lots=()), plan())) == 2


def test_the_least_batch_that_helps_is_tried() -> None:
    # One bar is sold on day 9. For retail any bar helps, for a level all that is missing: five
    # bars on day 8, six from day 9 on.
    pot = Vessel(id="pot", count=1, capacity_mg=9 * KG, minutes_per_day=59)
    workshop = with_bar(
        shop(
            retail(7, 9, 10),
            level(6, 8, 10),
            vessels={"pot": pot},
            lots=(*base(KG), Lot(item="bar", lot="bar-0", amount=1)),
        ),
        sizes=(5, 10),
    )
    shop_row, level_row = found(workshop, plan())
    assert shop_row.detail.startswith("5 more bars of bar")
    assert (level_row.quantity, level_row.detail.startswith("10 more bars")) == (6, True)


def test_bars_must_keep_to_the_day_an_order_is_due() -> None:
    # bars keep nine days: for day 20 they are poured on day 11 at the earliest, when the pot is
    # taken; on the days before it is free, which is no help
    workshop = with_bar(shop(order(10, 20)), shelf_life_days=9)
    account = replay(workshop, plan())
    taken = busy(account, "vessel", range(11, 30))
    (shortfall,) = shortfalls(workshop, plan(), taken)
    assert shortfall.cause is Cause.VESSEL
    before = busy(account, "vessel", range(12, 30))
    (shortfall,) = shortfalls(workshop, plan(), before)
    assert shortfall.cause is Cause.BETTER_PLAN


def test_no_size_gives_a_bar_to_sell() -> None:
    shortfall = only(with_bar(shop(order(1, 20)), keep_bars=10), plan())
    assert shortfall.cause is Cause.UNKNOWN
    assert "no batch size of bar gives a bar to sell" in shortfall.detail
