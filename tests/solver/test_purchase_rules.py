"""Packs in a line, price steps, minimum orders, freight, free freight, budgets.

One or two batches of 1 kg of base are wanted for orders due late enough; nothing is in stock, and
capital costs nothing, so that the money goal is what leaves for goods and freight, less what is
left of them at its cost price.
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.plan import Plan, Purchase, PurchaseLine
from planner.solver.model import PlanModel
from planner.workshop import (
    Budget,
    Costs,
    Delivery,
    DemandKind,
    Offer,
    PriceStep,
    Supplier,
    Workshop,
)
from tests.replay.plans import batch
from tests.solver.rows import settled
from tests.solver.solving import LATE_DAY, allows, bar, every_day, least_cost, least_loss, refusals
from tests.workshop_parts import demand_row
from tests.workshops import tiny

KILO = "shop/base/1 kg"
CENT = 1000  # thousandths
FREE = Costs(capital=Fraction(0), safety=Fraction(0))
ONE = (demand_row(bar(), DemandKind.ORDER, 10, 15),)
TWO = (*ONE, demand_row(bar(), DemandKind.ORDER, 10, 17))
FOUR = (*TWO, *(replace(row, id=f"more {row.id}") for row in TWO))


def offer(**changes: object) -> Offer:
    """1 kg at 10.00, ordered on any day from 0 to 9, there the next, usable the day after."""
    days = [Delivery(order=day, arrive=day + 1, usable=day + 2) for day in range(10)]
    fields: dict[str, object] = {"deliveries": tuple(days), **changes}
    return replace(tiny().offers[KILO], **fields)  # type: ignore[arg-type]


def buying(
    *offers: Offer, supplier: dict[str, object] | None = None, **changes: object
) -> Workshop:
    shop = Supplier(id="shop", **(supplier or {}))  # type: ignore[arg-type]
    fields: dict[str, object] = {
        "costs": FREE,
        "lots": (),
        "demand": TWO,
        "offers": {one.id: one for one in offers or (offer(),)},
        "suppliers": {"shop": shop},
    }
    return every_day(**{**fields, **changes})


def poured(batches: int, *orders: tuple[int, int], offer_id: str = KILO) -> Plan:
    """Batches poured on day 8 and packed on 14, with (day, packs) of each order."""
    return Plan(
        batches=(batch(8, 9, 14),) * batches,
        purchases=tuple(
            Purchase(order=day, supplier="shop", lines=(PurchaseLine(offer=offer_id, packs=packs),))
            for day, packs in orders
        ),
    )


def packs_bought(workshop: Workshop) -> list[tuple[int, int]]:
    """(day, packs) of the lines of a plan of least cost."""
    orders = least_cost(workshop).purchases
    return [(order.order, line.packs) for order in orders for line in order.lines]


def money_of(workshop: Workshop, plan: Plan) -> int:
    """The money goal as the model counts it."""
    model = PlanModel(workshop, True)
    return model.money.value(model.values_of(settled(workshop, plan)))


# Packs in a line


def test_no_fewer_packs_than_the_least() -> None:
    """One kilo is needed, two must be bought; of the second, as much as was used counts as left."""
    workshop = buying(offer(min_packs=2, steps=(PriceStep(packs=2, price=1000),)), demand=ONE)
    assert allows(workshop, poured(1, (0, 2)))
    assert any(row.startswith("packs") for row in refusals(workshop, poured(1, (0, 1))))
    account = least_cost(workshop)
    assert account.money.purchases == 2000 * CENT
    assert account.money.money == 1000 * CENT


def test_no_more_packs_than_the_most_in_one_order() -> None:
    workshop = buying(offer(max_packs=1))
    assert refusals(workshop, poured(2, (0, 2))) == {"packs shop/base/1 kg"}
    assert allows(workshop, poured(2, (0, 1), (1, 1)))
    assert {packs for _, packs in packs_bought(workshop)} == {1}


def test_the_most_holds_where_prices_fall_too() -> None:
    """The second step begins at four packs, which one order cannot reach."""
    steps = (PriceStep(packs=1, price=1000), PriceStep(packs=4, price=500))
    workshop = buying(offer(max_packs=2, steps=steps), demand=FOUR)
    assert allows(workshop, poured(2, (0, 2)))
    assert refusals(workshop, poured(2, (0, 3))) != set()


# Price steps


@pytest.mark.parametrize(("packs", "cents"), [(1, 1000), (2, 2000), (3, 1800), (4, 2400)])
def test_all_packs_of_a_line_cost_the_highest_step_reached(packs: int, cents: int) -> None:
    """10.00 a pack, from three packs on 6.00; what is left of four batches' base is worth 6.00."""
    steps = (PriceStep(packs=1, price=1000), PriceStep(packs=3, price=600))
    workshop = buying(offer(steps=steps), demand=FOUR)
    wanted = poured(packs, (0, packs))
    assert allows(workshop, wanted)
    assert money_of(workshop, wanted) == cents * CENT


