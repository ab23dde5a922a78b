"""Purchases for given batches, judged by the replay and by all that could be bought."""

from dataclasses import replace
from random import Random

import pytest

from planner.account import Account
from planner.draft.buying import Buyer, purchases_for
from planner.draft.draft import draft
from planner.draft.offers import last_use, possible_deliveries
from planner.plan import Plan, Purchase, PurchaseLine
from planner.replay import replay
from planner.workshop import Budget, DemandKind, Lot, Material, Offer, Supplier, Unit, Workshop
from tests.draft.pieces import CALENDAR, offer, poured, selling, serves, span
from tests.workshop_parts import demand_row
from tests.workshops import random_workshop, tiny

KILO = 1_000_000


def bought(workshop: Workshop, *pours: int) -> list[tuple[int, dict[str, int]]]:
    """Order days and packs; the replay must find nothing wrong with them."""
    purchases = purchases_for(workshop, poured(*pours), ())
    assert purchases is not None
    assert not replayed(workshop, purchases, *pours).broken
    return [
        (purchase.order, {line.offer: line.packs for line in purchase.lines})
        for purchase in purchases
    ]


def replayed(workshop: Workshop, purchases: tuple[Purchase, ...], *pours: int) -> Account:
    return replay(workshop, Plan(batches=tuple(poured(*pours)), purchases=purchases))


def test_an_order_goes_out_on_the_latest_day_that_is_early_enough() -> None:
    # poured on Thursday 10: ordered on Tuesday 8, there on Wednesday, usable on Thursday
    assert bought(selling(offer("kilo", KILO, 1000)), 10) == [(8, {"kilo": 1})]


def test_stock_and_open_orders_are_used_first() -> None:
    workshop = selling(
        offer("kilo", KILO, 1000), lots=(Lot(item="base", lot="a", amount=KILO, use_by=12),)
    )
    assert bought(workshop, 10) == []
    assert bought(workshop, 14) == [(10, {"kilo": 1})]


def test_freight_makes_one_order_of_several_and_capital_makes_it_late() -> None:
    suppliers = {"shop": Supplier(id="shop", freight=500)}
    workshop = selling(offer("kilo", KILO, 1000), suppliers=suppliers)
    # 5.00 of freight against a week's capital on 10.00, less than 0.02
    assert bought(workshop, 10, 17) == [(8, {"kilo": 2})]
    free = selling(offer("kilo", KILO, 1000))
    assert bought(free, 10, 17) == [(8, {"kilo": 1}), (15, {"kilo": 1})]


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(6))
def test_a_thorough_buyer_never_pays_more(seed: int) -> None:
    quick, thorough = bought_twice(random_workshop(seed, products=3, days=60))
    assert thorough <= quick


@pytest.mark.slow
def test_a_thorough_buyer_finds_for_how_long_to_order_from_each_supplier() -> None:
    """Ingredients from one tie up capital that labels and boxes from another do not."""
    quick, thorough = bought_twice(random_workshop(1, products=12, days=180))
    assert thorough < 0.998 * quick


def test_a_thorough_buyer_joins_an_order_to_the_one_before_it() -> None:
    """No span from the first use on covers the last two uses but not the second.

    Capital of ten days for 10.00 is 0.027, of four days 0.011, and freight between the two.
    """
    workshop = selling(
        offer("kilo", KILO, 1000), suppliers={"shop": Supplier(id="shop", freight=2)}
    )
    pours = poured(8, 18, 22)
    plain, joined = (
        purchases_for(workshop, pours, (), thorough=thorough) for thorough in (False, True)
    )
    assert plain is not None
    assert joined is not None
    assert [purchase.order for purchase in joined] == [4, 16]
    accounts = [replayed(workshop, purchases, 8, 18, 22) for purchases in (plain, joined)]
    assert all(account.certified for account in accounts)
    assert accounts[1].money.money < accounts[0].money.money


def test_a_thorough_buyer_buys_quickly_where_a_budget_cannot_pay_for_its_orders() -> None:
    """Two kilos on day 4 and one on day 18 cost least; when that day cannot pay, all on day 4."""
    month = Budget(month="2026-09", first=17, last=19, amount=5000)
    suppliers = {"shop": Supplier(id="shop", freight=35)}
    free = selling(offer("kilo", KILO, 10_000), suppliers=suppliers)
    bound = replace(free, budgets=(month,))
    bought_for = [
        purchases_for(workshop, poured(8, 18, 22), (), thorough=True) for workshop in (free, bound)
    ]
    assert [[order.order for order in orders or ()] for orders in bought_for] == [[4, 18], [4]]


