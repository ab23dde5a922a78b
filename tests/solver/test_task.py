"""What a step may take, and of two findings the better values and the better bound."""

from dataclasses import replace

import pytest

from planner.solver.linear import Linear, LinearModel
from planner.solver.task import SLOWEST, Found, Limits, better_of
from tests.solver.pools import service_task, small_workshop


@pytest.mark.parametrize(
    ("first", "second", "value", "bound"),
    [
        ((5, 1), (4, 3), 4, 3),
        ((4, 3), (5, 1), 4, 3),
        ((5, 3), (4, None), 4, 3),
        ((5, None), (6, 2), 5, 2),
        ((5, None), (6, None), 5, None),
        ((5, 0), (6, None), 5, 0),
    ],
)
def test_the_better_of_two(
    first: tuple[int, int | None], second: tuple[int, int | None], value: int, bound: int | None
) -> None:
    goal = Linear().plus(LinearModel(1).variable("x", 9, lambda _: 0), 1)
    found = better_of(goal, Found({0: first[0]}, first[1]), Found({0: second[0]}, second[1]))
    assert found == Found({0: value}, bound)


def test_of_two_as_good_it_is_the_first() -> None:
    model = LinearModel(1)
    goal = Linear().plus(model.variable("x", 9, lambda _: 0), 1)
    first, second = Found({0: 3, 1: 0}, None), Found({0: 3, 1: 1}, None)
    assert better_of(goal, first, second).values == first.values
    assert better_of(goal, second, first).values == second.values


def limits(work: float) -> Limits:
    return Limits(work=work, seconds=600.0, seed=1, workers=1)


@pytest.mark.parametrize(("share", "after"), [(0.2, 0.8), (0.3, 0.1), (1.0, 0.0)])
def test_with_time_enough_a_step_leaves_what_those_after_it_need(
    share: float, after: float
) -> None:
    step = limits(10.0).of_step(share, after, 500.0)
    assert step.work == pytest.approx(10.0 * share)
    assert step.seconds == pytest.approx(500.0 - SLOWEST * 10.0 * after)
    assert step.seconds >= SLOWEST * step.work
    assert (step.seed, step.workers) == (1, 1)


def test_without_it_a_step_has_its_share_of_what_is_left() -> None:
    assert limits(10.0**9).of_step(0.2, 0.6, 100.0).seconds == pytest.approx(25.0)
    assert limits(10.0**9).of_step(0.2, 0.0, 100.0).seconds == pytest.approx(100.0)
    assert limits(10.0).of_step(0.2, 0.6, 0.0).seconds == 0.0


def test_no_step_has_fewer_seconds_because_there_are_more_in_all() -> None:
    """Nor with more in all more than all: the two ways of sharing meet where they say the same."""
    seconds = [limits(10.0).of_step(0.25, 0.5, float(left)).seconds for left in range(200)]
    assert seconds == sorted(seconds)
    assert all(each <= left for left, each in enumerate(seconds))


def test_what_is_found_is_judged_by_the_goal_unless_something_else_is_said() -> None:
    task = service_task(small_workshop(12))
    other = Linear().add(task.goal, 2)
    assert task.measure is task.goal
    assert replace(task, judged_by=other).measure is other
