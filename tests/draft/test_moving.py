"""Batches that were taken out go back near to where they were; nothing else is touched."""

from random import Random

import pytest

from planner.draft.bench import Bench
from planner.draft.draft import ListScheduler
from planner.draft.moving import NEAR, moved
from planner.draft.placing import Placed
from planner.draft.preferring import Preference, as_given, snuggest
from tests.draft.pieces import free_amounts
from tests.workshops import Bottleneck, random_workshop


def taken_out(scheduler: ListScheduler, number: int) -> tuple[Bench, list[Placed]]:
    """The bench without some batches, and these."""
    schedule = scheduler.best.schedule
    bench, taken = schedule.bench.copy(), list(schedule.placed[:number])
    for placed in taken:
        bench.undo(placed.task)
    return bench, taken


def room(bench: Bench) -> dict[str, list[int]]:
    """The trays and moulds that are free on each day."""
    free = free_amounts(bench)
    return {key: free[key] for key in free if key.startswith(("tray", "mould"))}


@pytest.mark.parametrize("prefer", [as_given, snuggest])
@pytest.mark.parametrize("bottleneck", ["trays", "hands"])
def test_they_are_the_same_batches_at_most_some_days_away(
    bottleneck: Bottleneck, prefer: Preference
) -> None:
    """All of them, or all but one, as chance has it; some find no place.

    Taken out again they leave all as it was. Only lots of preparations may have come about, which
    take no trays and no moulds.
    """
    workshop = random_workshop(seed=3, products=4, days=90, bottleneck=bottleneck)
    scheduler = ListScheduler(workshop)
    away, missing = set[int](), set[int]()
    for seed in range(12):
        bench, taken = taken_out(scheduler, 6)
        before = room(bench)
        found = moved(scheduler.start, bench, taken, prefer, Random(seed))
        left = {id(one.job): [two.pour for two in taken if two.job is one.job] for one in taken}
        for one in found:
            nearest = min(left[id(one.job)], key=lambda pour, one=one: abs(pour - one.pour))  # type: ignore[misc]
            away.add(abs(one.pour - nearest))
            bench.undo(one.task)
        missing.add(len(taken) - len(found))
        assert room(bench) == before
    assert {0, 1} <= missing
    assert max(away) <= NEAR
    assert len(away) > 3


def test_the_same_draw_moves_them_alike() -> None:
    workshop = random_workshop(seed=3, products=4, days=90, bottleneck="trays")
    scheduler = ListScheduler(workshop)
    days = []
    for seed in (1, 1, 2):
        bench, taken = taken_out(scheduler, 6)
        found = moved(scheduler.start, bench, taken, snuggest, Random(seed))
        days.append([(one.job.product.id, one.pour, one.pack) for one in found])
    assert days[0] == days[1] != days[2]


def test_where_there_is_no_room_none_is_put_back() -> None:
    """All that was free has been taken meanwhile."""
    workshop = random_workshop(seed=3, products=4, days=90, bottleneck="trays")
    scheduler = ListScheduler(workshop)
    bench, taken = taken_out(scheduler, 2)
    for free in bench.free.values():
        for day, amount in enumerate(list(free.amounts)):
            free.take(day, day + 1, amount)
    assert moved(scheduler.start, bench, taken, snuggest, Random(1)) == []
