"""Patterns of a day: all of them, no plan lost by them, and more proven than without.

Counted by hand or by going through all fillings, and against the optimum of the rows alone.
"""

from itertools import product
from threading import Event

import pytest

from planner.solver import patterns
from planner.solver.highs import Effort, branch_and_cut, relaxed
from planner.solver.linear import Knapsack, Linear, LinearModel
from planner.solver.matrix import Program, program_of
from planner.solver.model import PlanModel
from planner.solver.partition import PartSearch
from planner.solver.patterns import Patterned, patterns_of, with_patterns
from planner.solver.proving import Prover
from planner.workshop import Workshop
from tests.solver.pools import ENOUGH, service_task
from tests.workshops import random_workshop


@pytest.mark.parametrize(
    ("sizes", "capacity", "expected"),
    [
        ((250, 155), 400, [(1, 0), (0, 2)]),
        ((5, 3), 8, [(1, 1), (0, 2)]),
        ((5,), 4, [(0,)]),
        ((5,), -1, []),
    ],
)
def test_patterns_are_the_fillings_to_which_nothing_can_be_added(
    sizes: tuple[int, ...], capacity: int, expected: list[tuple[int, ...]]
) -> None:
    assert patterns_of(sizes, capacity) == tuple(expected)


@pytest.mark.parametrize("sizes", [(7, 4, 3), (9, 5), (6, 4, 2), (155, 110, 40)])
def test_each_filling_is_below_a_pattern_and_each_pattern_is_one(sizes: tuple[int, ...]) -> None:
    """Counted through for a capacity of three times the largest."""
    capacity = 3 * sizes[0]
    found = patterns_of(sizes, capacity)
    assert found is not None
    assert len(set(found)) == len(found)
    fillings = [
        counts
        for counts in product(*(range(capacity // size + 1) for size in sizes))
        if sum(n * size for n, size in zip(counts, sizes, strict=True)) <= capacity
    ]
    assert set(found) <= set(fillings)
    for counts in fillings:
        assert any(all(n <= m for n, m in zip(counts, one, strict=True)) for one in found)


def test_too_many_patterns_are_none(monkeypatch: pytest.MonkeyPatch) -> None:
    sizes = tuple(range(60, 30, -1))
    assert patterns_of(sizes, 480) is None
    day = one_day(3, 2)
    monkeypatch.setattr(patterns, "MOST", 1)
    assert with_patterns(program_of(day, spared(day)), day.knapsacks) is None


def one_day(large: int, small: int) -> LinearModel:
    """400 min for steps of 250 and of 155, of each of which there may be so many."""
    model = LinearModel(1)
    counts = {
        size: Linear().plus(model.variable(name, most, lambda _: 0), 1)
        for size, name, most in ((250, "large", large), (155, "small", small))
    }
    model.knapsack(Knapsack(counts=counts, capacity=400, day=0), "hands")
    return model


def spared(model: LinearModel) -> Linear:
    """A step of 250 min spares 3 of a loss of 100, one of 155 min spares 2."""
    large, small = (model.proto.get_int_var_from_proto_index(index) for index in (0, 1))
    return Linear(constant=100).plus(large, -3).plus(small, -2)


def bound_of(program: Program) -> int:
    relaxation = relaxed(program, 60)
    assert relaxation is not None
    return relaxation.bound


def test_no_part_of_a_step_fills_the_rest_of_a_day() -> None:
    """Two of 155 spare 4. By minutes alone, 400 / 155 = 2.58 of them would spare 5.2."""
    day = one_day(3, 3)
    program = program_of(day, spared(day))
    assert bound_of(program) == 95
    patterned = with_patterns(program, day.knapsacks)
    assert patterned is not None
    assert bound_of(patterned.program) == 96


def test_without_knapsacks_there_is_nothing_to_add() -> None:
    day = one_day(3, 3)
    program = program_of(day, spared(day))
    assert with_patterns(program, []) is None
    empty = Knapsack(counts={}, capacity=400, day=0)
    assert with_patterns(program, [empty]) is None


def scarce(seed: int) -> Workshop:
    """Two products for a month, whose demand needs more than all hands."""
    return random_workshop(seed, products=2, days=30, bottleneck="hands")


def both(workshop: Workshop) -> tuple[Program, Patterned]:
    model = PlanModel(workshop, with_purchases=False)
    program = program_of(model.model, model.service)
    patterned = with_patterns(program, model.model.knapsacks)
    assert patterned is not None
    return program, patterned


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(1, 5))
def test_the_optimum_is_the_same_and_the_relaxation_no_lower(seed: int) -> None:
    program, patterned = both(scarce(seed))
    hint = service_task(scarce(seed)).hint
    effort = Effort(work=60, seconds=120)
    plain = branch_and_cut(program, hint, effort)
    kept = branch_and_cut(patterned.program, patterned.completed(hint), effort)
    assert plain.optimal
    assert kept.optimal
    assert plain.bound == kept.bound
    assert bound_of(program) <= bound_of(patterned.program) <= plain.bound


def test_they_prove_more_where_hands_are_short() -> None:
    program, patterned = both(random_workshop(14, products=6, days=60, bottleneck="hands"))
    assert bound_of(patterned.program) > bound_of(program)


@pytest.mark.parametrize("seed", range(1, 4))
def test_a_plan_takes_a_pattern_each_day(seed: int) -> None:
    _, patterned = both(scarce(seed))
    values = patterned.completed(service_task(scarce(seed)).hint)
    assert len(values) == patterned.program.columns
    assert patterned.program.holds([values[column] for column in range(len(values))])


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(1, 4))
def test_the_proof_with_patterns_is_of_the_whole_program(seed: int) -> None:
    """And its values are those of the program's own columns."""
    task = service_task(scarce(seed), ENOUGH)
    prover = Prover(task=task, until=1e12, progress=lambda _: None, stop=Event())
    bound = prover.relaxation_bound()
    assert bound is not None
    proof = PartSearch(prover, ENOUGH, 1, prover.stop).closed(task.hint, bound)
    assert len(proof.values) == prover.program.columns
    assert prover.program.holds([proof.values[column] for column in range(len(proof.values))])
    assert bound <= task.goal.value(proof.values) == proof.bound
