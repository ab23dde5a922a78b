"""The three stages of a solve: service, then money, then calm. The door to the solver.

Each stage starts from a whole plan as the hint of every variable, may not make an earlier goal
worse, and tells the bound that no plan can be below.
"""

from dataclasses import dataclass, replace
from threading import Event
from time import monotonic

from planner.frozen import orders_placed
from planner.plan import Plan, Stage, Status
from planner.settings import Progress
from planner.solver.calm import add_calm
from planner.solver.changes import add_changes, add_frozen
from planner.solver.exchange import plan_of
from planner.solver.linear import Linear
from planner.solver.model import PlanModel
from planner.solver.neighbourhood import NeighbourhoodSearch
from planner.solver.search import Found, Limits, NoPlanFound, minimise
from planner.workshop import Workshop

IN_PARTS = 0.4
"""Share of a stage's work that goes into looking for a better plan part by part."""

__all__ = ["Answer", "Limits", "NoPlanFound", "Stages"]


@dataclass(frozen=True, kw_only=True)
class Answer:
    """A stage's plan and how good it is proven to be."""

    plan: Plan
    stage: Stage


class Stages:
    """The stages of one workshop's solve; `stored` is the plan to stay close to, if any."""

    def __init__(
        self,
        workshop: Workshop,
        stored: Plan | None = None,
        progress: Progress | None = None,
        stop: Event | None = None,
    ) -> None:
        self.workshop = workshop
        self.stored = stored
        self.progress = progress
        self.stop = stop
        self._full: PlanModel | None = None

    def service(self, start: Plan, limits: Limits) -> Answer:
        """Lose as little as can be; purchases are left out of the plan. Raises NoPlanFound."""
        frozen = self.stored is not None and self.workshop.costs.frozen_days
        workshop = orders_placed(self.workshop, start) if frozen else self.workshop
        model = PlanModel(workshop, False, self.stored)
        self._freeze(model, start)
        found = self._minimise_in_parts("service", model, model.service, start, limits)
        return self._answer("service", model, found)

    def service_with_purchases(self, start: Plan, limits: Limits) -> Answer:
        """The same with purchases decided at once. Raises NoPlanFound."""
        model = self._model_with_purchases(start)
        found = self._minimise("service", model, model.service, start, limits)
        return self._answer("service", model, found)

    def money(self, start: Plan, limits: Limits) -> Answer:
        """Spend as little as can be while losing no more than `start`. Raises NoPlanFound."""
        model = self._model_with_purchases(start)
        service = model.service.value(model.values_of(start))
        model.model.at_most(Linear().add(model.service), service, "no more lost")
        found = self._minimise("money", model, model.money, start, limits)
        return self._answer("money", model, found)

    def calm(self, start: Plan, limits: Limits) -> Answer:
        """Change as little as can be, then early, at no more loss and money than `start`."""
        model = self._model_with_purchases(start)
        money = model.money.value(model.values_of(start))
        model.model.at_most(Linear().add(model.money), money, "no more money")
        goal = add_calm(model.model, model.variables, self.stored)
        found = self._minimise("calm", model, goal, start, limits)
        return self._answer("calm", model, found)

    def _model_with_purchases(self, start: Plan) -> PlanModel:
        """The full model is built once; later stages only add rows to it."""
        if self._full is None:
            self._full = PlanModel(self.workshop, True, self.stored)
            self._freeze(self._full, start)
        return self._full

    def _freeze(self, model: PlanModel, start: Plan) -> None:
        """Change no more in the frozen days than the start does; of some of it nothing may be left.

        A day may have been closed since, a lot may have spoiled.
        """
        frozen = self.workshop.costs.frozen_days
        if self.stored is None or not frozen:
            return
        changes = add_changes(model.model, model.variables, self.stored, frozen)
        least = changes.value(model.values_of(start))
        model.model.at_most(changes, least, "changes in the frozen days")
        if not least:  # says the same, and leaves the solver less to find out
            add_frozen(model.model, model.variables, self.stored)

    def _minimise_in_parts(
        self, stage: str, model: PlanModel, goal: Linear, start: Plan, limits: Limits
    ) -> Found:
        """With one worker, look for a better plan part by part first, then prove and improve it.

        Several workers do both at once by themselves.
        """
        hint = model.values_of(start)
        if limits.workers == 1:
            parts = NeighbourhoodSearch(
                model.model, model.variables, goal, limits.seed, self.progress, self.stop
            )
            started = monotonic()
            until = started + limits.seconds * IN_PARTS
            hint = parts.improve(hint, stage, limits.work * IN_PARTS, until)
            limits = replace(
                limits,
                work=limits.work * (1 - IN_PARTS),
                seconds=limits.seconds - (monotonic() - started),
            )
        return minimise(model.model, goal, hint, limits, stage, self.progress, self.stop)

    def _minimise(
        self, stage: str, model: PlanModel, goal: Linear, start: Plan, limits: Limits
    ) -> Found:
        hint = model.values_of(start)
        return minimise(model.model, goal, hint, limits, stage, self.progress, self.stop)

    def _answer(self, goal: str, model: PlanModel, found: Found) -> Answer:
        return Answer(
            plan=plan_of(model.variables, found.of),
            stage=Stage(
                goal=goal,
                value=found.value,
                bound=found.bound,
                seconds=found.seconds,
                status=Status(found.status),
            ),
        )