def test_a_pack_more_is_bought_where_all_are_then_cheaper() -> None:
    """Two packs at 10.00, or three at 6.00, of which one is left: 18.00 - 6.00."""
    steps = (PriceStep(packs=1, price=1000), PriceStep(packs=3, price=600))
    workshop = buying(offer(steps=steps))
    account = least_cost(workshop)
    assert account.money.purchases == 1800 * CENT
    assert account.money.money == 1200 * CENT


def test_packs_of_one_order_day_count_together_not_those_of_two() -> None:
    steps = (PriceStep(packs=1, price=1000), PriceStep(packs=3, price=600))
    workshop = buying(offer(steps=steps), demand=FOUR)
    assert money_of(workshop, poured(3, (0, 2), (1, 1))) == 3000 * CENT


# Minimum order


def test_an_order_reaches_the_minimum() -> None:
    """15.00 at least: two packs for one batch; the kilo that is left counts as left."""
    workshop = buying(supplier={"minimum_order": 1500}, demand=ONE)
    assert allows(workshop, poured(1, (0, 2)))
    assert refusals(workshop, poured(1, (0, 1))) == {"minimum order shop"}
    assert least_cost(workshop).money.money == 1000 * CENT


def test_the_minimum_holds_for_each_order() -> None:
    workshop = buying(supplier={"minimum_order": 1500}, demand=FOUR)
    assert refusals(workshop, poured(3, (0, 2), (1, 1))) == {"minimum order shop"}
    assert allows(workshop, poured(4, (0, 2), (1, 2)))


def test_freight_does_not_count_towards_the_minimum() -> None:
    workshop = buying(supplier={"minimum_order": 1500, "freight": 500}, demand=ONE)
    assert refusals(workshop, poured(1, (0, 1))) == {"minimum order shop"}


# Freight


def test_freight_is_paid_once_for_an_order() -> None:
    """Two kilos in one order: 20.00 + 5.00; in two orders 20.00 + 10.00."""
    workshop = buying(supplier={"freight": 500})
    assert money_of(workshop, poured(2, (0, 2))) == 2500 * CENT
    assert money_of(workshop, poured(2, (0, 1), (1, 1))) == 3000 * CENT
    assert least_cost(workshop).money.money == 2500 * CENT


def test_lines_of_one_supplier_and_day_share_the_freight() -> None:
    """The kilo in two halves, since neither is sold twice a day: 2 x 4.00 + 5.00."""
    halves = [
        replace(
            offer(max_packs=1, steps=(PriceStep(packs=1, price=400),)),
            id=name,
            amount=500_000,
        )
        for name in ("shop/half a", "shop/half b")
    ]
    workshop = buying(*halves, supplier={"freight": 500}, demand=ONE)
    assert least_cost(workshop).money.money == 1300 * CENT


@pytest.mark.parametrize(("least", "cents"), [(2000, 2000), (2001, 2500)])
def test_freight_is_free_from_a_value_on(least: int, cents: int) -> None:
    """Goods for exactly 20.00 are enough where 20.00 is asked for."""
    workshop = buying(supplier={"freight": 500, "free_freight_from": least})
    assert money_of(workshop, poured(2, (0, 2))) == cents * CENT


def test_a_pack_more_spares_the_freight() -> None:
    """One batch: 10.00 + 5.00 freight, or two packs without it, of which one is left: 10.00."""
    workshop = buying(supplier={"freight": 500, "free_freight_from": 2000}, demand=ONE)
    account = least_cost(workshop)
    assert account.money.freight == 0
    assert account.money.money == 1000 * CENT


# Budgets


def budget(amount: int, last: int = 4) -> tuple[Budget, ...]:
    return (Budget(month="first", first=0, last=last, amount=amount),)


def test_no_more_leaves_in_a_month_than_its_budget() -> None:
    workshop = buying(budgets=budget(1999))
    assert refusals(workshop, poured(2, (0, 1), (4, 1))) == {"budget first"}
    assert allows(workshop, poured(2, (0, 1), (5, 1)))
    assert allows(buying(budgets=budget(2000)), poured(2, (0, 2)))


def test_freight_leaves_the_budget_too() -> None:
    freight = {"freight": 500}
    assert allows(buying(budgets=budget(1500), supplier=freight), poured(1, (0, 1)))
    scarce = buying(budgets=budget(1499), supplier=freight)
    assert refusals(scarce, poured(1, (0, 1))) == {"budget first"}


def test_the_day_of_paying_counts_not_that_of_ordering() -> None:
    """Paid five days after ordering: an order of day 0 is paid on 5, after the month's last."""
    workshop = buying(budgets=budget(0), supplier={"pay_days": 5})
    assert allows(workshop, poured(1, (0, 1)))
    late = buying(budgets=budget(0, last=5), supplier={"pay_days": 5})
    assert refusals(late, poured(1, (0, 1))) == {"budget first"}


def test_a_budget_makes_bars_late() -> None:
    """Ten bars due on 2; the first order that may be paid is that of day 5: gone on 5 + 9."""
    due = demand_row(bar(), DemandKind.ORDER, 10, 2)
    assert least_loss(buying(budgets=budget(999), demand=(due,))) == 12 * LATE_DAY
    assert least_loss(buying(budgets=budget(1000), demand=(due,))) == 7 * LATE_DAY
