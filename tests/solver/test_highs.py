"""HiGHS: bounds, work that repeats, and what it tells on the way."""

from functools import reduce

import numpy as np
import pytest

from planner.solver.highs import (
    Effort,
    Proof,
    Simplex,
    branch_and_cut,
    least_cost,
    relaxed,
)
from planner.solver.linear import Linear, LinearModel
from planner.solver.matrix import Program, program_of
from tests.solver.pools import TwoProducts, service_task, small_workshop
from tests.workshops import random_workshop


def hard() -> tuple[Program, dict[int, int]]:
    """A program that takes branch and cut some time, and the draft."""
    task = service_task(random_workshop(1, products=2, days=30, bottleneck="hands"))
    return program_of(task.model.model, task.goal), task.hint


def test_the_relaxation_and_its_duals_of_a_pool() -> None:
    """Three of b spare 14; a pair of b and one of a, half a pair, only 13."""
    two = TwoProducts()
    relaxation = relaxed(two.program, 60)
    assert relaxation is not None
    assert relaxation.bound == 86
    (pool,) = two.model.shared_rows
    assert 3 - 1e-6 <= -relaxation.duals[pool] <= 4 + 1e-6  # what one batch more would spare


def test_no_assignment_has_no_relaxation() -> None:
    two = TwoProducts()
    two.model.at_least(Linear().plus(two.batches[0], 1), 4, "more than there can be")
    assert relaxed(two.program, 60) is None


def test_the_optimum_is_proven_and_its_values_hold() -> None:
    two = TwoProducts()
    hint = dict.fromkeys(range(two.program.columns), 0)
    proof = branch_and_cut(two.program, hint, Effort(work=10, seconds=60))
    assert (proof.optimal, proof.bound) == (True, TwoProducts.OPTIMUM)
    assert proof.values is not None
    assert two.program.holds(proof.values)
    assert two.goal.value(dict(enumerate(proof.values))) == TwoProducts.OPTIMUM


@pytest.mark.parametrize(("price", "least"), [(0, -14), (3, -5), (5, 0)])
def test_the_least_of_another_cost_for_a_part(price: int, least: int) -> None:
    """Product b: three spare 14, two 10, one 4, each at a price."""
    part = TwoProducts().program.part(np.array([3, 4, 5]), without=np.array([2]))
    assert least_cost(part, part.cost + price * np.array([1.0, 0, 0])) == pytest.approx(least)


def test_the_least_of_a_part_of_nothing_but_wide_amounts() -> None:
    """HiGHS solves it without branching: a million of the one that spares 3."""
    model, goal = LinearModel(1), Linear()
    amounts = [model.variable(name, 1_000_000, lambda _: 0) for name in ("resin", "wax")]
    model.at_most(Linear().plus(amounts[0], 1).plus(amounts[1], 1), 1_000_000, "one of both")
    for amount in amounts:
        goal.plus(amount, 1)
    part = program_of(model, goal)
    assert least_cost(part, np.array([-3.0, -2.0])) == pytest.approx(-3_000_000)


def test_the_work_limit_repeats() -> None:
    """The same work: the same values, bound and bounds on the way; more work: no lower bound."""
    program, hint = hard()

    def run(work: float) -> tuple[Proof, list[Proof]]:
        heard: list[Proof] = []
        return branch_and_cut(program, hint, Effort(work=work, seconds=60), heard.append), heard

    first, second = run(0.03), run(0.03)
    assert first == second
    assert not first[0].optimal  # the limit has bound
    more, heard = run(0.09)
    assert len(heard) > len(first[1])
    assert more.bound is not None
    assert first[0].bound is not None
    assert more.bound >= first[0].bound


def test_of_what_a_run_tells_the_best_is_kept() -> None:
    told = [
        Proof(values=None, bound=3, optimal=False),
        Proof(values=[1], bound=None, optimal=False),
        Proof(values=None, bound=2, optimal=False),
        Proof(values=[2], bound=None, optimal=False),
    ]
    reached = reduce(Proof.followed_by, told)
    assert reached == Proof(values=[2], bound=3, optimal=False)
    assert reached.followed_by(Proof(values=[2], bound=4, optimal=True)).optimal


