"""The next shortage, and what it is worth, as the list scheduler has them."""

from random import Random

import pytest

from planner.anneal.shortages import (
    MISSING,
    Shortages,
    begin,
    give_up,
    look_ahead,
    shortages,
    slip,
    wanted,
    wanted_late,
)
from planner.anneal.state import SIZE, drop, keep
from planner.draft.needs import ProductNeed
from tests.anneal.pieces import BOTTLENECKS, Both, both, lasting, scarce
from tests.anneal.test_sales import changed, spans
from tests.demo import demo_workshop
from tests.workshops import Bottleneck


def needs_of(one: Both, launch_days: dict[str, int]) -> list[ProductNeed]:
    start, bars = one.scheduler.start, spans(one)
    return [
        ProductNeed(
            start.askings[product],
            launch_days,
            bars[product][len(start.askings[product].opening) :],
        )
        for product in one.products
    ]


def agrees(one: Both, short: Shortages, draw: Random) -> int:
    """Tells how often something was short. Orders and launches slip, until they begin anew."""
    found = 0
    launch_days = dict(one.scheduler.start.launch_days)
    begin(one.facts, short)
    for place, need in enumerate(needs_of(one, launch_days)):
        product = one.products[place]
        for _ in range(3):
            look_ahead(one.facts, one.state, short, place)
            first = need.next()
            assert bool(short.products[place]["open"]) is (first is not None)
            if first is None:
                break
            found += 1
            good = one.scheduler.start.jobs.batches[product][0].recipe.good
            assert short.products[place]["due"] == first.due
            assert short.products[place]["value"] == pytest.approx(first.value(first.due, good))
            day = draw.randrange(first.due, one.days)
            last = one.days - 1
            assert wanted(one.facts, short, place, day) == first.wanted(day, last)
            late = need.waiting(first, day) + first.wanted(day, last)
            assert wanted_late(one.facts, short, place, day) == late
            need.slip(first, day)
            slip(one.facts, one.state, short, place, day)
            assert short.launched.tolist() == list(launch_days.values())
            assert short.products[place]["since"] == need.since
    return found


@pytest.mark.slow
@pytest.mark.parametrize("bottleneck", BOTTLENECKS)
@pytest.mark.parametrize("seed", range(3))
def test_needs_are_those_of_the_list_scheduler(seed: int, bottleneck: Bottleneck) -> None:
    one, draw = both(lasting(scarce(seed, bottleneck, days=90))), Random(seed)
    found, short = 0, shortages(one.facts)
    for _ in range(4):
        changed(one, draw)
        found += agrees(one, short, draw)
    assert found


def test_the_same_in_the_demo_workshop() -> None:
    one, draw = both(lasting(demo_workshop())), Random(1)
    for _ in range(4):
        changed(one, draw)
        assert agrees(one, shortages(one.facts), draw)


def test_a_launch_that_is_given_up_is_looked_at_again_by_its_other_products() -> None:
    """Without bars for one of them it never happens, and the others are not sold at all."""
    one = both(lasting(demo_workshop()))
    while one.state.counts[SIZE]:
        drop(one.facts, one.state, 0)
        keep(one.state)
    short = shortages(one.facts)
    begin(one.facts, short)
    rows = one.facts.launches
    name = int(rows[0, 4])
    products = [
        place
        for place in range(len(one.products))
        for row in range(
            int(one.facts.products[place]["launch"]), int(one.facts.products[place + 1]["launch"])
        )
        if rows[row, 4] == name
    ]
    assert len(products) > 1
    for place in products:
        look_ahead(one.facts, one.state, short, place)
    day = int(short.launched[name])
    first = products[0]
    assert all(short.lacking[place, day, MISSING] > 0 for place in products)
    give_up(one.facts, one.state, short, first)
    assert short.launched[name] == one.days
    assert not short.products[first]["open"]
    for place in products[1:]:
        assert not short.lacking[place, :, MISSING].any()
