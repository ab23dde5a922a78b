"""A schedule grows as the list scheduler's does where no preparation is needed."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from planner.anneal.growing import AS_GIVEN, KEPT, SHUFFLED, SNUG, TIDY, cost_of, grow
from planner.anneal.shortages import begin, look_ahead, shortages
from planner.anneal.state import SIZE, drop, keep
from planner.draft.schedule import Pass
from tests.anneal.pieces import (
    BOTTLENECKS,
    Both,
    both,
    lasting,
    pack_day,
    scarce,
    without_preparations,
)
from tests.demo import demo_workshop
from tests.workshops import Bottleneck, tiny

DRAW: Any = np.random.default_rng


def emptied(one: Both) -> Both:
    """Nothing placed any more."""
    while one.state.counts[SIZE]:
        drop(one.facts, one.state, 0)
        keep(one.state)
    return one


def grown(one: Both, rule: int, order: int, seed: int = 0) -> list[tuple[str, int, int, int]]:
    """Product, size, pour and pack day of each batch that a pass from nothing places."""
    emptied(one)
    short = shortages(one.facts)
    begin(one.facts, short)
    for product in range(len(one.products)):
        look_ahead(one.facts, one.state, short, product)
    grow(one.facts, one.state, short, rule, order, DRAW(seed))
    rows = one.state.batches[: one.state.counts[SIZE]].tolist()
    return [
        (one.jobs[job].product.id, one.jobs[job].recipe.bars, pour, pack)
        for job, pour, pack in rows
    ]


def passed(one: Both, rule: int) -> list[tuple[str, int, int, int]]:
    schedule = Pass(one.scheduler.start).run(one.scheduler.rules[rule])
    return [
        (placed.job.product.id, placed.job.recipe.bars, placed.pour, placed.pack)
        for placed in schedule.placed
    ]


@pytest.mark.slow
@pytest.mark.parametrize("bottleneck", BOTTLENECKS)
@pytest.mark.parametrize("seed", range(3))
def test_by_each_rule_the_same_batches_are_placed_one_after_the_other(
    seed: int, bottleneck: Bottleneck
) -> None:
    one = both(lasting(without_preparations(scarce(seed, bottleneck))))
    for rule in range(len(one.scheduler.rules)):
        assert grown(one, rule, AS_GIVEN) == passed(one, rule) != []


def test_the_same_in_the_demo_workshop_whose_launches_slip() -> None:
    one = both(lasting(without_preparations(demo_workshop())))
    for rule in range(len(one.scheduler.rules)):
        assert grown(one, rule, AS_GIVEN) == passed(one, rule)


@pytest.mark.parametrize("order", [SHUFFLED, SNUG, TIDY])
def test_in_another_order_of_days_every_batch_still_fits(order: int) -> None:
    one = both(scarce(1, "trays"))
    assert grown(one, 0, order) != grown(one, 0, AS_GIVEN)
    assert (one.state.free >= 0).all()


def test_an_order_has_those_days_first_that_cost_least() -> None:
    """Trays left free beside a batch, minutes wasted, and days that a kept plan has not got."""
    one = emptied(both(tiny()))
    free, facts = one.state.free, one.facts
    free[:] = 1000
    pour = next(day for day in range(30) if pack_day(facts, one.state, 0, day) >= 0)
    unmould, pack = int(facts.steps[0, pour, 0]), pack_day(facts, one.state, 0, pour)
    tray = int(facts.jobs[0]["tray"])
    assert cost_of(facts, one.state, 0, SNUG, pour, pack) == 2
    free[tray, unmould - 1] = 0
    assert cost_of(facts, one.state, 0, SNUG, pour, pack) == 1
    free[tray, pack] = 0
    assert cost_of(facts, one.state, 0, SNUG, pour, pack) == 0
    wasted = one.scheduler.start.jobs.wasted
    free[0] = 85
    expected = sum(wasted[85 - minutes] - wasted[85] for minutes in one.jobs[0].steps)
    assert cost_of(facts, one.state, 0, TIDY, pour, pack) == expected
    assert cost_of(facts, one.state, 0, KEPT, pour, pack) == 1
    facts.kept[0, pour] = 1
    assert cost_of(facts, one.state, 0, KEPT, pour, pack) == 0


def test_a_batch_that_cannot_be_sold_as_long_as_it_keeps_is_not_placed() -> None:
    """Bars that keep for a day after pouring, and cure for five."""
    bar = replace(tiny().products["bar"], shelf_life_days=5)
    one = both(tiny(products={"bar": bar}))
    assert grown(one, 0, AS_GIVEN) == passed(one, 0) == []
