"""Promises: which can be kept, which could be kept earlier, and their settled form."""

from dataclasses import replace

import pytest

from planner.account import Rule
from planner.plan import Plan, Promise
from planner.replay import earliest_promises, replay
from planner.workshop import Lot, Workshop
from tests.replay.plans import batch, broken, plan, rules
from tests.replay.random_plans import random_plan, wild_plan
from tests.replay.rows import BAR, launch, order, retail, shop
from tests.workshops import random_workshop


def settled(workshop: Workshop, wanted: Plan) -> dict[str, int]:
    """The promises that the plan's bars allow."""
    return {promise.demand: promise.day for promise in earliest_promises(workshop, wanted)}


def test_an_order_leaves_whole_on_the_day_after_its_bars_are_packed() -> None:
    # packed on day 7, so they can leave on day 8; due on day 8 is in time
    workshop = shop(order(10, 8))
    account = replay(workshop, plan(batch(), promises={"order": 8}))
    assert account.certified
    (service,) = account.service
    assert (service.met, service.served, service.late_days, service.lost, service.loss) == (
        8,
        10,
        0,
        0,
        0,
    )
    (peg,) = (peg for peg in account.pegs if peg.item == "bar")
    assert (peg.day, peg.lot, peg.use, peg.amount) == (8, "bar 2026-08-31", "order", 10)


def test_a_promise_that_cannot_be_kept() -> None:
    due_early = shop(order(10, 7))
    assert broken(due_early, plan(batch(), promises={"order": 7})) == [(7, Rule.PROMISE, "order")]
    too_many = shop(order(11, 8))
    account = replay(too_many, plan(batch(), promises={"order": 8}))
    assert "1 of 11 bars of bar are missing" in account.broken[0].message
    assert (account.service[0].met, account.flows["bar"].used[8]) == (None, 0)


def test_each_day_after_the_day_asked_for_is_late() -> None:
    # due on day 5, first possible on day 8: 3 days late at 2 % of 100.00 each
    account = replay(shop(order(10, 5)), plan(batch(), promises={"order": 8}))
    assert account.certified
    assert (account.service[0].late_days, account.service[0].loss) == (3, 3 * 200_000)


def test_an_overdue_order_is_late_from_its_own_day() -> None:
    # due on day -4 and promised for day 0 from stock: 4 days late
    workshop = shop(order(10, -4), bars=10)
    account = replay(workshop, plan(promises={"order": 0}))
    assert account.certified
    assert account.service[0].late_days == 4
    assert rules(workshop, plan(promises={"order": -1})) == [Rule.PROMISE]


def test_an_order_without_promise_is_late_to_the_end_and_loses_its_value() -> None:
    # due on day 8 of 30: 22 days at 2 % of 100.00, and 100.00
    (service,) = replay(shop(order(10, 8)), plan(batch())).service
    assert (service.met, service.served, service.lost, service.late_days) == (None, 0, 10, 22)
    assert service.loss == 22 * 200_000 + 10_000_000


def test_a_promise_before_its_day_is_refused() -> None:
    workshop = shop(order(10, 8), bars=10)
    assert rules(workshop, plan(promises={"order": 7})) == [Rule.PROMISE]
    assert not rules(workshop, plan(promises={"order": 8}))


@pytest.mark.parametrize("day", [30, -1, 10**9, -(10**9)])
def test_a_promise_outside_the_plan_is_refused(day: int) -> None:
    assert rules(shop(order(10, 0), bars=10), plan(promises={"order": day})) == [Rule.PROMISE]


def test_a_promise_that_could_be_kept_earlier_is_refused() -> None:
    workshop = shop(order(10, 5))
    account = replay(workshop, plan(batch(), promises={"order": 9}))
    assert [(b.day, b.rule) for b in account.broken] == [(9, Rule.PROMISE)]
    assert "Tue 8 Sep" in account.broken[0].message


