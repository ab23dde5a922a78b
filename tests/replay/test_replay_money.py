"""The parts of the money goal, worked out by hand in thousandths of a cent.

In the tiny workshop a kilogram of base is worth 10.00 = 1,000,000, ten bars of it the same, and
money costs 10 % a year.
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.account import Money
from planner.plan import Plan
from planner.replay import replay
from planner.workshop import Costs, Lot, Receipt, Supplier, Workshop
from tests.replay.plans import batch, buying, curing, plan, preparing, underway
from tests.replay.rows import launch, level, order, retail, shop
from tests.replay.test_preparing import TEA
from tests.workshops import tiny

KG = 1_000_000
NO_WISHES = Costs(safety=Fraction(0))
"""Safety stock says what is worth keeping, but costs nothing while it is missing."""


def money(workshop: Workshop, wanted: Plan) -> Money:
    """The money of a plan."""
    return replay(workshop, wanted).money


def test_a_batch_sold_out() -> None:
    # Day 0 to 6: parts worth 1,000,000; day 7 to 13: ten bars worth as much; one sold a day from
    # day 14 on leaves 9 + 8 + ... + 0 = 45 bar-days. 14,000,000 + 4,500,000 at 10 % a year:
    # 18,500,000 x 0.1 / 365 = 5068.49. Nothing is left of the opening kilogram.
    found = money(tiny(), plan(batch()))
    assert (found.opening_value, found.left_value) == (1_000_000, 0)
    assert (found.capital, found.purchases, found.freight) == (5068, 0, 0)
    assert found.money == 1_000_000 + 5068
    # 16 bars are asked for, 6 of them are lost at 10.00 each
    assert found.service == found.retail_lost == 6_000_000


def test_what_is_bought_and_not_used_is_left() -> None:
    # 2 kg for 20.00 and freight of 7.00; usable from day 2 on: 30 x 1 kg + 28 x 2 kg on the shelf
    materials = {"base": replace(tiny().materials["base"], safety_stock=3 * KG)}
    shop = Supplier(id="shop", freight=700)
    workshop = tiny(suppliers={"shop": shop}, materials=materials, costs=NO_WISHES)
    found = money(workshop, buying(packs=2))
    assert (found.purchases, found.freight) == (2_000_000, 700_000)
    assert (found.opening_value, found.left_value) == (1_000_000, 3_000_000)
    assert found.capital == 23_562  # 86,000,000 x 0.1 / 365 = 23,561.6
    assert found.money == 2_000_000 + 700_000 + 1_000_000 - 3_000_000 + 23_562


@pytest.mark.parametrize(("pours", "sold"), [(0, 0), (1, 10), (2, 15), (3, 15)])
def test_no_more_is_worth_having_than_twice_what_is_asked_for_and_safety_stock(
    pours: int, sold: int
) -> None:
    """Sixteen bars are asked for, so that 3.2 kg count, and 0.5 kg, as base or as bars.

    Six kilos are there or bought. What has been sold counts no more, and the batch that nobody
    wants, the third, makes nothing count that would not have as base.
    """
    materials = {"base": replace(tiny().materials["base"], safety_stock=KG // 2)}
    workshop = tiny(materials=materials, costs=NO_WISHES)
    poured = plan(*[batch(4, 7, 14)] * pours)
    found = money(workshop, replace(poured, purchases=buying(packs=5).purchases))
    assert found.left_value == 3_700_000 - sold * 100_000


def test_clean_down_for_each_batch_poured() -> None:
    lots = (Lot(item="base", lot="a", amount=2 * KG),)
    costs = Costs(capital=Fraction(0), clean_down=300)
    workshop = tiny(lots=lots, costs=costs, underway=(curing(),))
    found = money(workshop, plan(batch(), batch(), underway(3)))
    assert found.clean_down == 600_000
    # opening: 2 kg on the shelf and 1 kg in the batch under way; all are bars, 14 of 30 left
    assert (found.opening_value, found.left_value) == (3_000_000, 1_400_000)
    assert found.money == 600_000 + 3_000_000 - 1_400_000


def test_a_batch_packed_outside_the_plan_is_not_packed() -> None:
    account = replay(tiny(), plan(batch(pack=40)))
    assert not account.certified
    assert (account.money.left_value, account.money.capital) == (0, 8219)


@pytest.mark.parametrize(("cure_days", "left"), [(5, 0), (31, 0), (32, 1_000_000)])
def test_a_batch_left_on_its_trays_counts_only_if_it_cannot_be_cured_in_time(
    cure_days: int, left: int
) -> None:
    """Cured on day 3, on day 29, the plan's last, a Tuesday, and on day 30, beyond the plan."""
    product = replace(tiny().products["bar"], cure_days=cure_days)
    workshop = tiny(lots=(), underway=(curing(),)).changed(products={"bar": product})
    found = money(workshop, plan(underway(None)))
    assert (found.opening_value, found.left_value) == (1_000_000, left)
    assert found.capital == 8219  # 30 days x 1,000,000 x 0.1 / 365 = 8219.2


def test_a_batch_is_left_if_nobody_works_any_more_once_it_is_cured() -> None:
    """Cured on day 27, a Sunday; days 28 and 29 are free."""
    product = replace(tiny().products["bar"], cure_days=29)
    minutes = (*tiny().minutes[:28], 0, 0)
    workshop = tiny(lots=(), underway=(curing(),), minutes=minutes)
    found = money(workshop.changed(products={"bar": product}), plan(underway(None)))
    assert found.left_value == 1_000_000


