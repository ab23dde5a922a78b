"""Ordering: days, packs, price steps, freight, minimum orders and the month's budget."""

from dataclasses import replace

import pytest

from planner.account import PurchaseFacts, Rule
from planner.plan import Plan, Purchase, PurchaseLine
from planner.replay import replay
from planner.workshop import Budget, Material, PriceStep, Supplier, Unit, Workshop
from tests.replay.plans import SHOP_OFFER, batch, broken, buying, rules
from tests.workshops import tiny

OFFER = tiny().offers[SHOP_OFFER]


def with_offer(**changes: object) -> Workshop:
    """The tiny workshop with its one offer changed."""
    return tiny(offers={SHOP_OFFER: replace(OFFER, **changes)})  # type: ignore[arg-type]


def with_supplier(**changes: object) -> Workshop:
    """The tiny workshop with its one supplier changed."""
    return tiny(suppliers={"shop": replace(Supplier(id="shop"), **changes)})  # type: ignore[arg-type]


def the_order(workshop: Workshop, plan: Plan) -> PurchaseFacts:
    """The one order of a plan."""
    (order,) = replay(workshop, plan).purchases
    return order


def test_an_order_brings_its_packs_on_the_days_of_the_offer() -> None:
    # ordered on Monday, day 0: there on day 1, released on day 2
    account = replay(tiny(), buying(packs=3))
    assert account.certified
    (line,) = account.purchases[0].lines
    assert (line.amount, line.cost, line.arrive, line.usable) == (3_000_000, 3000, 1, 2)
    assert account.flows["base"].arrived[2] == 3_000_000


def test_an_order_on_another_day_is_left_out() -> None:
    # Saturday, day 5, is no order day; on Friday, day 25, the goods come on Monday, the 28th
    account = replay(tiny(), buying(order=5))
    assert [(b.day, b.rule) for b in account.broken] == [(5, Rule.ORDER_DAY)]
    assert account.purchases == ()
    assert not rules(tiny(), buying(order=25))
    assert rules(tiny(), buying(order=28)) == [Rule.ORDER_DAY]  # not usable within the plan


@pytest.mark.parametrize("order", [-1, 30, 10**9, -(10**9)])
def test_an_order_outside_the_plan(order: int) -> None:
    assert rules(tiny(), buying(order=order)) == [Rule.ORDER_DAY]


@pytest.mark.parametrize(
    ("packs", "expected"), [(1, [Rule.PACKS]), (2, []), (4, []), (5, [Rule.PACKS])]
)
def test_packs_in_an_order_line(packs: int, expected: list[Rule]) -> None:
    assert rules(with_offer(min_packs=2, max_packs=4), buying(packs=packs)) == expected


@pytest.mark.parametrize("packs", [0, -3])
def test_no_packs_are_no_order(packs: int) -> None:
    account = replay(tiny(), buying(packs=packs))
    assert [b.rule for b in account.broken] == [Rule.PACKS]
    assert account.purchases == ()


def test_lines_of_one_offer_and_day_are_one_line() -> None:
    # twice 2 packs where at most 3 may be ordered; written as two purchases, it is one order
    line = PurchaseLine(offer=SHOP_OFFER, packs=2)
    half = Purchase(order=0, supplier="shop", lines=(line,))
    for plan in (
        Plan(purchases=(half, half)),
        Plan(purchases=(replace(half, lines=(line, line)),)),
    ):
        assert rules(with_offer(max_packs=3), plan) == [Rule.PACKS]
        order = the_order(with_supplier(freight=500), plan)
        assert (order.lines[0].packs, order.freight) == (4, 500)


@pytest.mark.parametrize(("packs", "cost"), [(1, 1000), (2, 2000), (3, 2700), (6, 4800)])
def test_all_packs_cost_what_the_highest_step_says(packs: int, cost: int) -> None:
    # 10.00 each, from 3 packs on 9.00, from 5 packs on 8.00
    steps = (
        PriceStep(packs=1, price=1000),
        PriceStep(packs=3, price=900),
        PriceStep(packs=5, price=800),
    )
    assert the_order(with_offer(steps=steps), buying(packs=packs)).cost == cost


