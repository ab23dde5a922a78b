"""Bounds product by product: never above the proven optimum, never below the relaxation.

Lagrangian relaxation: Geoffrion 1974, "Lagrangean relaxation for integer programming",
Mathematical Programming Study 2, 82-114: relaxation <= Lagrangian bound <= optimum.
"""

from dataclasses import replace

import numpy as np
import pytest

from planner.solver import decomposition
from planner.solver.decomposition import columns_without_rows, decomposed_bound, parts_of
from planner.solver.highs import Effort, Relaxation, branch_and_cut, relaxed
from planner.solver.linear import Linear, LinearModel
from planner.solver.matrix import Floats, program_of
from planner.solver.model import PlanModel
from planner.solver.search import minimise
from planner.workshop import DemandKind
from tests.solver.pools import TwoProducts, service_task, small_workshop
from tests.solver.solving import bar, every_day
from tests.workshop_parts import demand_row


def relaxation_of(bound: int, duals: Floats) -> Relaxation:
    return Relaxation(bound=bound, duals=duals)


def priced(price: float, duals_of_others: float = 0.0) -> int:
    """The bound for the pool of two products at a price, in units of the goal."""
    two = TwoProducts()
    program = two.program
    duals = np.full(program.rows, duals_of_others)
    (pool,) = two.model.shared_rows
    duals[pool] = -price
    return decomposed_bound(program, [pool], relaxation_of(-999, duals))


@pytest.mark.parametrize(
    ("price", "bound"),
    [
        (0, 78),  # all of both: a spares 9 less a single, b 15 less a single
        (1, 81),  # 100 - 3; a: 8 - 3 = 5, b: 14 - 3 = 11
        (2, 84),  # 100 - 6; a: 8 - 6 = 2, b: 14 - 6 = 8
        (3, 86),  # 100 - 9; a: 6 - 6 = 0, b: 14 - 9 = 5
        (5, 85),  # 100 - 15; neither is worth its price
    ],
)
def test_the_bound_at_a_price_is_what_the_parts_come_to(price: int, bound: int) -> None:
    """100 - 3 prices - what each product spares beyond the price of a batch. Optimum: 86."""
    assert priced(price) == bound <= TwoProducts.OPTIMUM


def test_no_duals_but_those_of_shared_rows_count() -> None:
    assert priced(2, duals_of_others=-50) == priced(2)


def test_rows_that_whole_values_keep_anyway_are_left_out() -> None:
    """Of each product one row says that a batch spares less alone: without it 9 and 15 are spared.

    At a price of 1 for a batch, of which there are three.
    """
    two = TwoProducts()
    (pool,) = two.model.shared_rows
    others = [row for row in range(two.program.rows) if row != pool]
    duals = np.zeros(two.program.rows)
    duals[pool] = -1
    free = decomposed_bound(two.program, [pool], relaxation_of(-999, duals), others)
    assert free == 100 - 3 - (9 - 3) - (15 - 3)


def test_a_price_below_none_counts_as_none() -> None:
    assert priced(-1) == priced(0)


def test_the_relaxation_counts_where_it_proves_more() -> None:
    two = TwoProducts()
    better = relaxation_of(85, np.zeros(two.program.rows))
    assert decomposed_bound(two.program, two.model.shared_rows, better) == 85


