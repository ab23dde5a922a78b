"""A tighter program says the same of whole values: the same optimum, no lower relaxation."""

import pytest

from planner.solver import patterns
from planner.solver.highs import Effort, branch_and_cut, relaxed
from planner.solver.matrix import program_of
from planner.solver.search import minimise
from planner.solver.tightening import Tightened, tightenings
from tests.solver.pools import service_task, small_workshop
from tests.workshops import random_workshop

pytestmark = pytest.mark.slow


@pytest.mark.parametrize("seed", [0, 1, 2, 3, 4, 5, 8, 9, 12, 13, 16, 17])
def test_the_optimum_stays_and_the_relaxation_comes_nearer(seed: int) -> None:
    """Two products for a month with anything there is: dates, levels, launches, orders."""
    task = service_task(small_workshop(seed))
    model = task.model.model
    program = program_of(model, task.goal)
    optimum = minimise(task)
    least = task.goal.value(optimum.values)
    plain = relaxed(program, 60)
    assert plain is not None
    for each in tightenings(program, model):
        tight = relaxed(each.program, 60)
        assert tight is not None
        assert plain.bound <= tight.bound <= least
        for branched in (each, each.reduced(tight.duals)):
            hint = branched.completed(task.hint)
            proof = branch_and_cut(branched.program, hint, Effort(work=60, seconds=60))
            assert proof.optimal
            assert proof.values is not None
            assert task.goal.value(dict(enumerate(proof.values))) == least
        completed = each.completed(optimum.values)
        assert each.program.holds([completed[column] for column in range(each.program.columns)])


def test_reduced_it_is_smaller_and_proves_as_much() -> None:
    task = service_task(random_workshop(9, products=3, days=60, bottleneck="hands"))
    program = program_of(task.model.model, task.goal)
    covered, patterned = tightenings(program, task.model.model)
    assert covered.patterned is None
    assert patterned.patterned is not None
    bounds = []
    for each in (covered, patterned):
        relaxation = relaxed(each.program, 60)
        assert relaxation is not None
        few = each.reduced(relaxation.duals)
        again = relaxed(few.program, 60)
        assert again is not None
        assert again.bound == pytest.approx(relaxation.bound, rel=1e-4)
        assert program.rows + program.columns < few.size < each.size
        bounds.append(relaxation.bound)
    assert bounds[0] <= bounds[1]


def test_shared_rows_are_those_of_patterns_too_and_covers_are_implied() -> None:
    task = service_task(random_workshop(9, products=2, days=30, bottleneck="hands"))
    program = program_of(task.model.model, task.goal)
    _, patterned = tightenings(program, task.model.model)
    shared = patterned.shared
    others = set(range(program.rows, shared.program.rows))
    assert set(shared.implied) | set(shared.rows) >= others
    assert not set(shared.implied) & set(shared.rows)
    assert set(task.model.model.shared_rows) <= set(shared.rows)


def test_a_program_alone_is_left_as_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    task = service_task(random_workshop(9, products=2, days=30, bottleneck="hands"))
    program = program_of(task.model.model, task.goal)
    alone = Tightened(base=program, model=task.model.model)
    assert alone.program is program
    assert alone.size == program.rows + program.columns
    assert alone.completed(task.hint) == task.hint
    relaxation = relaxed(program, 60)
    assert relaxation is not None
    assert alone.reduced(relaxation.duals) is alone
    monkeypatch.setattr(patterns, "MOST", 1)
    assert alone.with_patterns() is None