@pytest.mark.parametrize(("life", "packs"), [(None, [4]), (10, [3, 3])])
def test_a_thorough_buyer_orders_least_packs_once(life: int | None, packs: list[int]) -> None:
    """Labels come three packs at least: four once serve both uses, but not if they spoil before.

    The dear base comes twice all the same: two weeks of its capital cost more than the freight.
    """
    base = offer("kilo", KILO, 1_000_000)
    labels = offer("roll", KILO, 1000, material="labels", min_packs=3, shelf_life_days=life)
    label = Material(id="labels", kind="packaging", unit=Unit.GRAM)
    plain = selling(base, labels, suppliers={"shop": Supplier(id="shop", freight=500)})
    workshop = replace(plain, materials={**plain.materials, "labels": label})
    uses = {"base": {8: KILO, 22: KILO}, "labels": {8: 2 * KILO, 22: 2 * KILO}}
    orders = Buyer(workshop, thorough=True).cheapest(uses)
    assert orders is not None
    lines = [{line.offer: line.packs for line in order.lines} for order in orders.purchases()]
    assert [line["kilo"] for line in lines] == [1, 1]
    assert [line["roll"] for line in lines if "roll" in line] == packs


def bought_twice(workshop: Workshop) -> tuple[int, int]:
    """What the draft's batches cost when bought for quickly, and thoroughly."""
    plan = draft(workshop)
    money = []
    for thorough in (False, True):
        purchases = purchases_for(workshop, plan.batches, plan.preparations, thorough=thorough)
        assert purchases is not None
        account = replay(workshop, replace(plan, purchases=purchases))
        assert account.certified
        money.append(account.money.money)
    return money[0], money[1]


def test_free_freight_is_reached_where_that_is_cheaper_than_paying_it() -> None:
    def ordered(free_from: int) -> list[tuple[int, dict[str, int]]]:
        suppliers = {"shop": Supplier(id="shop", freight=500, free_freight_from=free_from)}
        return bought(selling(offer("kilo", KILO, 1000), suppliers=suppliers), 10)

    assert ordered(2000) == [(8, {"kilo": 2})]
    # 3.2 kg are worth having: of four 0.8 are worth nothing, and cost more than 5.00
    assert ordered(4000) == [(8, {"kilo": 1})]


def test_a_minimum_order_is_reached() -> None:
    suppliers = {"shop": Supplier(id="shop", minimum_order=2500)}
    assert bought(selling(offer("kilo", KILO, 1000), suppliers=suppliers), 10) == [(8, {"kilo": 3})]


def test_a_minimum_order_that_cannot_be_reached_is_no_way_to_buy() -> None:
    suppliers = {"shop": Supplier(id="shop", minimum_order=2500)}
    workshop = selling(offer("kilo", KILO, 1000, max_packs=2), suppliers=suppliers)
    assert purchases_for(workshop, poured(10), ()) is None