@pytest.mark.parametrize("end", [-np.inf, np.inf])
def test_a_part_without_a_bound_leaves_that_of_the_relaxation(
    end: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(decomposition, "least_cost", lambda *_: end)
    two = TwoProducts()
    relaxation = relaxation_of(3, np.zeros(two.program.rows))
    assert decomposed_bound(two.program, two.model.shared_rows, relaxation) == 3


def test_a_shared_row_with_a_lower_bound_is_refused() -> None:
    program = TwoProducts().program
    both = replace(program, row_lower=np.zeros(program.rows))
    relaxation = relaxation_of(0, np.zeros(program.rows))
    with pytest.raises(ValueError, match="lower bound"):
        decomposed_bound(both, [0], relaxation)


LONG = (6, 10, 14)


@pytest.mark.slow
@pytest.mark.parametrize(
    "seed",
    [pytest.param(seed, marks=[pytest.mark.slow] if seed in LONG else []) for seed in range(24)],
)
def test_relaxation_and_parts_stay_below_an_optimum_that_two_solvers_prove(seed: int) -> None:
    task = service_task(small_workshop(seed))
    program = program_of(task.model.model, task.goal)
    found = minimise(task)
    optimum = task.goal.value(found.values)
    assert found.bound == optimum
    relaxation = relaxed(program, 60)
    assert relaxation is not None
    bound = decomposed_bound(program, task.model.model.shared_rows, relaxation)
    assert relaxation.bound <= bound <= optimum
    assert program.holds([found.values[column] for column in range(program.columns)])
    proof = branch_and_cut(program, task.hint, Effort(work=60, seconds=60))
    assert proof.optimal
    assert proof.values is not None
    assert task.goal.value(dict(enumerate(proof.values))) == optimum
    assert proof.bound is not None
    # HiGHS' bound is taken down by a millionth of what the sums hold.
    slack = 2e-6 * (abs(optimum - program.offset) + program.unit) + program.unit
    assert optimum - slack <= proof.bound <= optimum


# Parts


def groups(model: LinearModel) -> list[list[int]]:
    program = program_of(model, Linear())
    return [part.tolist() for part in parts_of(program, np.array(model.shared_rows, np.int64))]


def test_columns_in_one_row_are_one_part_unless_it_is_shared() -> None:
    model = LinearModel(1)
    a, b, c, _ = (model.variable(name, 1, lambda _: 0) for name in "abcd")
    model.at_most(Linear().plus(a, 1).plus(c, 1), 1, "a with c")
    with model.shared():
        model.at_most(Linear().plus(a, 1).plus(b, 1), 1, "shared out")
    assert groups(model) == [[0, 2]]


def test_columns_that_stand_in_shared_rows_alone_are_of_no_part() -> None:
    """x and y share 5: two of x and three of y spare 12, at the price 2 of the pool and at 3."""
    model = LinearModel(1)
    x = model.variable("x", 2, lambda _: 0)
    y = model.variable("y", 9, lambda _: 0)
    with model.shared():
        model.at_most(Linear().plus(x, 1).plus(y, 1), 5, "pool")
    program = program_of(model, Linear(constant=50).plus(x, -3).plus(y, -2))
    assert columns_without_rows(program, np.array([0])).tolist() == [0, 1]
    assert columns_without_rows(program, np.array([], np.int64)).tolist() == []
    for price, bound in ((2, 50 - 10 - 2), (3, 50 - 15), (0, 50 - 6 - 18)):
        relaxation = relaxation_of(-999, np.array([-float(price)]))
        assert decomposed_bound(program, [0], relaxation) == bound


@pytest.mark.parametrize("together", [True, False])
def test_products_launched_together_are_one_part_and_others_apart(together: bool) -> None:
    pair = [replace(bar(), id=name) for name in ("one", "two")]
    rows = [
        demand_row(each, DemandKind.LAUNCH, 5, 9, launch="both" if together else each.id)
        for each in pair
    ]
    workshop = every_day(products={each.id: each for each in pair}, demand=tuple(rows))
    plan_model = PlanModel(workshop, with_purchases=False)
    first, second = (
        {
            step.index
            for key in plan_model.variables.sizes(each.id)
            for step in plan_model.variables.poured[key].steps
        }
        for each in pair
    )
    parts = groups(plan_model.model)
    touched = [(bool(first & set(part)), bool(second & set(part))) for part in parts]
    assert ((True, True) in touched) is together
    assert ((True, False) in touched) is not together
