"""Of two findings the better values and the better bound, each for itself."""

import pytest

from planner.solver.linear import Linear, LinearModel
from planner.solver.task import Found, better_of


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
