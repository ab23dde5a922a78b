"""Bounds step by step: each higher than the one before, the tightest program last."""

import subprocess
import sys
from collections.abc import Sequence

import numpy as np
import pytest

from planner.solver import bounding
from planner.solver.bounding import Bound, Shared, bounds, branched
from planner.solver.highs import Effort, Proof, Relaxation
from planner.solver.matrix import Program, program_of
from tests.solver.pools import TwoProducts, service_task
from tests.workshops import random_workshop


def two() -> Shared:
    products = TwoProducts()
    return Shared(program=products.program, rows=products.model.shared_rows)


def relaxing(
    monkeypatch: pytest.MonkeyPatch, programs: Sequence[Shared], found: Sequence[int | None]
) -> None:
    """Relaxations of programs that come to given bounds."""

    def relaxed(program: Program, seconds: float) -> Relaxation | None:
        place = next(n for n, shared in enumerate(programs) if shared.program is program)
        bound = found[place]
        duals = np.zeros(program.rows)
        return None if bound is None else Relaxation(bound=bound, duals=duals)

    monkeypatch.setattr(bounding, "relaxed", relaxed)


def everything_told(programs: Sequence[Shared], one_by_one: bool = True) -> list[Bound | None]:
    steps: list[Bound | None] = []
    bounds(steps.append, programs, 60, one_by_one)
    return steps


def told(programs: Sequence[Shared], one_by_one: bool = True) -> list[tuple[int, int]]:
    """Place and bound of each."""
    steps = everything_told(programs, one_by_one)
    return [(step.place, step.bound) for step in steps if isinstance(step, Bound)]


def test_the_relaxation_then_the_products_one_by_one() -> None:
    """Between the relaxation's 86 and the same 86 of the parts at its prices; see the pools."""
    steps = told([two()])
    assert [place for place, _ in steps] == [0, 0]
    assert steps[0][1] <= steps[1][1] <= TwoProducts.OPTIMUM
    assert told([two()], one_by_one=False) == steps[:1]


def test_what_the_relaxations_prove_is_told_before_the_products_begin() -> None:
    """With the prices of its rows: they are those of the relaxation, not of the products."""
    relaxation, between, products = everything_told([two()])
    assert relaxation is not None
    assert relaxation.prices is not None
    assert between is None
    assert products is not None
    assert products.prices is None
    assert len(everything_told([two()], one_by_one=False)) == 1


def test_a_program_that_says_no_more_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    programs = [two(), two(), two()]
    relaxing(monkeypatch, programs, [5, 5, 7])
    assert told(programs, one_by_one=False) == [(0, 5), (2, 7)]


def test_without_time_there_is_what_there_was_before(monkeypatch: pytest.MonkeyPatch) -> None:
    programs = [two(), two()]
    relaxing(monkeypatch, programs, [5, None])
    assert told(programs, one_by_one=False) == [(0, 5)]
    relaxing(monkeypatch, programs, [None, 5])
    assert told(programs) == []


def test_branch_and_cut_tells_what_it_comes_to_on_the_way_and_in_the_end() -> None:
    """Rising bounds, plans that lose less and less, then both at the optimum."""
    task = service_task(random_workshop(6, products=2, days=30, bottleneck="hands"))
    program = program_of(task.model.model, task.goal)
    steps: list[Proof] = []
    branched(steps.append, program, task.hint, Effort(work=60, seconds=60))
    known = [step.bound for step in steps if step.bound is not None]
    plans = [step.values for step in steps if step.values is not None]
    losses = [task.goal.value(dict(enumerate(plan))) for plan in plans]
    assert known == sorted(known)
    assert losses == sorted(losses, reverse=True)
    assert len(steps) > 2
    last = steps[-1]
    assert last.optimal
    assert last.bound == losses[-1] < task.goal.value(task.hint)


def test_the_process_that_bounds_does_not_wait_for_or_tools() -> None:
    """Half a second, where a small relaxation takes as long."""
    script = "import sys, planner.solver.bounding; print('ortools' in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert done.stdout == "False\n"
