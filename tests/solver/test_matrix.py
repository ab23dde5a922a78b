"""The arrays say what the model's rows say, and bounds in floating point err on the safe side."""

import numpy as np
import pytest

from planner.solver.linear import Linear, LinearModel
from planner.solver.matrix import extended, program_of
from tests.solver.pools import TwoProducts, service_task, small_workshop
from tests.solver.rows import broken_rows


def weighted(bound: int, coefficients: tuple[int, int] = (6, 9)) -> LinearModel:
    """x and y in 0 .. 10 with coefficients x, y <= bound."""
    model = LinearModel(1)
    row = Linear()
    for name, coefficient in zip("xy", coefficients, strict=True):
        row.plus(model.variable(name, 10, lambda _: 0), coefficient)
    model.at_most(row, bound, "row")
    return model


def test_rows_are_divided_by_what_divides_them_and_their_bounds_rounded() -> None:
    """6 x + 9 y <= 32 is 2 x + 3 y <= 10."""
    program = program_of(weighted(32), Linear())
    assert program.values.tolist() == [2, 3]
    assert program.row_upper.tolist() == [10]
    assert np.isneginf(program.row_lower).all()
    assert (program.columns, program.rows, program.nonzeros) == (2, 1, 2)


@pytest.mark.parametrize(("bound", "expected"), [(-1, -1), (-3, -1), (-4, -2), (2, 0)])
def test_a_bound_is_rounded_down_below_zero_too(bound: int, expected: int) -> None:
    assert program_of(weighted(bound, (3, -3)), Linear()).row_upper.tolist() == [expected]


@pytest.mark.parametrize("amount", [1, 10**9 + 7])
def test_holds_is_exact_at_the_edge(amount: int) -> None:
    """amount x + (amount + 1) y <= 5 amount + 2: x = 3 and y = 2 just hold."""
    program = program_of(weighted(5 * amount + 2, (amount, amount + 1)), Linear())
    assert program.holds([3, 2])
    tighter = program_of(weighted(5 * amount + 1, (amount, amount + 1)), Linear())
    assert not tighter.holds([3, 2])


def test_holds_looks_at_each_columns_bounds() -> None:
    program = program_of(weighted(1000), Linear())
    assert program.holds([10, 10])
    assert not program.holds([11, 0])
    assert not program.holds([0, -1])


def test_what_can_never_hold_holds_for_nothing() -> None:
    model = weighted(1000)
    model.at_most(Linear(constant=1), 0, "never")
    assert not program_of(model, Linear()).holds([0, 0])


def test_a_row_that_is_not_linear_is_refused() -> None:
    model = LinearModel(1)
    literal = model.proto.new_bool_var("b")
    model.proto.add_bool_or([literal])
    with pytest.raises(ValueError, match="not a linear row"):
        program_of(model, Linear())


def test_a_variable_twice_in_row_and_goal_counts_twice() -> None:
    model = LinearModel(1)
    x = model.variable("x", 10, lambda _: 0)
    y = model.variable("y", 10, lambda _: 0)
    model.at_most(Linear().plus(x, 1).plus(y, 4).plus(x, 2), 12, "row")
    goal = Linear(constant=7).plus(x, 10).plus(y, 45).plus(x, 20)
    program = program_of(model, goal)
    assert program.values.tolist() == [3, 4]
    assert (program.cost.tolist(), program.unit, program.offset) == ([2, 3], 15, 7)


def test_a_bound_rounds_up_to_the_next_value_that_the_goal_can_have() -> None:
    """Values of the goal are 7, 22, 37, ...: 15 apart from 7 on."""
    model = LinearModel(1)
    program = program_of(model, Linear(constant=7).plus(model.variable("x", 9, lambda _: 0), 15))
    assert program.bound(1.5) == 37
    assert program.bound(2.0) == program.bound(2.0000001) == 37
    assert program.bound(2.1) == 52
    assert program.bound(2.1, scale=1e6) == 37  # the terms may be wrong by one unit in all
    assert program.bound(1e9 + 0.5) <= 7 + 15 * 10**9