def test_bars_packed_on_the_last_day_are_left_at_their_value() -> None:
    # kept bars cost: 10 bars of 1 kg, 2 kept; the plan ends on day 7, the pack day
    product = replace(tiny().products["bar"], keep_bars=2)
    values = {"base": 1000, "bar": 125_000_000}
    materials = {"base": replace(tiny().materials["base"], safety_stock=KG)}
    workshop = tiny(days=8, minutes=(480,) * 8, demand=(), values=values, costs=NO_WISHES)
    workshop = workshop.changed(products={"bar": product}, materials=materials)
    found = money(workshop, plan(batch()))
    assert found.left_value == 8 * 125_000
    assert found.capital == 2192  # 8 days x 1,000,000 x 0.1 / 365 = 2191.8


def test_open_orders_and_quarantine_are_there_from_the_start() -> None:
    receipt = Receipt(
        reference="7", supplier="shop", material="base", amount=KG, expected=9, arrive=9, usable=10
    )
    later = replace(receipt, reference="8", usable=40)
    waiting = Lot(item="base", lot="q", amount=KG, usable=20)
    materials = {"base": replace(tiny().materials["base"], safety_stock=3 * KG)}
    workshop = tiny(
        lots=(waiting,), receipts=(receipt, later), demand=(), materials=materials, costs=NO_WISHES
    )
    found = money(workshop, plan())
    assert (found.opening_value, found.left_value) == (3_000_000, 3_000_000)
    # it costs money from its usable day on: 20 and 10 days; what comes after the plan costs nothing
    assert found.money == found.capital == 8219


def test_blocked_stock_is_worth_nothing() -> None:
    workshop = tiny(lots=(), blocked=(Lot(item="base", lot="b", amount=KG),), demand=())
    assert money(workshop, plan()).opening_value == 0


def test_waste_is_opening_value_that_is_not_left() -> None:
    # usable on days 0 to 3 only: 4 days of 1,000,000
    workshop = tiny(lots=(Lot(item="base", lot="a", amount=KG, use_by=3),), demand=())
    found = money(workshop, plan())
    assert (found.waste, found.opening_value, found.left_value) == (1_000_000, 1_000_000, 0)
    assert found.capital == 1096  # 4,000,000 x 0.1 / 365 = 1095.9
    assert found.money == 1_000_000 + 1096


def test_a_preparation_is_on_hand_once_it_is_ready() -> None:
    tea = replace(TEA, shelf_life_days=None, safety_stock=KG)
    values = {"base": 1000, "tea": 1000}
    workshop = tiny(preparations={"tea": tea}, demand=(), values=values, costs=NO_WISHES)
    found = money(workshop, preparing(0))
    assert (found.opening_value, found.left_value) == (1_000_000, 1_000_000)
    assert found.capital == 7671  # usable from day 2 on: 28,000,000 x 0.1 / 365 = 7671.2


def test_a_preparation_still_steeping_at_the_end_is_left() -> None:
    tea = replace(TEA, ready_days=50, shelf_life_days=None, safety_stock=KG)
    values = {"base": 1000, "tea": 1000}
    workshop = tiny(preparations={"tea": tea}, demand=(), values=values, costs=NO_WISHES)
    found = money(workshop, preparing(0))
    assert (found.left_value, found.capital) == (1_000_000, 0)


def test_safety_stock_costs_a_share_of_what_is_missing_each_day() -> None:
    # 3 kg are wished for; 1 kg is there, 2 kg come on day 10: 10 days x 2,000,000 x 0.1 %
    base = replace(tiny().materials["base"], safety_stock=3 * KG)
    receipt = Receipt(
        reference="7",
        supplier="shop",
        material="base",
        amount=2 * KG,
        expected=9,
        arrive=9,
        usable=10,
    )
    workshop = tiny(materials={"base": base}, receipts=(receipt,), demand=())
    assert money(workshop, plan()).safety == 20_000


def test_every_part_is_rounded_once_and_halves_up() -> None:
    # 365 thousandths a day for 10 days at 100 % / 365 = 10; half the share: 5; a tenth less: 4.5
    lot = Lot(item="base", lot="a", amount=365, use_by=9)
    for share, expected in (
        (1, 10),
        (Fraction(1, 2), 5),
        (Fraction(9, 20), 5),
        (Fraction(11, 25), 4),
    ):
        costs = Costs(capital=Fraction(share))
        workshop = tiny(lots=(lot,), costs=costs, demand=())
        assert money(workshop, plan()).capital == expected


def test_service_is_the_sum_of_its_four_parts() -> None:
    # one of two retail bars is lost; the order of 2 bars is never met: 30 days at 2 % of 20.00,
    # and 20.00; on 30 days one bar is missing to the level. The launch of 9 bars is never met
    # either: 30 days at 100 % of 90.00, and 90.00.
    workshop = shop(retail(7, 0, 1), order(2, 0), level(1, 0), bars=1)
    found = money(workshop, plan())
    assert (found.retail_lost, found.orders_late, found.launches_late, found.restock_below) == (
        1000,
        30 * 40_000 + 2_000_000,
        0,
        300,
    )
    assert found.service == 1000 + 3_200_000 + 300
    assert money(shop(launch(9, 0)), plan()).launches_late == 30 * 9_000_000 + 9_000_000
