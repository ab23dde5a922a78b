"""How long stock lasts without new orders, and by when to order again."""

from dataclasses import replace

from planner.cover import Cover, covers
from planner.replay import replay
from planner.workshop import Material, Unit
from tests.accounts import account, flow, line, purchase
from tests.reports import shop
from tests.workshops import tiny

KG = shop.KG


def cover_of(item: str) -> Cover:
    workshop = shop.shop()
    found = covers(workshop, replay(workshop, shop.plan()))
    return next(cover for cover in found if cover.item == item)


def test_the_drum_runs_out_on_the_pour_that_no_longer_finds_enough() -> None:
    flakes = cover_of("flakes")
    # 11 kg less two pours of 4.82 kg and two of 0.36 kg leave 0.63 kg for the third of 4.82 kg.
    assert flakes.on_hand == 11 * KG
    assert flakes.run_out == 29
    assert flakes.planned == 25 * KG
    assert flakes.next_order == 0


def test_each_way_to_buy_has_its_own_last_day_and_the_slowest_comes_first() -> None:
    ways = cover_of("flakes").reorders
    # The drum takes 28 days and one to release; the grocer's 5 kg take 9 and one.
    assert [(way.offer, way.order_by) for way in ways] == [
        ("maker/flakes/25 kg", 0),
        ("grocer/flakes/5 kg", 18),
    ]
    # At the end of Mon 31 Aug all 11 kg are left; on Fri 18 Sep two shampoo pours are gone and
    # one of conditioner.
    assert ways[0].left == 11 * KG
    assert ways[1].left == 11 * KG - 2 * 4_819_593 - 364_409


def test_open_orders_count_and_blocked_stock_does_not() -> None:
    wax = cover_of("wax")
    assert (wax.on_hand, wax.on_the_way, wax.blocked) == (12 * KG, 5 * KG, 2 * KG)
    # 17 kg on hand and on the way; the plan uses 17.06 kg up to its last pour on day 29.
    assert wax.run_out == 29


def test_a_preparation_runs_out_too_and_is_not_bought() -> None:
    glycerite = cover_of("glycerite")
    assert (glycerite.run_out, glycerite.planned, glycerite.reorders) == (29, 900_000, ())
    assert glycerite.next_order is None


def test_what_lasts_the_plan_has_no_run_out_day() -> None:
    petals = cover_of("petals")
    assert (petals.run_out, petals.reorders, petals.needed) == (None, (), 400_000)


def test_quarantine_is_told_apart() -> None:
    assert cover_of("glycerin").waiting == cover_of("glycerin").on_hand == 3 * KG


def test_the_first_day_below_the_safety_stock_counts_what_is_bought() -> None:
    # Not quite 1 kg is left after the second shampoo pour on Tue 15 Sep; 1 kg is the safety stock.
    assert cover_of("flakes").below_safety == 15
    assert cover_of("wax").below_safety is None


def test_no_order_day_early_enough_leaves_none() -> None:
    workshop = tiny()
    offer = workshop.offers["shop/base/1 kg"]
    late = replace(offer, deliveries=offer.deliveries[5:])
    workshop = workshop.changed(offers={late.id: late})
    book = account(flows={"base": flow(1, (0, 0, 0), (1, 0, 1))})
    assert [way.order_by for way in covers(workshop, book)[0].reorders] == [None]


def test_run_out_counts_neither_what_the_plan_buys_nor_what_is_used_on_the_last_of_it() -> None:
    workshop = tiny(materials={"base": Material(id="base", kind="ingredient", unit=Unit.GRAM)})
    book = account(
        purchases=(purchase(0, line(usable=1, amount=5)),),
        flows={"base": flow(4, (0, 5, 0, 0), (2, 2, 2, 2))},
    )
    # 4 on hand, 2 a day: days 0 and 1 are covered exactly, day 2 is not.
    assert covers(workshop, book)[0].run_out == 2
