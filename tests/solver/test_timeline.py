"""Days that follow from a pour day; the tiny workshop rests on days 5, 6, 12, 13, ... 27 of 30."""

import pytest

from planner.solver.timeline import Timeline
from tests.solver.solving import bar, every_day
from tests.workshops import tiny

TIMELINE = Timeline(tiny())


@pytest.mark.parametrize(
    ("day", "working"), [(-3, 0), (0, 0), (4, 4), (5, 7), (27, 28), (29, 29), (30, None)]
)
def test_the_next_working_day(day: int, working: int | None) -> None:
    assert TIMELINE.next_working(day) == working


def test_no_working_day_is_left_after_the_last() -> None:
    closed = Timeline(tiny(minutes=(480,) * 3 + (0,) * 27))
    assert closed.next_working(2) == 2
    assert closed.next_working(3) is None


@pytest.mark.parametrize(
    ("set_days", "pour", "unmould"), [(0, 4, 4), (1, 3, 4), (1, 4, 7), (4, 0, 4), (1, 29, None)]
)
def test_the_day_of_unmoulding(set_days: int, pour: int, unmould: int | None) -> None:
    assert TIMELINE.unmould(bar(set_days=set_days), pour) == unmould


@pytest.mark.parametrize(
    ("pour", "pack"), [(0, 7), (1, 7), (2, 8), (4, 14), (22, 28), (23, 29), (24, None), (29, None)]
)
def test_the_first_pack_day(pour: int, pack: int | None) -> None:
    """One night in the mould, five days of cure."""
    assert TIMELINE.earliest_pack(bar(), pour) == pack


def test_pour_days_end_where_packing_would_lie_beyond_the_plan() -> None:
    days = TIMELINE.pour_days(bar())
    assert days == tuple(day for day in tiny().working_days if day <= 23)
    assert TIMELINE.pour_days(bar(cure_days=40)) == ()


def test_what_has_left_its_moulds_by_a_day() -> None:
    """What is poured on 4, a Friday, stays in the mould until Monday."""
    last = TIMELINE.last_unmoulded(bar())
    assert last[:9] == [-1, 0, 1, 2, 3, 3, 3, 4, 7]
    assert TIMELINE.last_unmoulded(bar(set_days=0))[:8] == [0, 1, 2, 3, 4, 4, 4, 7]


def test_what_is_cured_by_a_day() -> None:
    last = TIMELINE.last_cured(bar())
    assert last[6:11] == [-1, 1, 2, 3, 3]
    assert last[28:] == [22, 23]
    # asked for again with another cure it is not the list of the first
    assert TIMELINE.last_cured(bar(cure_days=6))[6:11] == [-1, 0, 1, 2, 3]


def test_with_work_on_every_day_nothing_waits() -> None:
    timeline = Timeline(every_day())
    assert [timeline.earliest_pack(bar(), pour) for pour in (0, 13, 14)] == [6, 19, None]
