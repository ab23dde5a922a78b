"""Shortfalls whose cause shows only when several batches are tried together.

Twenty bars are lost from day 14 to day 23. One batch of ten more would fit each of these workshops,
a second one lacks one thing. With more of that one thing, and nothing else, there is a plan of two
batches under which nothing is lost.
"""

from dataclasses import replace

from planner.causes import Cause
from planner.plan import Plan, Purchase, PurchaseLine
from planner.workshop import Budget, Tray, Vessel, Workshop
from tests.causes.cases import KG, base, found, late_offer, only, shop, with_bar
from tests.causes.test_parts import TEA, of_tea
from tests.replay.plans import SHOP_OFFER, batch, plan, preparing
from tests.replay.rows import order, retail

TWO_BARS_A_DAY = retail(14, 14, 23)
TWO_BATCHES = plan(batch(), batch())
SHOP = shop(TWO_BARS_A_DAY, lots=base(9 * KG))


def bought(*orders: int, batches: Plan = TWO_BATCHES) -> Plan:
    """A plan of one pack on each of some days."""
    line = PurchaseLine(offer=SHOP_OFFER, packs=1)
    purchases = (Purchase(order=day, supplier="shop", lines=(line,)) for day in orders)
    return replace(batches, purchases=tuple(purchases))


def told(workshop: Workshop) -> tuple[Cause, str]:
    """The cause of the only shortfall of a plan that does nothing, and how it is told."""
    shortfall = only(workshop, plan())
    assert (shortfall.first_day, shortfall.last_day, shortfall.quantity) == (14, 23, 20)
    assert "would fit and give 10 of the 20 bars; 10 more bars" in shortfall.detail
    return shortfall.cause, shortfall.detail


def test_nothing_is_lost_with_two_batches_and_enough_of_everything() -> None:
    assert only(SHOP, plan()).cause is Cause.BETTER_PLAN
    assert found(SHOP, TWO_BATCHES) == ()


def test_base_for_one_batch() -> None:
    cause, detail = told(SHOP.changed(lots=base(2 * KG - 1)))
    assert cause is Cause.MATERIAL
    assert "need 0.001 g of base" in detail
    assert found(SHOP.changed(lots=base(2 * KG)), TWO_BATCHES) == ()


def test_a_tray_for_one_batch() -> None:
    # The tray is taken for a week or more by each, so the second one comes too late for most bars.
    workshop = SHOP.changed(demand=(retail(140, 14, 14),), trays={"tray": Tray(id="tray", count=1)})
    shortfall = only(workshop, plan())
    assert shortfall.cause is Cause.TRAYS
    assert "would fit and give 10 of the 20 bars" in shortfall.detail
    assert found(workshop.changed(trays={"tray": Tray(id="tray", count=2)}), TWO_BATCHES) == ()


def test_money_for_one_batch() -> None:
    def with_budget(amount: int) -> Workshop:
        budget = Budget(month="2026-09", first=-5, last=40, amount=amount)
        return late_offer(2).changed(demand=(TWO_BARS_A_DAY,), budgets=(budget,))

    cause, detail = told(with_budget(1999))
    assert cause is Cause.BUDGET
    assert "the budget of 2026-09 is EUR 0.01 too small" in detail
    wanted = bought(0, 1, batches=plan(batch(3, 4, 9), batch(3, 4, 9)))
    assert found(with_budget(2000), wanted) == ()


def test_packs_for_one_batch() -> None:
    workshop = late_offer(2).changed(demand=(TWO_BARS_A_DAY,))
    offer = workshop.offers[SHOP_OFFER]

    def with_packs(most: int) -> Workshop:
        once = replace(offer, max_packs=most, deliveries=offer.deliveries[:1])
        return workshop.changed(offers={SHOP_OFFER: once})

    cause, detail = told(with_packs(1))
    assert cause is Cause.MATERIAL
    assert "base more than can come in time" in detail
    lines = (PurchaseLine(offer=SHOP_OFFER, packs=2),)
    wanted = replace(
        plan(batch(2, 3, 8), batch(2, 3, 8)),
        purchases=(Purchase(order=0, supplier="shop", lines=lines),),
    )
    assert found(with_packs(2), wanted) == ()


