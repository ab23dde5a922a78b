"""Whole passes by hand on the tiny workshop; Monday is day 0, weekends 5-6, 12-13, 19-20, 26-27."""

from dataclasses import replace

from planner.draft.ranking import due_day
from planner.draft.schedule import Pass, Schedule, start_of, suited
from planner.workshop import Demand, DemandKind, Tray, Workshop
from tests.draft.pieces import with_bar
from tests.workshop_parts import demand_row
from tests.workshops import tiny

BAR = tiny().products["bar"]
ONE_TRAY = {"tray": Tray(id="tray", count=1)}


def order(bars: int, day: int) -> Demand:
    return demand_row(BAR, DemandKind.ORDER, bars, day)


def scheduled(workshop: Workshop, backward: bool = False) -> list[tuple[int, int]]:
    """Pour and pack days, sorted."""
    growing = Pass(start_of(workshop))
    result: Schedule = growing.run_backward(due_day) if backward else growing.run(due_day)
    return sorted((placed.pour, placed.pack) for placed in result.placed)


def test_a_batch_is_poured_as_late_as_its_due_day_allows() -> None:
    # packed before Monday 21, so on Friday 18: cured from Saturday 12 or before, unmoulded on 11
    assert scheduled(tiny(demand=(order(10, 21),))) == [(10, 16)]


def test_what_cannot_be_in_time_comes_as_early_as_it_can() -> None:
    assert scheduled(tiny(demand=(order(10, 3),))) == [(1, 7)]


def test_a_batch_that_would_serve_nothing_is_not_poured() -> None:
    assert scheduled(tiny(demand=())) == []
    retail = demand_row(BAR, DemandKind.RETAIL, 7, 0, last_day=5)
    assert scheduled(tiny(demand=(retail,))) == []


def test_batches_that_compete_for_a_tray_are_poured_early_enough_for_all() -> None:
    # the first is on the tray from 16 to 20, the other must be off it by then
    workshop = tiny(demand=(order(10, 22), order(10, 24)), trays=ONE_TRAY)
    assert scheduled(workshop) == [(10, 16), (15, 21)]


def test_backward_gives_the_last_due_day_its_batch_first() -> None:
    workshop = tiny(demand=(order(10, 22), order(10, 24)), trays=ONE_TRAY)
    assert scheduled(workshop, backward=True) == [(10, 16), (17, 23)]


def test_backward_still_serves_late_what_is_not_served_in_time() -> None:
    workshop = tiny(demand=(order(10, 3), order(10, 24)))
    assert scheduled(workshop, backward=True)[0] == (1, 7)


def test_sizes_cover_what_is_wanted_and_not_more() -> None:
    workshop = with_bar(sizes=(10, 5)).changed(demand=(order(14, 21),))
    start = start_of(workshop)
    placed = Pass(start).run(due_day).placed
    assert sorted(batch.job.recipe.bars for batch in placed) == [5, 10]
    jobs = start.jobs.batches["bar"]
    assert [job.recipe.bars for job in suited(jobs, 99)] == [10, 5]
    assert [job.recipe.bars for job in suited(jobs, 6)] == [10, 5]
    assert [job.recipe.bars for job in suited(jobs, 5)] == [5]


def test_a_half_batch_is_poured_where_parts_for_a_whole_one_are_missing() -> None:
    workshop = with_bar(sizes=(10, 5)).changed(demand=(order(5, 9), order(5, 21)), offers={})
    half = replace(workshop.lots[0], amount=500_000)
    placed = Pass(start_of(workshop.changed(lots=(half,)))).run(due_day).placed
    assert [batch.job.recipe.bars for batch in placed] == [5]


def test_bars_that_would_expire_before_they_are_wanted_are_poured_later() -> None:
    workshop = with_bar(shelf_life_days=9).changed(demand=(order(10, 21),))
    # to be sold on 21 they must be poured from 12 on, so on 14 at the earliest: packed on 21
    assert scheduled(workshop) == [(15, 21)]
    keeping = with_bar(shelf_life_days=11).changed(demand=(order(10, 21),))
    assert scheduled(keeping) == [(10, 16)]
