"""What packs cost at least: by hand, and for every use against all that could be bought."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import product as choices
from random import Random

import numpy as np
import pytest

from planner.solver.matrix import Ints
from planner.solver.packs import (
    MOST,
    NEVER,
    Keeping,
    Step,
    bought_in_all,
    least_costs,
    order_costs,
    steps,
)
from planner.workshop import Offer, PriceStep, Supplier
from tests.workshops import tiny


def ways(offers: Sequence[tuple[int, Ints]], enough: int) -> dict[int, int]:
    amounts, costs = bought_in_all(offers, enough)
    return dict(zip(amounts.tolist(), costs.tolist(), strict=True))


def offer(*steps: tuple[int, int], **changes: int) -> Offer:
    """Packs at these prices from so many on."""
    prices = tuple(PriceStep(packs=packs, price=price) for packs, price in steps)
    return replace(tiny().offers["shop/base/1 kg"], steps=prices, **changes)  # type: ignore[arg-type]


def test_a_line_has_its_least_and_its_most_and_costs_less_from_so_many_on() -> None:
    line = offer((2, 100), (4, 80), min_packs=2, max_packs=5)
    assert order_costs(line, None, 6) == [0, NEVER, 200, 300, 320, 400, NEVER]


def test_freight_and_minimum_count_for_the_only_offer_of_a_supplier() -> None:
    """One pack is below the minimum; three reach free freight."""
    shop = Supplier(id="shop", freight=50, free_freight_from=300, minimum_order=150)
    assert order_costs(offer((1, 100)), shop, 4) == [0, NEVER, 250, 300, 400]
    assert order_costs(offer((1, 100)), None, 4) == [0, 100, 200, 300, 400]


def test_packs_are_split_into_orders_as_it_costs_least() -> None:
    """Five in one order of five; six as three and three, seven as three and four."""
    one = [0, NEVER, NEVER, 30, 44, 45, NEVER, NEVER, NEVER]
    assert least_costs(one).tolist() == [0, NEVER, NEVER, 30, 44, 45, 60, 74, 75]


def test_nothing_can_be_bought_without_offers() -> None:
    assert ways([], 9) == {0: 0}


def test_of_two_pack_sizes_the_cheaper_way_to_each_amount_counts() -> None:
    small, large = np.array([0, 3, 6]), np.array([0, 5, NEVER])
    offers = [(10, small), (20, large)]
    assert ways(offers, 40) == {0: 0, 10: 3, 20: 5, 30: 8, 40: 11}


def test_more_than_enough_counts_only_if_it_costs_less() -> None:
    """Of two is enough: three cost less than two, four more than three."""
    assert ways([(1, np.array([0, 5, 9, 6, 8]))], 2) == {0: 0, 1: 5, 2: 9, 3: 6}


def test_beyond_what_is_enough_all_is_lost_and_a_pack_costs_what_is_beyond_its_value() -> None:
    """Ten in stock, 25 are enough: of twenty bought five are lost, at 2 a piece."""
    keeping = Keeping(stock=10, enough=25, parts=1, worth=2)
    assert steps(keeping, (np.array([0, 10, 20]), np.array([0, 7, 9])), 30) == [
        Step(most=10, cost=0),
        Step(most=20, cost=7),
        Step(most=30, cost=19),
    ]


def test_what_costs_no_less_than_more_of_it_is_no_step() -> None:
    """Two packs cost less than one."""
    keeping = Keeping(stock=0, enough=99, parts=1, worth=2)
    assert steps(keeping, (np.array([0, 10, 20]), np.array([0, 7, 5])), 20) == [
        Step(most=0, cost=0),
        Step(most=20, cost=5),
    ]


def test_no_use_is_beyond_the_highest() -> None:
    keeping = Keeping(stock=3, enough=99, parts=1, worth=2)
    bought = np.array([0, 4, 8]), np.array([0, 7, 9])
    assert [step.most for step in steps(keeping, bought, 5)] == [3, 5]
    assert [step.most for step in steps(keeping, bought, 2)] == [2]


def test_nothing_covers_a_use_beyond_all_that_can_be_bought() -> None:
    keeping = Keeping(stock=3, enough=9, parts=1, worth=0)
    bought = np.array([0, 4]), np.array([0, 1])
    assert [step.most for step in steps(keeping, bought, 100)] == [3, 7]


def test_the_last_of_too_many_steps_stands_for_the_rest() -> None:
    keeping = Keeping(stock=0, enough=10 * MOST, parts=1, worth=1)
    amounts = np.arange(2 * MOST)
    assert len(steps(keeping, (amounts[:MOST], amounts[:MOST]), MOST - 1)) == MOST
    told = steps(keeping, (amounts, amounts), 2 * MOST)
    assert len(told) == MOST
    assert told[-1] == Step(most=2 * MOST - 1, cost=MOST - 1)


@pytest.mark.parametrize("seed", range(20))
def test_no_way_of_buying_costs_less_and_one_costs_as_much(seed: int) -> None:
    draw = Random(f"{seed}/packs")
    keeping = Keeping(
        stock=draw.randrange(30),
        enough=draw.randrange(60),
        parts=draw.choice((1, 5)),
        worth=draw.randrange(8),
        rounded=draw.choice((0, 3)),
    )
    offers = [(draw.randint(2, 9), _costs(draw)) for _ in range(draw.randint(1, 2))]
    highest = 60
    found = steps(keeping, bought_in_all(offers, highest - keeping.stock), highest)
    costs = {use: _least(keeping, offers, use) for use in range(highest + 1)}
    told = {use: next((s.cost for s in found if use <= s.most), None) for use in costs}
    assert told == costs
    assert [step.cost for step in found] == sorted({step.cost for step in found})


def _costs(draw: Random) -> Ints:
    """Beyond its value, what no pack, one, two ... cost; some numbers cannot be ordered."""
    some = [draw.choice((NEVER, draw.randrange(12))) for _ in range(draw.randint(1, 4))]
    return np.array([0, *some], np.int64)


def _least(keeping: Keeping, offers: Sequence[tuple[int, Ints]], use: int) -> int | None:
    """All numbers of packs tried: the least cost of those that cover a use, None if none does."""
    found: list[int] = []
    for packs in choices(*(range(len(costs)) for _, costs in offers)):
        bought = sum(n * amount for n, (amount, _) in zip(packs, offers, strict=True))
        cost = sum(int(costs[n]) for n, (_, costs) in zip(packs, offers, strict=True))
        if cost >= NEVER or keeping.stock + bought < use:
            continue
        extra = keeping.stock + bought - keeping.enough
        found.append(cost + max(0, keeping.worth * extra // keeping.parts - keeping.rounded))
    return min(found, default=None)