def test_an_order_that_the_bars_allow_is_promised_though_the_shop_would_pay_more() -> None:
    """Ten bars for an order that weighs nothing, or for ten days of the shop from day 8 on."""
    cheap = replace(order(10, 8), weight=0, unmet=0)
    workshop = shop(cheap, retail(7, 8, last_day=17))
    refused = replay(workshop, plan(batch()))
    assert [(b.day, b.rule, b.subject) for b in refused.broken] == [(8, Rule.PROMISE, "order")]
    assert refused.money.service == 0
    kept = replay(workshop, plan(batch(), promises={"order": 8}))
    assert kept.certified
    assert kept.money.service == 10 * 1000  # ten bars not sold


def test_a_launch_that_the_bars_allow_is_promised() -> None:
    workshop = shop(launch(10, 5))
    assert broken(workshop, plan(batch())) == [(8, Rule.PROMISE, "spring")]
    assert not rules(workshop, plan(batch(), promises={"spring": 8}))


def test_what_the_bars_do_not_allow_beside_the_other_promises_needs_no_promise() -> None:
    workshop = shop(order(10, 5, "first"), order(1, 5, "second"), order(11, 5, "third"))
    assert not rules(workshop, plan(batch(), promises={"first": 8}))
    assert rules(workshop, plan(batch(), promises={"second": 8})) == []


def test_an_earlier_day_must_leave_the_other_promises_whole() -> None:
    # 10 bars on day 8 and 10 on day 9; both orders are due on day 5: one of them has to wait
    workshop = shop(order(10, 5, "first"), order(10, 5, "second"))
    both = (batch(), batch(1, 2, 8))
    assert not rules(workshop, plan(*both, promises={"first": 8, "second": 9}))
    assert not rules(workshop, plan(*both, promises={"first": 9, "second": 8}))
    assert rules(workshop, plan(*both, promises={"first": 8, "second": 10})) == [Rule.PROMISE]


def test_promises_of_no_order_and_of_retail_and_twice() -> None:
    workshop = shop(order(10, 0), retail(7, 14), launch(1, 0), bars=10)
    kept = (Promise(demand="order", day=0), Promise(demand="spring", day=8))
    for odd, rule in (
        (Promise(demand="nothing", day=3), Rule.UNKNOWN),
        (Promise(demand="retail", day=14), Rule.PROMISE),
        (Promise(demand="spring bar", day=8), Rule.PROMISE),  # a row's name, not the launch's
        (Promise(demand="order", day=0), Rule.PROMISE),
    ):
        found = rules(workshop, Plan(batches=(batch(),), promises=(*kept, odd)))
        assert found == [rule], odd


def test_a_launch_needs_its_stock_and_takes_none() -> None:
    workshop = shop(launch(10, 8))
    account = replay(workshop, plan(batch(), promises={"spring": 8}))
    assert account.certified
    assert account.flows["bar"].on_hand[8] == 10
    assert (account.service[0].met, account.service[0].served) == (8, 10)
    assert rules(shop(launch(11, 8)), plan(batch(), promises={"spring": 8})) == [Rule.PROMISE]


def test_a_launch_is_judged_after_the_days_orders() -> None:
    workshop = shop(order(4, 8), launch(10, 8))
    promises = {"order": 8, "spring": 8}
    assert rules(workshop, plan(batch(), promises=promises)) == [Rule.PROMISE]
    enough = shop(order(4, 8), launch(6, 8))
    assert not rules(enough, plan(batch(), promises=promises))


def test_a_launch_waits_for_all_its_rows() -> None:
    # the second product has 5 bars in stock, the first is packed on day 7
    workshop = shop(launch(10, 3), launch(5, 3, product="cube"))
    workshop = workshop.changed(
        products={"bar": BAR, "cube": replace(BAR, id="cube")},
        lots=(*workshop.lots, Lot(item="cube", lot="cube-0", amount=5)),
    )
    account = replay(workshop, plan(batch(), promises={"spring": 8}))
    assert account.certified
    assert [row.late_days for row in account.service] == [5, 5]
    assert rules(workshop, plan(batch(), promises={"spring": 7})) == [Rule.PROMISE]
    assert settled(workshop, plan(batch(), promises={"spring": 20})) == {"spring": 8}


