"""Retail, what is held back from it, and restock levels; all numbers worked out by hand."""

from dataclasses import replace

import pytest

from planner.account import Account, Service
from planner.replay import replay
from planner.replay.selling import asked_on
from planner.workshop import DemandKind, Lot, Workshop
from tests.replay.plans import batch, plan
from tests.replay.random_plans import random_plan
from tests.replay.rows import BAR, launch, level, order, retail, shop
from tests.workshops import random_workshop


def row(account: Account, name: str) -> Service:
    """One row of service."""
    return next(service for service in account.service if service.demand == name)


def sold(account: Account, name: str = "retail") -> dict[int, int]:
    """Day -> bars of a row."""
    days: dict[int, int] = {}
    for peg in account.pegs:
        if peg.use == name:
            days[peg.day] = days.get(peg.day, 0) + peg.amount
    return days


def test_a_weeks_quantity_is_spread_over_its_days() -> None:
    # floor(10 (j + 1) / 7) - floor(10 j / 7): 0 1 2 4 5 7 8 10 in all
    daily = [1, 1, 2, 1, 2, 1, 2]
    assert [asked_on(retail(10, 3), day) for day in range(3, 17)] == daily * 2
    assert [asked_on(retail(2, 0), day) for day in range(7)] == [0, 0, 0, 1, 0, 0, 1]
    # a row that began on day -2: day 0 is the third of its week
    assert [asked_on(retail(10, -2), day) for day in range(5)] == daily[2:]


def test_retail_sells_what_is_there_and_loses_the_rest_of_the_day() -> None:
    # 10 a week on days 0 to 4: 1 1 2 1 2; 3 bars in stock
    account = replay(shop(retail(10, 0, 4), bars=3), plan())
    service = row(account, "retail")
    assert sold(account) == {0: 1, 1: 1, 2: 1}
    assert service.lost_by_day[:6] == (0, 0, 1, 1, 2, 0)
    assert (service.served, service.lost, service.loss) == (3, 4, 4000)


def test_what_is_lost_is_never_made_up() -> None:
    # one a day from day 6 on, new bars from day 8 on: days 6 and 7 are lost
    account = replay(shop(retail(7, 6)), plan(batch()))
    assert row(account, "retail").lost_by_day[6:10] == (1, 1, 0, 0)
    assert sold(account) == {day: 1 for day in range(8, 18)}


def test_rows_share_a_days_bars_by_importance_then_by_table() -> None:
    # 7 a week each, 2 bars a day left over from 4 bars in two days
    rows = (
        retail(7, 0, 1, id="low", weight=1),
        retail(7, 0, 1, id="a", weight=5),
        retail(7, 0, 1, id="b", weight=5),
    )
    account = replay(shop(*rows, bars=3), plan())
    assert (sold(account, "a"), sold(account, "b"), sold(account, "low")) == (
        {0: 1},
        {0: 1},
        {0: 1},
    )
    account = replay(shop(*rows, bars=5), plan())
    assert (sold(account, "a"), sold(account, "b"), sold(account, "low")) == (
        {0: 1, 1: 1},
        {0: 1, 1: 1},
        {0: 1},
    )


def test_orders_come_before_retail_on_the_same_day() -> None:
    account = replay(shop(retail(7, 2, 2), order(3, 2), bars=3), plan(promises={"order": 2}))
    assert account.certified
    assert (sold(account, "order"), sold(account)) == ({2: 3}, {})


def test_bars_are_held_back_for_a_kept_order() -> None:
    # 6 bars, one asked for each day, an order of 4 on day 3: 2 may be sold before it
    account = replay(shop(retail(7, 0, 5), order(4, 3), bars=6), plan(promises={"order": 3}))
    assert account.certified
    assert (sold(account, "order"), sold(account)) == ({3: 4}, {0: 1, 1: 1})


def test_nothing_is_held_back_for_an_order_that_is_not_promised() -> None:
    account = replay(shop(retail(7, 0, 5), order(7, 3), bars=6), plan())
    assert sold(account) == {day: 1 for day in range(6)}


def test_only_what_the_plan_does_not_pack_until_then_is_held_back() -> None:
    # 10 bars are packed on day 7 for an order of 12 on day 8: 2 of the 4 in stock are held
    account = replay(
        shop(retail(7, 0, 9), order(12, 8), bars=4), plan(batch(), promises={"order": 8})
    )
    assert account.certified
    assert sold(account) == {0: 1, 1: 1}
    # for day 7 the bars packed on day 7 come too late
    account = replay(
        shop(retail(7, 0, 9), order(4, 7), bars=4), plan(batch(), promises={"order": 7})
    )
    assert account.certified
    assert sold(account) == {8: 1, 9: 1}


def test_what_several_promises_need_is_added_up() -> None:
    # 9 bars; orders of 3 on day 2 and 4 on day 4: 7 are held, 2 can be sold
    rows = (retail(14, 0, 9), order(3, 2, "first"), order(4, 4, "second"))
    account = replay(shop(*rows, bars=9), plan(promises={"first": 2, "second": 4}))
    assert account.certified
    assert sold(account) == {0: 2}


def test_a_launch_holds_its_stock_but_takes_none() -> None:
    # sold since the first launch on day 0; a second one of 5 bars on day 4 wants 5 to be there
    rows = (retail(7, 0), launch(1, 0, "first"), launch(5, 4, "second"))
    account = replay(shop(*rows, bars=7), plan(promises={"first": 0, "second": 4}))
    assert account.certified
    assert sold(account) == {0: 1, 1: 1, 4: 1, 5: 1, 6: 1, 7: 1, 8: 1}
    # an order of 3 on day 3 and the launch of 5 on day 4 need 8 together, one on each side of it
    account = replay(
        shop(*rows, order(3, 3), bars=9), plan(promises={"first": 0, "second": 4, "order": 3})
    )
    assert account.certified
    assert sold(account)[0] == 1
    assert 1 not in sold(account)
    assert sold(account)[4] == 1