def test_a_pack_left_over_serves_the_second_batch() -> None:
    # packs of 2 kg: one order pays for both batches
    workshop = late_offer(2).changed(demand=(TWO_BARS_A_DAY,))
    large = replace(workshop.offers[SHOP_OFFER], amount=2 * KG)
    budget = Budget(month="2026-09", first=-5, last=40, amount=1000)
    workshop = workshop.changed(offers={SHOP_OFFER: large}, budgets=(budget,))
    assert only(workshop, plan()).cause is Cause.BETTER_PLAN
    wanted = bought(0, batches=plan(batch(2, 3, 8), batch(2, 3, 8)))
    assert found(workshop, wanted) == ()


def test_hands_for_one_lot_of_a_preparation() -> None:
    # Tea takes 450 of the 480 minutes of a day, and keeps one day: it is made on day 0 and poured
    # on day 1. There is work on these two days and on Mondays only.
    minutes = tuple(480 if day in (0, 1) or day % 7 == 0 else 0 for day in range(30))
    tea = replace(TEA, make_minutes=450, ready_days=1, shelf_life_days=1)
    workshop = of_tea(tea, lots=base(9 * KG)).changed(
        demand=(retail(140, 15, 15),), minutes=minutes
    )
    shortfall = only(workshop, plan())
    assert shortfall.cause is Cause.HANDS
    assert "would fit and give 10 of the 20 bars" in shortfall.detail
    assert "more tea, which needs 450 min (hands) on Mon 31 Aug: 30 of 480 are free" in (
        shortfall.detail
    )
    wanted = replace(preparing(0, 0), batches=(batch(1, 7, 14), batch(1, 7, 14)))
    twice = workshop.changed(minutes=tuple(2 * each for each in minutes))
    assert found(twice, wanted) == ()


def test_the_limit_of_a_day_for_one_batch() -> None:
    # work on Mondays only, bars wanted on day 15: poured on day 0, packed on day 14
    weekly = tuple(480 if day % 7 == 0 else 0 for day in range(30))
    workshop = SHOP.changed(demand=(retail(140, 15, 15),), minutes=weekly)
    limited = with_bar(workshop, max_batches_per_day=1)
    shortfall = only(limited, plan())
    assert shortfall.cause is Cause.DAILY_LIMIT
    assert "would fit and give 10 of the 20 bars" in shortfall.detail
    wanted = plan(batch(0, 7, 14), batch(0, 7, 14))
    assert found(with_bar(workshop, max_batches_per_day=2), wanted) == ()


def test_pot_and_tray_together() -> None:
    # One pot-hour a day and one tray until day 13: the second batch lacks both on every day on
    # which it could be poured, for only day 0 leaves bars for day 15.
    weekly = tuple(480 if day % 7 == 0 else 0 for day in range(30))
    pot = Vessel(id="pot", count=1, capacity_mg=9 * KG, minutes_per_day=119)
    scarce = {"vessels": {"pot": pot}, "trays": {"tray": Tray(id="tray", count=1)}}
    workshop = SHOP.changed(demand=(retail(140, 15, 15),), minutes=weekly)
    shortfall = only(workshop.changed(**scarce), plan())
    assert shortfall.cause is Cause.SEVERAL
    assert "would fit and give 10 of the 20 bars" in shortfall.detail
    assert "need together 60 min (pot) on Mon 31 Aug: 59 of 119 are free, and 1 tray" in (
        shortfall.detail
    )
    wanted = plan(batch(0, 7, 14), batch(0, 7, 14))
    assert found(workshop, wanted) == ()
    for name in scarce:
        other = workshop.changed(**{name: scarce[name]})
        assert only(other, plan()).cause in (Cause.VESSEL, Cause.TRAYS)


def test_an_order_that_takes_two_batches() -> None:
    # two trays would do; poured on day 2 at the latest, the bars are there on day 9
    workshop = shop(order(20, 9), lots=base(2 * KG), days=10, minutes=SHOP.minutes[:10])
    scarce = workshop.changed(trays={"tray": Tray(id="tray", count=1)})
    shortfall = only(scarce, plan())
    assert shortfall.cause is Cause.TRAYS
    assert "would fit and give 10 of the 20 bars" in shortfall.detail
    wanted = plan(batch(), batch(), promises={"order": 9})
    assert found(workshop.changed(trays={"tray": Tray(id="tray", count=2)}), wanted) == ()
