"""The cheapest in all: no plan costs less than is proven, and what is found is a plan."""

from dataclasses import replace
from threading import Event

import pytest

from planner.solver import unbought
from planner.solver.highs import Proof
from planner.solver.task import Limits
from planner.solver.unbought import Buy
from planner.workshop import Workshop
from tests.solver.pools import ENOUGH
from tests.solver.twice import Searched
from tests.workshops import random_workshop


def few(seed: int = 14) -> Workshop:
    return random_workshop(seed, products=2, days=30)


@pytest.mark.slow
@pytest.mark.parametrize("seed", [2, 3])
def test_no_plan_costs_less_than_is_proven(seed: int) -> None:
    searched = Searched(few(seed))
    found, work = searched.cheapest.proven(ENOUGH)
    assert found.bound is not None
    assert found.bound <= searched.optimum <= searched.cost(found.values)
    assert searched.cost(found.values) <= searched.prover.task.goal.value(searched.prover.task.hint)
    assert work > 0


def test_branch_and_cut_proves_more_than_the_relaxation_and_finds_a_cheaper_plan() -> None:
    searched = Searched(few())
    linear = searched.in_all_prover.linear_bound()
    found, _ = searched.cheapest.proven(ENOUGH)
    assert linear is not None
    assert found.bound is not None
    assert linear < found.bound
    assert searched.cost(found.values) < searched.prover.task.goal.value(searched.prover.task.hint)


@pytest.mark.slow
def test_windows_find_a_cheaper_plan_once_the_relaxation_is_solved() -> None:
    searched = Searched(few())
    limits = Limits(work=3, seconds=60, seed=1, workers=1)
    searched.cheapest.relaxed.set_result(searched.in_all_prover.linear_bound())
    found = searched.cheapest.improved(limits, 1, Event())
    assert found.bound is None
    assert searched.cost(found.values) < searched.prover.task.goal.value(searched.prover.task.hint)


def test_what_is_told_is_what_a_plan_costs() -> None:
    searched = Searched(few())
    searched.in_all_prover.progress = lambda _: None  # as the money stage does
    found, _ = searched.cheapest.proven(ENOUGH)
    values = [note.value for note in searched.told if note.value is not None]
    assert values[-1] == searched.cost(found.values)
    assert min(values) == values[-1]


@pytest.mark.parametrize("buy", [lambda _: [], lambda plan: [replace(plan, purchases=())]])
def test_a_plan_that_cannot_be_bought_for_does_not_count(buy: Buy) -> None:
    """None covers what it uses, or what was bought breaks a row of the full model."""
    searched = Searched(few(15), buy)
    found, _ = searched.cheapest.proven(ENOUGH)
    assert found.values == searched.prover.task.hint
    assert found.bound is not None


def test_a_bound_told_beyond_the_cutoff_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    """The start itself costs no more in all, though the tree may end far above it."""
    searched = Searched(few())
    value = searched.in_all.value(searched.in_all_prover.task.hint)

    def ended(*arguments: object) -> Proof:
        proof = Proof(values=None, bound=2 * value, optimal=False)
        arguments[-1](proof)  # type: ignore[operator]
        return proof

    monkeypatch.setattr(unbought, "branched_apart", ended)
    found, _ = searched.cheapest.proven(ENOUGH)
    assert found.bound == value


def test_without_time_nothing_is_proven_or_found() -> None:
    searched = Searched(few(), seconds=0)
    found, work = searched.cheapest.proven(ENOUGH)
    assert (found.values, found.bound, work) == (searched.prover.task.hint, None, 0.0)
    assert searched.cheapest.improved(ENOUGH, 1, Event()).values == searched.prover.task.hint


def test_whoever_waits_for_the_relaxation_hears_of_its_failure() -> None:
    searched = Searched(few())

    def fails() -> int:
        raise OSError("no process")

    searched.in_all_prover.linear_bound = fails  # type: ignore[method-assign]
    with pytest.raises(OSError, match="no process"):
        searched.cheapest.proven(ENOUGH)
    assert searched.cheapest.improved(ENOUGH, 1, Event()).values == searched.prover.task.hint
