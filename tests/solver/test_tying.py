"""A program of which part is settled says the same of the rest, against every assignment of it."""

from dataclasses import replace
from itertools import product
from random import Random

import numpy as np
import pytest

from planner.solver.linear import Linear, LinearModel
from planner.solver.matrix import Program, program_of
from planner.solver.tying import FIXED, Tied


def drawn(draw: Random) -> Program:
    """Five columns in 0 .. 3, four rows and a goal, their coefficients as chance has them."""
    model, goal = LinearModel(1), Linear(constant=draw.randrange(100))
    columns = [model.variable(f"x{number}", 3, lambda _: 0) for number in range(5)]
    for number in range(4):
        row = Linear()
        for column in columns:
            row.plus(column, draw.randint(-3, 3))
        model.at_most(row, draw.randint(0, 6), f"row {number}")
    for column in columns:
        goal.plus(column, 6 * draw.randint(-3, 3))
    return program_of(model, goal)


def tied(program: Program, draw: Random) -> Tied:
    """Columns 0 and 1 are free; each other is fixed, or led by one of them at a distance."""
    leaders = [0, 1, *(draw.choice((FIXED, 0, 1)) for _ in range(3))]
    offsets = [0, 0, *(draw.randint(-1 if leader != FIXED else 0, 2) for leader in leaders[2:])]
    return Tied(whole=program, leaders=np.array(leaders), offsets=np.array(offsets))


def value(program: Program, values: list[int]) -> int:
    return program.offset + program.unit * round(float(program.cost @ np.array(values, float)))


@pytest.mark.parametrize("seed", range(20))
def test_it_allows_what_the_whole_allows_and_costs_as_much(seed: int) -> None:
    draw = Random(seed)
    whole = drawn(draw)
    some = tied(whole, draw)
    assert some.free.tolist() == [0, 1]
    for free in product(range(4), repeat=2):
        wide = some.widened(free)
        assert wide[:2] == list(free)
        assert some.narrowed(dict(enumerate(wide))) == dict(enumerate(free))
        allowed = some.program.holds(free) and whole_without(some).holds(wide)
        assert allowed == whole.holds(wide)
        assert value(some.program, list(free)) == value(whole, wide)


def whole_without(some: Tied) -> Program:
    """The whole's rows that hold none of the free columns: they hold or not whatever is free."""
    left = np.abs(some.whole.values).astype(bool) & np.isin(
        some.whole.indices, np.flatnonzero(some.leaders != FIXED)
    )
    rows = np.setdiff1d(np.arange(some.whole.rows), some.whole.row_of[left])
    return some.whole.only_rows(rows)


def test_what_moves_together_is_one_coefficient_and_may_cancel_out() -> None:
    """b = a + 1, so that b - a <= 2 holds whatever a is, and 2 a + 3 b <= 13 is 5 a <= 10."""
    model = LinearModel(1)
    a, b = (model.variable(name, 9, lambda _: 0) for name in "ab")
    model.at_most(Linear().plus(b, 1).plus(a, -1), 2, "apart")
    model.at_most(Linear().plus(a, 2).plus(b, 3), 13, "together")
    whole = program_of(model, Linear().plus(b, 7))
    some = Tied(whole=whole, leaders=np.array([0, 0]), offsets=np.array([0, 1])).program
    assert (some.columns, some.rows) == (1, 1)
    assert (some.values.tolist(), some.row_upper.tolist()) == ([5.0], [10.0])
    assert (some.lower.tolist(), some.upper.tolist()) == ([0.0], [8.0])
    assert (some.unit * some.cost[0], some.offset) == (7, 7)


def test_whatever_is_divisible_stays_so() -> None:
    whole = drawn(Random(1))
    flags = np.array([True, False, True, False, False])
    whole = replace(whole, divisible=flags)
    some = Tied(whole=whole, leaders=np.array([0, 1, 1, FIXED, FIXED]), offsets=np.zeros(5, int))
    assert some.program.divisible.tolist() == [True, False]
