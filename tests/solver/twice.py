"""A workshop's money twice: with the days of purchases, and with what is bought in all."""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from threading import Event
from time import monotonic

from planner.draft import purchases_for
from planner.draft.draft import draft
from planner.plan import Plan
from planner.settings import ProgressNote
from planner.solver.cheapest import CheapestInAll
from planner.solver.in_all import add_money_in_all
from planner.solver.linear import Linear
from planner.solver.model import PlanModel
from planner.solver.proving import Prover
from planner.solver.search import minimise
from planner.solver.task import Task
from planner.solver.unbought import Buy
from planner.workshop import Workshop
from tests.solver.pools import ENOUGH
from tests.solver.rows import broken_rows, settled


def bought(workshop: Workshop, plan: Plan) -> Iterator[Plan]:
    """A plan with purchases that cover what it uses, if there are any."""
    purchases = purchases_for(workshop, plan.batches, plan.preparations)
    if purchases is not None:
        yield replace(plan, purchases=tuple(purchases))


class Both:
    """A workshop's full model, and one without the days of purchases."""

    def __init__(self, workshop: Workshop, plan: Plan | None = None) -> None:
        self.workshop = workshop
        near = settled(workshop, draft(workshop)) if plan is None else plan
        self.full = PlanModel(workshop, with_purchases=True)
        self.bare = PlanModel(workshop, with_purchases=False)
        self.in_all: Linear = add_money_in_all(self.bare, self.full, near)

    def of(self, plan: Plan) -> tuple[int, int]:
        """What a plan costs by the full goal, and in all, where the plan keeps every row."""
        settled_plan = settled(self.workshop, plan)
        full = self.full.values_of(settled_plan)
        bare = self.bare.values_of(settled_plan)
        assert broken_rows(self.full.model, full) == []
        assert broken_rows(self.bare.model, bare) == []
        return self.full.money.value(full), self.in_all.value(bare)


class Searched(Both):
    """A small workshop's cheapest in all, from the draft on, and what was told meanwhile."""

    def __init__(self, workshop: Workshop, buy: Buy | None = None, seconds: float = 120) -> None:
        super().__init__(workshop)
        self.told: list[ProgressNote] = []
        self.prover = self._prover(self.full, self.full.money, seconds)
        self.in_all_prover = self._prover(self.bare, self.in_all, seconds)
        self.cheapest = CheapestInAll(
            prover=self.in_all_prover, full=self.prover, buy=buy or partial(bought, workshop)
        )

    def _prover(self, model: PlanModel, goal: Linear, seconds: float) -> Prover:
        hint = model.values_of(settled(self.workshop, draft(self.workshop)))
        loss = model.service.value(hint)
        model.model.at_most(Linear().add(model.service), loss, "no more lost")
        task = Task(stage="money", model=model, goal=goal, hint=hint, limits=ENOUGH)
        until = monotonic() + seconds
        return Prover(task=task, until=until, progress=self.told.append, stop=Event())

    def cost(self, values: dict[int, int]) -> int:
        """By the full goal, of an assignment that keeps every row."""
        assert broken_rows(self.full.model, values) == []
        return self.prover.task.goal.value(values)

    @property
    def optimum(self) -> int:
        """What CP-SAT proves of the full model."""
        found = minimise(self.prover.task)
        assert found.bound == self.prover.task.goal.value(found.values)
        return found.bound
