"""Batches taken out and placed anew."""

from collections import Counter
from typing import Any

import numpy as np
import pytest

from planner.anneal import ruining
from planner.anneal.facts import CURED
from planner.anneal.ruining import (
    AROUND,
    _around_a_day,
    _at_both_ends,
    _in_a_span,
    _take_out,
    rebuild,
)
from planner.anneal.shortages import shortages
from planner.anneal.state import CHANGED, ROOM, SIZE, drop, keep, take_back
from planner.draft.improving import FEWEST, LARGEST, MOST, SPANS
from planner.draft.keeping import kept_of
from planner.draft.placing import TRIES
from tests.anneal.pieces import BOTTLENECKS, Both, both, copied, same, scarce
from tests.workshops import Bottleneck

DRAW: Any = np.random.default_rng


@pytest.mark.parametrize("bottleneck", BOTTLENECKS)
def test_a_rebuild_keeps_every_room_and_can_be_taken_back(bottleneck: Bottleneck) -> None:
    one = both(scarce(1, bottleneck))
    short, draw = shortages(one.facts), DRAW(1)
    different = 0
    for _ in range(60):
        before = copied(one.state)
        rebuild(one.facts, one.state, short, draw)
        assert (one.state.free >= 0).all()
        different += not same(copied(one.state), before)
        take_back(one.facts, one.state)
        assert same(copied(one.state), before)
    assert different > 20


def test_rebuilds_follow_from_the_draws() -> None:
    ends = []
    for seed in (1, 1, 2):
        one = both(scarce(2, "trays"))
        short, draw = shortages(one.facts), DRAW(seed)
        for _ in range(20):
            rebuild(one.facts, one.state, short, draw)
            keep(one.state)
        ends.append(copied(one.state))
    assert same(ends[0], ends[1])
    assert not same(ends[0], ends[2])


def test_as_many_batches_are_taken_out_as_are_said() -> None:
    one = both(scarce(1))
    counts = Counter[int]()
    for seed in range(60):
        before = Counter((job, pour) for job, pour, _ in rows(one))
        count = _take_out(one.facts, one.state, DRAW(seed))
        after = Counter((job, pour) for job, pour, _ in rows(one))
        gone = Counter((job, pour) for job, pour in one.state.taken[:count].tolist())
        assert before - after == gone
        counts[count] += 1
        take_back(one.facts, one.state)
    assert len(counts) > 5
    assert max(counts) <= LARGEST


def rows(one: Both) -> list[list[int]]:
    found: list[list[int]] = one.state.batches[: one.state.counts[SIZE]].tolist()
    return found


def test_there_is_room_for_all_that_is_taken_out() -> None:
    """Compiled code would write beyond the end of the array."""
    assert max(LARGEST, MOST, TRIES) <= ROOM


def test_batches_around_a_day_are_a_few_and_near_each_other() -> None:
    one = both(scarce(1))
    pours = [pour for _, pour, _ in rows(one)]
    spreads = []
    for seed in range(40):
        count = _around_a_day(one.facts, one.state, False, DRAW(seed))
        chosen = one.state.places[:count].tolist()
        assert FEWEST <= count <= MOST
        assert len(set(chosen)) == count
        days = [pours[place] for place in chosen]
        spreads.append(max(days) - min(days))
    assert np.mean(spreads) < (max(pours) - min(pours)) / 2


def test_batches_of_two_products_are_of_no_third() -> None:
    one = both(scarce(1))
    kinds = set()
    for seed in range(40):
        count = _around_a_day(one.facts, one.state, True, DRAW(seed))
        chosen = [rows(one)[place] for place in one.state.places[:count].tolist()]
        products = {one.jobs[job].product.id for job, *_ in chosen}
        assert 1 <= len(products) <= 2
        kinds.add(frozenset(products))
    assert len(kinds) > 3


def test_batches_of_a_span_lie_within_it() -> None:
    one = both(scarce(1))
    for seed in range(40):
        count = _in_a_span(one.state, DRAW(seed))
        days = [rows(one)[place][1] for place in one.state.places[:count].tolist()]
        assert 1 <= count <= LARGEST
        assert min(days) == days[0]
        assert max(days) - days[0] <= SPANS[1]


@pytest.mark.parametrize("any_day", [0.0, 1.0])
def test_batches_at_both_ends_are_near_one_of_two_days(
    any_day: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Those of a batch in the schedule, or of one that could be. Some are left out, and where many
    are near, not always the same. (Run as Python, so that the share can be set.)"""
    monkeypatch.setattr(ruining, "ANY_DAY", any_day)
    one = both(scarce(1, "hands"))
    batches = rows(one)
    ends = {(pour, pack) for _, pour, pack in batches}
    if any_day:
        pours = range(one.facts.steps.shape[1])
        ends = {
            (pour, int(one.facts.steps[job, pour, CURED]))
            for job, _, _ in batches
            for pour in pours
        }

    def near(place: int, pair: tuple[int, int]) -> bool:
        return any(abs(day - end) < AROUND for day in batches[place][1:] for end in pair)

    counts, chosen_ever = Counter[int](), set[int]()
    for seed in range(60):
        count = _at_both_ends.py_func(one.facts, one.state, DRAW(seed))
        chosen = one.state.places[:count].tolist()
        assert len(set(chosen)) == count <= LARGEST
        assert any(all(near(place, pair) for place in chosen) for pair in ends)
        counts[count] += 1
        chosen_ever.update(chosen)
    assert len(counts) > 5
    assert len(chosen_ever) > len(batches) / 2


def test_with_few_batches_there_are_few_to_take_out() -> None:
    one = both(scarce(1))
    while one.state.counts[SIZE] > 2:
        drop(one.facts, one.state, 0)
    keep(one.state)
    counts = Counter[int]()
    for seed in range(20):
        counts[_take_out(one.facts, one.state, DRAW(seed))] += 1
        take_back(one.facts, one.state)
        assert one.state.counts[SIZE] == 2
    assert set(counts) == {0, 1, 2}  # none, where none is at both ends of a batch that could be


def test_near_a_kept_plan_more_batches_go_back_to_their_days() -> None:
    """Of forty rebuilds each, all but the first of which go on from the one before."""
    stays = []
    for worth in (0, 1):
        workshop = scarce(1, "trays")
        first = both(workshop)
        kept = kept_of(first.scheduler.plan().batches, 1000 * worth)
        one = both(workshop, kept=kept)
        assert one.state.counts[2] == 0
        short, draw = shortages(one.facts), DRAW(3)
        for _ in range(40):
            rebuild(one.facts, one.state, short, draw)
            keep(one.state)
        stays.append(int(one.state.counts[2]))
        assert one.state.counts[CHANGED] == 0
    assert stays[1] < stays[0]


def test_every_way_is_drawn() -> None:
    """Whole numbers below another one, each about as often."""
    draw = DRAW(1)
    ways = Counter(ruining._below(draw, ruining.WAYS) for _ in range(400))
    assert set(ways) == {0, 1, ruining.TWO_PRODUCTS, ruining.SPAN}
    assert min(ways.values()) > 60
