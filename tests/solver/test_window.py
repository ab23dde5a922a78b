"""What is free in a window of days: all else stays, and every plan fits into it."""

import numpy as np
import pytest

from planner.solver.proving import Prover
from planner.solver.tying import Tied
from planner.solver.window import Window, counted, tied_outside
from tests.solver.provers import prover_of, scarce

pytestmark = pytest.mark.slow


def tied(prover: Prover, window: Window) -> Tied:
    """The hint's tight program but for a window."""
    task = prover.task
    return tied_outside(task.model.variables, prover.branching.program, task.hint, window)


@pytest.mark.parametrize("first", [-10, 0, 20, 50])
def test_what_is_planned_fits_into_every_window(first: int) -> None:
    """And comes out as it was: the smaller program costs as much and keeps its rows."""
    task = scarce()
    prover = prover_of(task)
    some = tied(prover, Window(first=first, end=first + 20))
    whole = prover.branching.completed(task.hint)
    inside = some.narrowed(whole)
    assert some.program.columns < prover.branching.program.columns
    assert some.program.holds([inside[column] for column in range(len(inside))])
    widened = some.widened([inside[column] for column in range(len(inside))])
    assert dict(enumerate(widened)) == whole


def test_a_window_over_the_whole_plan_ties_nothing() -> None:
    task = scarce()
    prover = prover_of(task)
    some = tied(prover, Window(first=-60, end=120))
    assert some.program.columns == prover.branching.program.columns


@pytest.mark.parametrize(
    ("one", "other", "days"),
    [((0, 10), (15, 20), 5), ((15, 20), (0, 10), 5), ((0, 10), (10, 20), 0), ((0, 10), (8, 9), -2)],
)
def test_days_between_windows(one: tuple[int, int], other: tuple[int, int], days: int) -> None:
    first, second = (Window(first=each[0], end=each[1]) for each in (one, other))
    assert first.distance(second) == days


def test_counts_of_batches_and_lots_are_marked() -> None:
    """Where batches are poured and packed, and nothing that only tightens the program."""
    task = scarce()
    program = prover_of(task).branching.program
    marked = counted(task.model.variables, program)
    variables = task.model.variables
    steps = {
        step.index
        for count in (*variables.poured.values(), *variables.packed.values())
        for step in count.steps
    }
    assert steps <= set(np.flatnonzero(marked).tolist())
    assert len(marked) == program.columns
    assert not marked[len(task.hint) :].any()
