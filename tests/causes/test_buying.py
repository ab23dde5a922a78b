"""More of a material: in time, in enough packs, and within the budget; exactly at the edges.

One offer of 1 kg for 10.00, ordered on day 0 and usable on day 2, or ordered on day 7 and usable
on day 9.
"""

from dataclasses import replace

import pytest

from planner.account import LineFacts, PurchaseFacts
from planner.causes import Cause
from planner.causes.buying import Buying
from planner.causes.records import Block
from planner.workshop import Budget, Delivery, Offer, PriceStep, Workshop
from tests.accounts import account, line, purchase
from tests.causes.cases import KG
from tests.replay.plans import SHOP_OFFER
from tests.workshops import tiny

OFFER = replace(
    tiny().offers[SHOP_OFFER],
    deliveries=(Delivery(order=0, arrive=1, usable=2), Delivery(order=7, arrive=8, usable=9)),
)


def shop(offer: Offer = OFFER, *budgets: Budget, **supplier: object) -> Workshop:
    """A workshop with one offer; the supplier's columns may be changed."""
    seller = replace(tiny().suppliers["shop"], **supplier)  # type: ignore[arg-type]
    return tiny(offers={offer.id: offer}, budgets=budgets, suppliers={"shop": seller})


def block(workshop: Workshop, amount: int, by: int, *orders: PurchaseFacts) -> Block | None:
    """What stops `amount` more of base."""
    return Buying(workshop, account(purchases=orders)).block("base", amount, by)


def budget(amount: int, first: int = 0, last: int = 29, month: str = "2026-09") -> Budget:
    """What may leave between two days."""
    return Budget(month=month, first=first, last=last, amount=amount)


def ordered(day: int, packs: int) -> PurchaseFacts:
    """An order of the plan."""
    lines: LineFacts = replace(line(day + 2, packs * KG), packs=packs)
    return purchase(day, lines)


def test_usable_on_the_day_it_is_needed_is_in_time() -> None:
    assert block(shop(), KG, 2) is None
    late = block(shop(), KG, 1)
    assert late is not None
    assert late.cause is Cause.LEAD_TIME
    assert late.need == (
        "1,000 g of base more by Tue 1 Sep; ordered now it is usable from Wed 2 Sep on"
    )


def test_goods_must_keep_until_they_are_needed() -> None:
    # arrived on day 1, they keep 5 days: to day 6; those of day 8 are usable from day 9 on
    short = shop(replace(OFFER, shelf_life_days=5))
    assert block(short, KG, 6) is None
    assert block(short, KG, 7) is not None
    assert block(short, KG, 9) is None


def test_what_nobody_sells() -> None:
    found = Buying(tiny(offers={}), account()).block("base", KG, 20)
    assert found is not None
    assert (found.cause, Buying(tiny(offers={}), account()).soonest("base")) == (
        Cause.MATERIAL,
        None,
    )


def test_packs_that_can_still_be_ordered() -> None:
    # at most 3 packs a day, 2 of them ordered on day 0: one more, and three more on day 7
    few = shop(replace(OFFER, max_packs=3))
    assert block(few, KG, 2, ordered(0, 2)) is None
    lacking = block(few, KG + 1, 2, ordered(0, 2))
    assert lacking is not None
    assert lacking.cause is Cause.MATERIAL
    assert block(few, 4 * KG, 9, ordered(0, 2)) is None
    assert block(few, 4 * KG + 1, 9, ordered(0, 2)) is not None
    # packs beyond the limit, in a plan that breaks it, count as none left, not as fewer
    assert block(few, 3 * KG, 9, ordered(0, 5)) is None


@pytest.mark.parametrize(
    ("amount", "least"),
    [
        (KG, 1000),
        (KG + 1, 2000),  # whole packs
        (3 * KG, 2700),  # 9.00 from three packs on
        (4 * KG, 3600),
    ],
)
def test_more_costs_whole_packs_at_the_price_of_their_step(amount: int, least: int) -> None:
    stepped = replace(OFFER, steps=(PriceStep(packs=1, price=1000), PriceStep(packs=3, price=900)))
    assert block(shop(stepped, budget(least)), amount, 2) is None
    assert block(shop(stepped, budget(least - 1)), amount, 2) is not None


def test_more_costs_at_least_the_least_packs() -> None:
    pairs = replace(OFFER, min_packs=2, steps=(PriceStep(packs=2, price=1000),))
    assert block(shop(pairs, budget(2000)), KG, 2) is None
    assert block(shop(pairs, budget(1999)), KG, 2) is not None


def test_what_the_plan_spends_counts_on_its_pay_day() -> None:
    # 10.00 leave on day 0 for the plan; 10.00 more are wanted
    for month, expected in (
        (budget(2000, 0, 0), True),
        (budget(1999, 0, 0), False),
        (budget(0, 1, 29), True),  # paid before this month begins
        (budget(1999, -30, 0), False),
    ):
        assert (block(shop(OFFER, month), KG, 2, ordered(0, 1)) is None) is expected


def test_pay_days_move_what_is_spent_to_a_later_month() -> None:
    # ordered on day 0, paid on day 10
    for month, expected in (
        (budget(0, 0, 9), True),
        (budget(0, 0, 10), False),
        (budget(0, 10, 20), False),
        (budget(0, 11, 20), True),
    ):
        assert (block(shop(OFFER, month, pay_days=10), KG, 2) is None) is expected


def test_the_order_that_lacks_least_is_told() -> None:
    # paid at once: on day 0 in a month with 3.00, on day 7 in one with 6.00
    months = (budget(300, 0, 5, "first"), budget(600, 6, 29, "second"))
    found = block(shop(OFFER, *months), KG, 9)
    assert found == Block(
        Cause.BUDGET,
        "1,000 g of base more, for which the budget of second is EUR 4.00 too small",
    )


def test_the_tightest_of_several_limits_counts() -> None:
    limits = (budget(700, month="loose"), budget(400, month="tight"))
    found = block(shop(OFFER, *limits), KG, 2)
    assert found is not None
    assert "the budget of tight is EUR 6.00" in found.need


def test_freight_is_free_from_a_value_on_and_paid_once_a_day() -> None:
    freight = {"freight": 500, "free_freight_from": 2000}
    assert block(shop(OFFER, budget(1500), **freight), KG, 2) is None
    assert block(shop(OFFER, budget(1499), **freight), KG, 2) is not None
    assert block(shop(OFFER, budget(2000), **freight), 2 * KG, 2) is None  # 20.00 exactly
    # 10.00 of the plan's order that day, which pays the freight, and 10.00 more
    assert block(shop(OFFER, budget(2000), **freight), KG, 2, ordered(0, 1)) is None
