"""Bounds step by step: each higher than the one before, the tightest program last."""

import subprocess
import sys
from collections.abc import Sequence

import numpy as np
import pytest

from planner.solver import bounding
from planner.solver.bounding import Bound, Shared, bounds
from planner.solver.highs import Relaxation
from planner.solver.matrix import Program
from tests.solver.pools import TwoProducts


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
        return None if bound is None else Relaxation(bound=bound, duals=np.zeros(program.rows))

    monkeypatch.setattr(bounding, "relaxed", relaxed)


def test_the_relaxation_then_the_products_one_by_one() -> None:
    """Between the relaxation's 86 and the same 86 of the parts at its prices; see the pools."""
    steps = list(bounds([two()], 60, one_by_one=True))
    assert [step.place for step in steps] == [0, 0]
    assert steps[0].bound <= steps[1].bound <= TwoProducts.OPTIMUM
    assert list(bounds([two()], 60, one_by_one=False)) == steps[:1]


def test_a_program_that_says_no_more_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    programs = [two(), two(), two()]
    relaxing(monkeypatch, programs, [5, 5, 7])
    steps = list(bounds(programs, 60, one_by_one=False))
    assert steps == [Bound(place=0, bound=5), Bound(place=2, bound=7)]


def test_without_time_there_is_what_there_was_before(monkeypatch: pytest.MonkeyPatch) -> None:
    programs = [two(), two()]
    relaxing(monkeypatch, programs, [5, None])
    assert list(bounds(programs, 60, one_by_one=False)) == [Bound(place=0, bound=5)]
    relaxing(monkeypatch, programs, [None, 5])
    assert list(bounds(programs, 60, one_by_one=True)) == []


def test_the_process_that_bounds_does_not_wait_for_or_tools() -> None:
    """Half a second, where a small relaxation takes as long."""
    script = "import sys, planner.solver.bounding; print('ortools' in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert done.stdout == "False\n"