def test_a_relaxation_ends_with_its_time() -> None:
    task = service_task(random_workshop(1, products=6, days=90, bottleneck="trays"))
    assert relaxed(program_of(task.model.model, task.goal), 0) is None


def test_a_start_that_misleads_is_left_out() -> None:
    """HiGHS 1.16 calls this draft optimal at 322,851: it loses 325,251, and the best 325,097."""
    task = service_task(random_workshop(2, products=3, days=30))
    program = program_of(task.model.model, task.goal)
    proof = branch_and_cut(program, task.hint, Effort(work=60, seconds=60))
    assert proof.values is not None
    assert proof.optimal
    assert task.goal.value(dict(enumerate(proof.values))) == proof.bound


@pytest.mark.parametrize("seed", [1, 2])
def test_another_seed_proves_the_same_optimum(seed: int) -> None:
    task = service_task(small_workshop(3))
    program = program_of(task.model.model, task.goal)
    one, other = (
        branch_and_cut(program, task.hint, Effort(work=60, seconds=60, seed=each))
        for each in (seed, 7)
    )
    assert one.optimal
    assert one.bound == other.bound


@pytest.mark.slow
def test_a_wide_gap_ends_it_sooner() -> None:
    """Then it need not be the best, but its bound still holds."""
    program, hint = hard()
    best, good = (
        branch_and_cut(program, hint, Effort(work=60, seconds=60, gap=gap)) for gap in (0.0, 1e9)
    )
    assert best.optimal
    assert good.optimal
    assert best.bound is not None
    assert good.bound is not None
    assert good.bound <= best.bound
    assert good.work < best.work


def test_nothing_below_a_cutoff_is_told_as_such_and_what_is_below_is_found() -> None:
    two = TwoProducts()
    program = two.program
    least = (TwoProducts.OPTIMUM - program.offset) / program.unit
    none, one = (
        branch_and_cut(program, None, Effort(work=10, seconds=60, cutoff=least + more))
        for more in (-0.5, 0.5)
    )
    assert (none.values, none.optimal) == (None, True)
    assert one.values is not None
    assert (one.bound, one.optimal) == (TwoProducts.OPTIMUM, True)


@pytest.mark.slow
def test_without_heuristics_the_same_is_proven() -> None:
    program, _ = hard()
    with_them, without = (
        branch_and_cut(program, None, Effort(work=60, seconds=60, heuristics=heuristics))
        for heuristics in (True, False)
    )
    assert with_them.optimal
    assert without.optimal
    assert with_them.bound == without.bound


@pytest.mark.slow
def test_looks_before_the_first_branch_may_count_for_more_work() -> None:
    """Twice as much each, three times as much: each time by as much more."""
    program, _ = hard()
    once, twice, thrice = (
        branch_and_cut(program, None, Effort(work=60, seconds=60, root=root)).work
        for root in (1.0, 2.0, 3.0)
    )
    assert once < twice
    assert thrice - twice == pytest.approx(twice - once)


def test_relaxations_between_other_bounds_one_after_the_other() -> None:
    """As each is by itself, in whatever order; none where nothing is feasible."""
    program, hint = hard()
    simplex = Simplex(program, 60)
    whole = relaxed(program, 60)
    assert whole is not None
    settled = np.array([hint[column] for column in range(program.columns)], float)
    half = np.arange(program.columns) % 2 == 0
    lower, upper = np.where(half, settled, program.lower), np.where(half, settled, program.upper)
    for _ in range(2):
        reached = simplex.least(program.lower, program.upper)
        assert reached is not None
        assert program.bound(reached[0]) == pytest.approx(whole.bound, rel=1e-5)
        assert simplex.least(program.lower, program.lower - 1) is None
        narrowed = simplex.least(lower, upper)
        assert narrowed is not None  # the draft lies in it
        assert reached[0] - 1e-6 <= narrowed[0] <= program.cost @ settled + 1e-6
        assert narrowed[1][half] == pytest.approx(settled[half], abs=1e-6)


def test_relaxations_one_after_the_other_end_with_their_time() -> None:
    task = service_task(random_workshop(1, products=6, days=90, bottleneck="trays"))
    program = program_of(task.model.model, task.goal)
    with pytest.raises(TimeoutError):
        Simplex(program, 0).least(program.lower, program.upper)