def test_no_retail_before_the_launch_and_from_its_day_on() -> None:
    rows = (retail(7, 0, 9), launch(5, 8))
    account = replay(shop(*rows), plan(batch(), promises={"spring": 8}))
    assert account.certified
    assert sold(account) == {8: 1, 9: 1}
    assert row(account, "retail").lost == 8


def test_a_launch_that_slips_takes_the_sales_before_it_along() -> None:
    # due on day 3, possible on day 8: late by 5 days at 100 % of 50.00, and 5 bars more are lost
    rows = (retail(7, 3, 9), launch(5, 3))
    account = replay(shop(*rows), plan(batch(), promises={"spring": 8}))
    assert (row(account, "retail").lost, row(account, "spring bar").loss) == (5, 5 * 5_000_000)


def test_without_its_launch_a_product_is_not_sold() -> None:
    account = replay(shop(retail(7, 0, 9), launch(5, 8), order(2, 0), bars=4), plan())
    assert sold(account) == {}
    assert row(account, "spring bar").met is None
    # orders may leave before the launch
    account = replay(
        shop(launch(5, 8), order(2, 0), bars=2), plan(batch(), promises={"order": 0, "spring": 8})
    )
    assert account.certified


def test_bars_leave_by_use_by_date() -> None:
    workshop = shop(retail(14, 0, 0), bars=5)
    soon = Lot(item="bar", lot="soon", amount=1, use_by=4)
    account = replay(workshop.changed(lots=(*workshop.lots, soon)), plan())
    assert [(p.lot, p.amount) for p in account.pegs] == [("bar-0", 1), ("soon", 1)]


def test_bars_carry_a_date_from_their_pour_day_on() -> None:
    # poured on day 0, keep 12 days; from day 8 to 12 five are sold, five are waste on day 13
    workshop = shop(retail(7, 0))
    workshop = workshop.changed(products={"bar": replace(BAR, shelf_life_days=12)})
    account = replay(workshop, plan(batch()))
    assert list(sold(account)) == [8, 9, 10, 11, 12]
    assert [(w.day, w.item, w.amount) for w in account.waste] == [(13, "bar", 5)]


def test_bars_that_expire_before_a_promise_are_not_held_for_it() -> None:
    # 4 bars keep to day 3; the order of 10 on day 8 is met by the batch: all 4 can be sold
    workshop = shop(retail(7, 0, 9), order(10, 8), bars=4, use_by=3)
    account = replay(workshop, plan(batch(), promises={"order": 8}))
    assert account.certified
    assert sold(account) == {day: 1 for day in range(4)}


def test_bars_that_would_expire_in_between_do_not_count_as_coming() -> None:
    # Packed on day 7, but dated day 8: no use to the order of 4 on day 9. So all 4 in stock are
    # held, though 10 bars are packed before it; on day 8 one of the new ones is sold.
    workshop = shop(retail(7, 0, 8), order(4, 9), bars=4)
    workshop = workshop.changed(products={"bar": replace(BAR, shelf_life_days=8)})
    account = replay(workshop, plan(batch(), promises={"order": 9}))
    assert account.certified
    assert (sold(account), sold(account, "order")) == ({8: 1}, {9: 4})


def test_bars_in_quarantine_leave_from_their_release_on() -> None:
    workshop = shop(retail(7, 0, 5))
    waiting = Lot(item="bar", lot="q", amount=9, usable=4)
    account = replay(workshop.changed(lots=(waiting,)), plan())
    assert sold(account) == {4: 1, 5: 1}


def test_a_restock_level_counts_bars_left_after_the_days_sales() -> None:
    # 5 bars, one sold a day from day 0 on; a level of 4 from day 1 to day 4
    account = replay(shop(retail(7, 0, 4), level(4, 1, 4), bars=5), plan())
    service = row(account, "level")
    assert service.lost_by_day[:6] == (0, 1, 2, 3, 4, 0)
    assert (service.lost, service.loss) == (10, 100)


def test_bars_packed_on_a_day_do_not_count_for_its_level() -> None:
    # packed on day 7: from day 8 on the level is there
    account = replay(shop(level(10, 7)), plan(batch()))
    assert row(account, "level").lost_by_day[6:9] == (0, 10, 0)


def test_retail_is_not_held_back_for_a_level() -> None:
    account = replay(shop(retail(7, 0, 2), level(3, 0), bars=3), plan())
    assert sold(account) == {0: 1, 1: 1, 2: 1}


@pytest.mark.parametrize("seed", range(6))
def test_every_kept_promise_is_served_and_sales_add_up(seed: int) -> None:
    workshop = random_workshop(seed, days=60)
    account = replay(workshop, random_plan(seed, workshop))
    for service in account.service:
        served = sum(sold(account, service.demand).values())
        if service.kind is DemandKind.RETAIL:
            assert (served, service.lost) == (service.served, sum(service.lost_by_day))
            assert served + service.lost == _asked(workshop, service.demand)
        elif service.kind is DemandKind.ORDER:
            assert served == service.served == (service.quantity if service.met is not None else 0)


def _asked(workshop: Workshop, name: str) -> int:
    demand = next(each for each in workshop.demand if each.id == name)
    last = workshop.days - 1 if demand.last_day is None else demand.last_day
    days = range(max(0, demand.day), min(last, workshop.days - 1) + 1)
    return sum(asked_on(demand, day) for day in days)
