"""Counts between an assignment and the relaxation: both are in it, nothing else is looked at."""

import numpy as np
import pytest

from planner.solver import between as between_file
from planner.solver.between import between
from planner.solver.bounding import branched_between
from planner.solver.highs import Effort, Proof, Simplex
from planner.solver.matrix import TOLERANCE, Flags, Program
from planner.solver.window import counted
from tests.solver.provers import prover_of, scarce

EFFORT = Effort(work=1.0, seconds=60.0)

Case = tuple[Program, dict[int, int], Flags]


@pytest.fixture(scope="module")
def case() -> Case:
    """A tight program, what is planned, and the columns that count batches."""
    task = scarce()
    tightened = prover_of(task).branching
    counts = counted(task.model.variables, tightened.program)
    return tightened.program, tightened.completed(task.hint), counts


@pytest.mark.slow
def test_counts_reach_from_what_is_planned_to_the_relaxation(case: Case) -> None:
    """And no further than to the next whole number; all other columns are as they were."""
    program, values, counts = case
    narrowed = between(program, values, counts, seconds=60.0)
    least = Simplex(program, 60.0).least(program.lower, program.upper)
    assert narrowed is not None
    assert least is not None
    cost, relaxed = least
    for place in np.flatnonzero(counts):
        lower, upper = narrowed.lower[place], narrowed.upper[place]
        lowest, highest = sorted((values[place], relaxed[place]))
        assert lowest - 1 < lower <= lowest + TOLERANCE
        assert highest + 1 > upper >= highest - TOLERANCE
    others = ~counts
    assert (narrowed.lower[others] == program.lower[others]).all()
    assert (narrowed.upper[others] == program.upper[others]).all()
    assert (narrowed.lower == narrowed.upper).sum() > (program.lower == program.upper).sum()
    again = Simplex(narrowed, 60.0).least(narrowed.lower, narrowed.upper)
    assert again is not None
    assert again[0] == pytest.approx(cost)


def test_what_is_found_is_an_assignment_of_the_whole_program(case: Case) -> None:
    program, values, counts = case
    told: list[Proof] = []
    branched_between(told.append, program, values, EFFORT, counts)
    found = told[-1].values
    assert found is not None
    assert program.holds(found)
    assert program.cost @ found < sum(program.cost[column] * values[column] for column in values)


def test_where_the_relaxation_is_not_solved_in_time_nothing_is_told(
    monkeypatch: pytest.MonkeyPatch, case: Case
) -> None:
    class Slow:
        def __init__(self, *_: object) -> None: ...

        def least(self, *_: object) -> None:
            raise TimeoutError

    monkeypatch.setattr(between_file, "Simplex", Slow)
    told: list[Proof] = []
    branched_between(told.append, *case[:2], EFFORT, case[2])
    assert told == []
