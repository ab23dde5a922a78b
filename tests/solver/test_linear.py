"""Sums, staircases and rows: what is posted, what is derived, what is shared."""

from fractions import Fraction

import pytest

from planner.solver.linear import Linear, LinearModel, step_index


def test_a_sum_has_its_value_and_can_be_added_with_a_factor() -> None:
    model = LinearModel(3)
    x = model.variable("x", 9, lambda _: 0)
    y = model.variable("y", 9, lambda _: 0)
    inner = Linear(constant=2).plus(x, 3).plus(y, 0).plus(None, 5)
    assert inner.variables == [x]
    total = Linear(constant=1).add(inner, -2).plus(y, 1)
    assert total.value({x.index: 4, y.index: 10}) == 1 - 2 * (2 + 12) + 10


def test_at_a_rate_a_sum_comes_to_no_more_and_hardly_to_less() -> None:
    """Each variable is rounded down once, however often it is in the sum."""
    model = LinearModel(3)
    x, y = (model.variable(name, 9, lambda _: 0) for name in "xy")
    total = Linear(constant=-1).plus(x, 2).plus(y, -3).plus(x, 5)
    scaled = total.at_rate(Fraction(1, 3))
    assert (scaled.constant, scaled.variables, scaled.coefficients) == (-1, [x, y], [2, -1])
    assert Linear().plus(x, 2).plus(x, -2).at_rate(Fraction(1, 3)).variables == []


def test_the_unit_of_a_sum_divides_every_coefficient() -> None:
    model = LinearModel(1)
    x, y = (model.variable(name, 9, lambda _: 0) for name in "xy")
    assert Linear(constant=7).plus(x, 12).plus(y, -18).unit == 6
    assert Linear(constant=7).plus(x, 0).unit == Linear().unit == 1


def test_the_least_that_a_sum_can_be_follows_from_the_ends_of_the_domains() -> None:
    model = LinearModel(3)
    x = model.variable("x", 9, lambda _: 0)
    y = model.variable("y", 4, lambda _: 0)
    model.at_least(Linear().plus(x, 1), 2, "rows do not count")
    assert model.least(Linear(constant=7).plus(x, 3).plus(y, -5)) == 7 - 20


def test_a_staircase_on_its_days() -> None:
    """It can rise on days 1 and 4 of six."""
    model = LinearModel(6)
    stair = model.staircase("s", (1, 4), (2, 5), final=3)
    low, high = stair.steps
    assert [stair.at(day) for day in (-1, 0, 1, 3, 4, 5, 99)] == [
        None,
        None,
        low,
        low,
        high,
        high,
        high,
    ]
    assert stair.last is high
    assert [list(variable.domain) for variable in model.proto.proto.variables] == [[0, 2], [0, 3]]
    values = {low.index: 2, high.index: 3}
    assert [Linear().rise(stair, day, 10).value(values) for day in range(6)] == [
        0,
        20,
        0,
        0,
        10,
        0,
    ]
    (row,) = model.proto.proto.constraints
    assert next(iter(row.linear.domain)) == 0  # later less earlier is never negative
    assert not model.shared_rows


def test_a_staircase_without_days_is_none() -> None:
    stair = LinearModel(6).staircase("s", (), ())
    assert stair.last is None
    assert stair.at(3) is None


def test_steps_in_force() -> None:
    assert step_index((0, 2, 3), 6) == [0, 0, 1, 2, 2, 2]
    assert step_index((), 2) == [-1, -1]
    assert step_index((9,), 2) == [-1, -1]


def test_rows_posted_inside_are_shared_and_none_outside() -> None:
    model = LinearModel(1)
    x = model.variable("x", 9, lambda _: 0)
    model.at_most(Linear().plus(x, 1), 5, "before")
    with model.shared():
        model.at_most(Linear(), 5, "nothing to post")
        model.at_most(Linear().plus(x, 1), 6, "shared")
        model.at_least(Linear().plus(x, 1), 1, "shared too")
    model.at_most(Linear().plus(x, 1), 7, "after")
    names = [row.name for row in model.proto.proto.constraints]
    assert [names[row] for row in model.shared_rows] == ["shared", "shared too"]
    assert names == ["before", "shared", "shared too", "after"]


def test_no_rows_are_shared_any_more_after_an_error_inside() -> None:
    model = LinearModel(1)
    x = model.variable("x", 9, lambda _: 0)
    with pytest.raises(LookupError), model.shared():
        raise LookupError
    model.at_most(Linear().plus(x, 1), 5, "after")
    assert model.shared_rows == []


def test_derived_values_follow_from_those_before_them() -> None:
    model = LinearModel(3)
    stair = model.staircase("s", (0, 1, 2), (9, 9, 9))
    peak = model.staircase("peak", (0, 1, 2), (9, 9, 9))
    sums = [Linear(constant=c).plus(v, 1) for c, v in zip((-3, 0, -5), stair.steps, strict=True)]
    model.derive_running_maximum(peak, sums)
    twice = model.variable("twice", 99, lambda values: 2 * values[peak.steps[2].index])
    values = model.complete({step.index: 4 for step in stair.steps})
    assert [values[step.index] for step in peak.steps] == [1, 4, 4]
    assert values[twice.index] == 8