def test_a_price_step_and_least_packs() -> None:
    boxes = offer("half", KILO // 2, [(2, 600), (4, 250)], min_packs=2)
    assert bought(selling(boxes), 10) == [(8, {"half": 4})]


def test_packs_beyond_the_most_of_one_day_are_ordered_the_day_before() -> None:
    few = offer("half", KILO // 2, 500, max_packs=1)
    assert bought(selling(few), 10) == [(7, {"half": 1}), (8, {"half": 1})]


def test_nothing_can_be_bought_before_the_first_delivery() -> None:
    assert purchases_for(selling(offer("kilo", KILO, 1000)), poured(1), ()) is None
    assert bought(selling(offer("kilo", KILO, 1000)), 2) == [(0, {"kilo": 1})]


def test_what_expires_is_not_bought_ahead() -> None:
    # ordered on day d it is usable until d + 1 + 4: one order cannot serve both pours
    brief = offer("kilo", KILO, 1000, shelf_life_days=4)
    suppliers = {"shop": Supplier(id="shop", freight=5000)}
    assert bought(selling(brief, suppliers=suppliers), 10, 17) == [
        (8, {"kilo": 1}),
        (15, {"kilo": 1}),
    ]


def test_an_early_order_leaves_the_stock_to_a_use_that_no_order_can_reach() -> None:
    """Both pours could take the stock; only the first can be served from what is bought."""
    brief = offer("kilo", KILO, 1000, CALENDAR.deliveries(1, (0,))[:1], shelf_life_days=9)
    workshop = selling(brief, lots=(Lot(item="base", lot="a", amount=KILO),))
    assert bought(workshop, 10, 17) == [(0, {"kilo": 1})]


def test_the_dear_quick_source_only_bridges_the_wait_for_the_cheap_slow_one() -> None:
    suppliers = {"shop": Supplier(id="shop"), "maker": Supplier(id="maker", freight=100)}
    slow = offer(
        "drum", 10 * KILO, 3000, CALENDAR.deliveries(14, (0,)), supplier="maker", lead_days=14
    )
    bar = tiny().products["bar"]
    asked = (demand_row(bar, DemandKind.RETAIL, 28, 14),)
    workshop = selling(offer("kilo", KILO, 2000), slow, suppliers=suppliers, demand=asked)
    # the drum of day 0 arrives on Monday 14 and is usable on 15
    assert bought(workshop, 8, 10, 17, 21) == [(0, {"drum": 1}), (4, {"kilo": 1}), (8, {"kilo": 1})]


def test_a_budget_moves_an_order_to_a_month_that_can_pay() -> None:
    months = (
        Budget(month="2026-09", first=1, last=29, amount=1500),
        Budget(month="2026-08", first=0, last=0, amount=1000),
    )
    workshop = selling(offer("kilo", KILO, 1000), budgets=months)
    # September pays for one: the second is ordered on the last day of August
    assert bought(workshop, 10, 17) == [(0, {"kilo": 1}), (8, {"kilo": 1})]
    assert purchases_for(workshop, poured(10, 17, 18), ()) is None


def test_safety_stock_is_bought_where_it_costs_less_than_going_without() -> None:
    materials = {
        "base": Material(id="base", kind="ingredient", unit=Unit.GRAM, safety_stock=KILO // 2)
    }
    workshop = selling(offer("half", KILO // 2, 500), materials=materials)
    # a day below costs a thousandth of its value, a day of capital 0.1 / 365 of it
    assert bought(workshop, 10) == [(8, {"half": 3})]


def oddly_sold(draw: Random) -> Workshop:
    """Base from several offers with limits, seasons and short lives, and a few old lots."""
    offers: list[Offer] = []
    for number in range(draw.randrange(1, 4)):
        deliveries = CALENDAR.deliveries(draw.choice((1, 5)), draw.choice(((0,), (1, 3))))
        first = draw.randrange(3)
        least = draw.choice((1, 1, 2))
        offers.append(
            offer(
                f"o{number}",
                draw.choice((300_000, 700_000, KILO)),
                draw.choice((300, [(1, 300), (4, 200)])),
                deliveries[first : first + draw.randrange(1, 6)],
                min_packs=least,
                max_packs=draw.choice((None, least, least + 1)),
                shelf_life_days=draw.choice((None, 2, 6, 12)),
                supplier=draw.choice(("shop", "maker")),
            )
        )
    lots = [
        Lot(
            item="base",
            lot=str(number),
            amount=draw.choice((500_000, KILO)),
            usable=draw.choice((0, 0, 9)),
            use_by=draw.choice((None, 12, 20)),
        )
        for number in range(draw.randrange(3))
    ]
    suppliers = {
        name: Supplier(id=name, freight=draw.choice((0, 400)), minimum_order=least)
        for name, least in (("shop", None), ("maker", draw.choice((None, 500, 1500))))
    }
    return selling(*offers, lots=tuple(lots), suppliers=suppliers)


def could_be_covered(workshop: Workshop, pours: list[int]) -> bool:
    """True if all that can be ordered on every day, in full, covers the pours."""
    spans = [
        span(lot.usable, 29 if lot.use_by is None else lot.use_by, lot.amount)
        for lot in workshop.lots
    ]
    for name, deliveries in possible_deliveries(workshop).items():
        one = workshop.offers[name]
        packs = 100 if one.max_packs is None else one.max_packs
        spans += [
            span(delivery.usable, last_use(one, delivery, 30), packs * one.amount)
            for delivery in deliveries
        ]
    return serves(30, spans, {day: KILO * pours.count(day) for day in pours})


@pytest.mark.slow
@pytest.mark.parametrize("thorough", [False, True])
@pytest.mark.parametrize("block", range(6))
def test_purchases_are_found_exactly_where_there_are_any(block: int, thorough: bool) -> None:
    found = 0
    for seed in range(50 * block, 50 * block + 50):
        draw = Random(seed)
        workshop = oddly_sold(draw)
        pours = sorted(draw.choices(range(0, 21), k=draw.randrange(1, 5)))
        pours = [day for day in pours if CALENDAR.works(day)]
        purchases = purchases_for(workshop, poured(*pours), (), thorough=thorough)
        assert (purchases is not None) is could_be_covered(workshop, pours)
        if purchases is not None:
            found += 1
            assert not replayed(workshop, purchases, *pours).broken
    assert 10 < found < 50


def test_lines_name_offers_in_order() -> None:
    purchases = purchases_for(selling(offer("kilo", KILO, 1000)), poured(10), ())
    assert purchases == (
        Purchase(order=8, supplier="shop", lines=(PurchaseLine(offer="kilo", packs=1),)),
    )