def test_a_launch_is_not_promised_before_its_last_rows_day() -> None:
    workshop = shop(launch(1, 3), replace(launch(1, 5), id="later"), bars=1)
    assert rules(workshop, plan(promises={"spring": 4})) == [Rule.PROMISE]
    account = replay(workshop, plan(promises={"spring": 5}))
    assert account.certified
    assert [row.late_days for row in account.service] == [2, 0]  # each from its own day


def test_bars_that_expire_are_no_use_to_a_later_promise() -> None:
    # 10 bars in stock keep to day 8
    rows = order(10, 8), order(10, 9)
    assert not rules(shop(rows[0], bars=10, use_by=8), plan(promises={"order": 8}))
    assert rules(shop(rows[1], bars=10, use_by=8), plan(promises={"order": 9})) == [Rule.PROMISE]


def test_an_earlier_day_may_be_possible_though_the_day_before_is_not() -> None:
    # stock that keeps to day 6, new bars from day 8: an order due on day 5 could leave on 5 or 6,
    # not on day 7, and on day 8 again
    workshop = shop(order(10, 5), bars=10, use_by=6)
    found = replay(workshop, plan(batch(), promises={"order": 8})).broken
    assert [b.rule for b in found] == [Rule.PROMISE]
    assert "Sat 5 Sep" in found[0].message


def test_settling_moves_every_promise_to_its_earliest_day() -> None:
    workshop = shop(order(10, 5, "first"), order(10, 5, "second"))
    both = (batch(), batch(1, 2, 8))
    wanted = plan(*both, promises={"second": 20, "first": 25})
    # in the plan's order: the second takes the bars of day 8, the first those of day 9
    assert settled(workshop, wanted) == {"second": 8, "first": 9}


def test_settling_gives_an_order_without_promise_what_is_left() -> None:
    workshop = shop(order(10, 5, "first"), order(10, 5, "second"), order(1, 5, "third"))
    wanted = plan(batch(), batch(1, 2, 8), promises={"second": 8})
    assert settled(workshop, wanted) == {"second": 8, "first": 9}


def test_settling_delays_nobody_for_a_promise_that_cannot_be_kept() -> None:
    # both for day 8, but there are only 10 bars then
    workshop = shop(order(10, 5, "first"), order(10, 5, "second"))
    wanted = plan(batch(), batch(1, 2, 8), promises={"first": 8, "second": 8})
    assert settled(workshop, wanted) == {"first": 8, "second": 9}
    assert settled(workshop, plan(batch(), promises={"first": 8, "second": 8})) == {"first": 8}


def test_settling_ignores_names_that_do_not_exist() -> None:
    assert settled(shop(order(1, 0), bars=1), plan(promises={"nothing": 3})) == {"order": 0}


def test_an_order_moves_past_a_launch_only_if_the_launch_keeps_its_stock() -> None:
    # 10 bars on day 8 for the launch; the order due on day 5 may have them the day after
    workshop = shop(order(10, 5), launch(10, 8))
    assert settled(workshop, plan(batch(), promises={"spring": 8, "order": 15})) == {
        "spring": 8,
        "order": 9,
    }


@pytest.mark.parametrize("seed", range(8))
def test_settled_promises_pass_and_settling_twice_changes_nothing(seed: int) -> None:
    workshop = random_workshop(seed, days=60)
    wanted = random_plan(seed, workshop)  # its promises are settled
    assert Rule.PROMISE not in rules(workshop, wanted)
    assert earliest_promises(workshop, wanted) == wanted.promises


@pytest.mark.parametrize("seed", range(8))
def test_any_plan_can_be_settled(seed: int) -> None:
    workshop = random_workshop(seed, days=60)
    wanted = wild_plan(seed, workshop)
    promises = earliest_promises(workshop, wanted)
    assert Rule.PROMISE not in rules(workshop, replace(wanted, promises=promises))