def test_the_same_rows_with_another_goal() -> None:
    """Columns of a tighter program that the goal does not know cost nothing."""
    pools = TwoProducts()
    first, second = pools.batches
    grown = extended(pools.program, 2, [])
    other = grown.with_goal(Linear(constant=5).plus(first, -20).plus(second, 30))
    assert (other.unit, other.offset) == (10, 5)
    assert other.cost[[first.index, second.index]].tolist() == [-2, 3]
    assert abs(other.cost).sum() == 5
    assert other.holds([0] * grown.columns) == grown.holds([0] * grown.columns)
    assert grown.with_goal(pools.goal).cost.tolist() == grown.cost.tolist()


def test_some_rows_and_some_columns() -> None:
    two = TwoProducts()
    program = two.program  # columns a, pairs, single, b, pairs, single; rows a, b, pool
    last = program.only_rows(np.array([2]))
    assert last.indices.tolist() == [0, 3]
    assert last.row_upper.tolist() == [3]
    part = program.part(np.array([3, 4, 5]), without=np.array([2]))
    assert (part.columns, part.rows) == (3, 1)
    assert part.indices.tolist() == [0, 1, 2]
    assert part.values.tolist() == [1, -2, -1]
    assert part.cost.tolist() == [-5, 0, 1]
    assert part.upper.tolist() == [3, 1, 1]
    assert program.transposed_times(np.array([1.0, 10.0, 100.0])).tolist() == [
        101,
        -2,
        -1,
        110,
        -20,
        -10,
    ]


@pytest.mark.parametrize(
    ("price", "bound"),
    [
        (0.0, 76),  # 100 - 3 x 3 - 5 x 3
        (1.0, 79),  # 100 - 3 - 3 x 2 - 3 x 4
        (2.5, 84),  # 100 - 7.5 - 3 x 0.5 - 3 x 2.5, rounded up
        (-1.0, 76),  # no lower bound: counts as none
    ],
)
def test_factors_of_rows_prove_a_bound_by_weak_duality(price: float, bound: int) -> None:
    """Duality of linear programs, from memory: c x >= y b + min (c - y A) x over the bounds."""
    program = TwoProducts().program
    assert program.dual_bound(np.array([0.0, 0.0, -price])) == bound <= TwoProducts.OPTIMUM


@pytest.mark.parametrize("seed", range(4))
def test_no_factors_prove_more_than_a_plan_loses(seed: int) -> None:
    task = service_task(small_workshop(seed))
    program = program_of(task.model.model, task.goal)
    draw = np.random.default_rng(seed)
    value = task.goal.value(task.hint)
    for size in (1e-6, 1.0, 1e3):
        assert program.dual_bound(draw.normal(0, size, program.rows)) <= value


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(4))
def test_the_arrays_hold_what_the_models_rows_hold(seed: int) -> None:
    """The draft's assignment, and the same with one count changed, judged in both ways."""
    task = service_task(small_workshop(seed))
    model = task.model.model
    program = program_of(model, task.goal)
    draw = np.random.default_rng(seed)
    verdicts = set()
    for change in (0, *draw.integers(0, program.columns, 20)):
        values = dict(task.hint)
        values[int(change)] += int(draw.integers(-1, 2))
        whole = [values[column] for column in range(program.columns)]
        kept = not broken_rows(model, values)
        assert program.holds(whole) is kept
        assert program.cost @ whole * program.unit + program.offset == task.goal.value(values)
        verdicts.add(kept)
    assert verdicts == {True, False}


def test_a_program_stays_as_it_is_whatever_it_is_asked() -> None:
    """While one thread sends it to another process, a second one may look at it."""
    program = TwoProducts().program
    before = dict(vars(program))
    values = [0] * program.columns
    program.holds(values)
    program.times(np.array(values, np.float64))
    program.dual_value(np.zeros(program.rows))
    assert vars(program).keys() == before.keys()