def test_freight_is_free_from_a_value_of_goods_on() -> None:
    workshop = with_supplier(freight=700, free_freight_from=2000)
    order = the_order(workshop, buying(packs=1))
    assert (order.freight, order.cost) == (700, 1700)
    assert the_order(workshop, buying(packs=2)).freight == 0  # 20.00 exactly
    assert the_order(with_supplier(freight=700), buying(packs=9)).freight == 700  # never free
    always = with_supplier(freight=700, free_freight_from=0)
    assert the_order(always, buying(packs=1)).freight == 0


def test_freight_is_paid_once_for_all_lines_of_a_day() -> None:
    other = replace(OFFER, id="shop/lid", material="lid", amount=1)
    lid = Material(id="lid", kind="packaging", unit=Unit.PIECE)
    workshop = with_supplier(freight=700, free_freight_from=2000).changed(
        offers={OFFER.id: OFFER, other.id: other},
        materials={**tiny().materials, "lid": lid},
    )
    lines = tuple(PurchaseLine(offer=name, packs=1) for name in (OFFER.id, other.id))
    order = the_order(workshop, Plan(purchases=(Purchase(order=0, supplier="shop", lines=lines),)))
    assert (len(order.lines), order.cost, order.freight) == (2, 2000, 0)


def test_minimum_order_counts_goods_without_freight() -> None:
    workshop = with_supplier(freight=700, minimum_order=2000)
    assert not rules(workshop, buying(packs=2))
    assert broken(workshop, buying(packs=1)) == [(0, Rule.MINIMUM_ORDER, "shop")]


def test_budget_of_a_month_counts_goods_and_freight_by_pay_day() -> None:
    # ordered on day 2, paid 10 days later: 2 packs and freight are 27.00
    workshop = with_supplier(freight=700, pay_days=10)
    for first, last, amount, expected in (
        (12, 20, 2700, []),
        (12, 20, 2699, [(12, Rule.BUDGET, "2026-09")]),
        (0, 12, 2699, [(0, Rule.BUDGET, "2026-09")]),
        (0, 11, 0, []),
        (13, 40, 0, []),
        (-10, 20, 2699, [(0, Rule.BUDGET, "2026-09")]),
    ):
        budget = Budget(month="2026-09", first=first, last=last, amount=amount)
        found = broken(workshop.changed(budgets=(budget,)), buying(packs=2, order=2))
        assert found == expected
    assert the_order(workshop, buying(order=2)).pay == 12


def test_budget_adds_up_the_orders_of_the_month() -> None:
    budget = Budget(month="2026-09", first=0, last=29, amount=2000)
    line = (PurchaseLine(offer=SHOP_OFFER, packs=1),)
    orders = tuple(Purchase(order=day, supplier="shop", lines=line) for day in (0, 1, 2))
    assert rules(tiny(budgets=(budget,)), Plan(purchases=orders)) == [Rule.BUDGET]
    assert not rules(tiny(budgets=(budget,)), Plan(purchases=orders[:2]))


def test_unknown_suppliers_and_offers() -> None:
    assert broken(tiny(), buying(supplier="nobody")) == [(0, Rule.UNKNOWN, "nobody")]
    assert broken(tiny(), buying(offer="nothing")) == [(0, Rule.UNKNOWN, "nothing")]


def test_an_offer_of_another_supplier() -> None:
    workshop = tiny(suppliers={"shop": Supplier(id="shop"), "mill": Supplier(id="mill")})
    assert broken(workshop, buying(supplier="mill")) == [(0, Rule.UNKNOWN, SHOP_OFFER)]


def test_goods_keep_from_their_arrival_on() -> None:
    # there on day 1, keeps 3 days: to be used up to day 4, waste on day 5
    workshop = with_offer(shelf_life_days=3).changed(lots=())
    wanted = replace(buying(), batches=(batch(4, 7, 14),))
    assert not rules(workshop, wanted)
    late = replace(buying(), batches=(batch(7, 8, 14),))
    account = replay(workshop, late)
    assert [(b.day, b.rule) for b in account.broken] == [(7, Rule.STOCK)]
    assert [(w.day, w.item, w.amount, w.value) for w in account.waste] == [
        (5, "base", 1_000_000, 1000)
    ]
