"""The cheapest in all: no plan costs less than is proven, and what is found is a plan."""

from dataclasses import replace
from threading import Event
from time import monotonic

import pytest

from planner.draft import purchases_for
from planner.draft.draft import draft
from planner.plan import Plan
from planner.settings import ProgressNote
from planner.solver.cheapest import Buy, CheapestInAll
from planner.solver.in_all import add_money_in_all
from planner.solver.linear import Linear
from planner.solver.model import PlanModel
from planner.solver.proving import Prover
from planner.solver.search import minimise
from planner.solver.task import Limits, Task
from planner.workshop import Workshop
from tests.solver.pools import ENOUGH
from tests.solver.rows import broken_rows, settled
from tests.workshops import random_workshop


class Searched:
    """A small workshop's cheapest in all, from the draft on, and what was told meanwhile."""

    def __init__(self, workshop: Workshop, buy: Buy | None = None, seconds: float = 120) -> None:
        self.workshop = workshop
        self.told: list[ProgressNote] = []
        full = PlanModel(workshop, with_purchases=True)
        bare = PlanModel(workshop, with_purchases=False)
        goal = add_money_in_all(bare, full)
        self.full = self._prover(full, full.money, seconds)
        self.in_all = self._prover(bare, goal, seconds)
        self.cheapest = CheapestInAll(prover=self.in_all, full=self.full, buy=buy or self._bought)

    def _prover(self, model: PlanModel, goal: Linear, seconds: float) -> Prover:
        hint = model.values_of(settled(self.workshop, draft(self.workshop)))
        loss = model.service.value(hint)
        model.model.at_most(Linear().add(model.service), loss, "no more lost")
        task = Task(stage="money", model=model, goal=goal, hint=hint, limits=ENOUGH)
        until = monotonic() + seconds
        return Prover(task=task, until=until, progress=self.told.append, stop=Event())

    def _bought(self, plan: Plan) -> Plan | None:
        purchases = purchases_for(self.workshop, plan.batches, plan.preparations)
        return None if purchases is None else replace(plan, purchases=tuple(purchases))

    def cost(self, values: dict[int, int]) -> int:
        """By the full goal, of an assignment that keeps every row."""
        assert broken_rows(self.full.task.model.model, values) == []
        return self.full.task.goal.value(values)

    @property
    def optimum(self) -> int:
        """What CP-SAT proves of the full model."""
        found = minimise(self.full.task)
        assert found.bound == self.full.task.goal.value(found.values)
        return found.bound


def few(seed: int = 2) -> Workshop:
    return random_workshop(seed, products=2, days=30)


@pytest.mark.parametrize("seed", [2, 3])
def test_no_plan_costs_less_than_is_proven(seed: int) -> None:
    searched = Searched(few(seed))
    found, work = searched.cheapest.proven(ENOUGH)
    assert found.bound is not None
    assert found.bound <= searched.optimum <= searched.cost(found.values)
    assert searched.cost(found.values) <= searched.full.task.goal.value(searched.full.task.hint)
    assert work > 0


def test_branch_and_cut_proves_more_than_the_relaxation_and_finds_a_cheaper_plan() -> None:
    searched = Searched(few())
    linear = searched.in_all.linear_bound()
    found, _ = searched.cheapest.proven(ENOUGH)
    assert linear is not None
    assert found.bound is not None
    assert linear < found.bound
    assert searched.cost(found.values) < searched.full.task.goal.value(searched.full.task.hint)


def test_windows_find_a_cheaper_plan_once_the_relaxation_is_solved() -> None:
    searched = Searched(few())
    limits = Limits(work=3, seconds=60, seed=1, workers=1)
    searched.cheapest.relaxed.set_result(searched.in_all.linear_bound())
    found = searched.cheapest.improved(limits, Event())
    assert found.bound is None
    assert searched.cost(found.values) < searched.full.task.goal.value(searched.full.task.hint)


def test_what_is_told_is_what_a_plan_costs() -> None:
    searched = Searched(few())
    searched.in_all.progress = lambda _: None  # as the money stage does
    found, _ = searched.cheapest.proven(ENOUGH)
    values = [note.value for note in searched.told if note.value is not None]
    assert values[-1] == searched.cost(found.values)
    assert min(values) == values[-1]


@pytest.mark.parametrize("buy", [lambda _: None, lambda plan: replace(plan, purchases=())])
def test_a_plan_that_cannot_be_bought_for_does_not_count(buy: Buy) -> None:
    """None covers what it uses, or what was bought breaks a row of the full model."""
    searched = Searched(few(), buy)
    found, _ = searched.cheapest.proven(ENOUGH)
    assert found.values == searched.full.task.hint
    assert found.bound is not None


def test_without_time_nothing_is_proven_or_found() -> None:
    searched = Searched(few(), seconds=0)
    found, work = searched.cheapest.proven(ENOUGH)
    assert (found.values, found.bound, work) == (searched.full.task.hint, None, 0.0)
    assert searched.cheapest.improved(ENOUGH, Event()).values == searched.full.task.hint


def test_whoever_waits_for_the_relaxation_hears_of_its_failure() -> None:
    searched = Searched(few())

    def fails() -> int:
        raise OSError("no process")

    searched.in_all.linear_bound = fails  # type: ignore[method-assign]
    with pytest.raises(OSError, match="no process"):
        searched.cheapest.proven(ENOUGH)
    assert searched.cheapest.improved(ENOUGH, Event()).values == searched.full.task.hint
