"""The three stages of a solve: service, then money, then calm. The door to the solver.

Each stage starts from a whole plan as the hint of every variable, may not make an earlier goal
worse, and tells the bound that no plan can be below.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from threading import Event
from time import monotonic

from planner.frozen import frozen_changes, orders_placed
from planner.plan import Plan, Stage, Status
from planner.settings import Progress
from planner.solver.board import Board
from planner.solver.calm import Calm, add_calm
from planner.solver.calming import Unmoved, calmed
from planner.solver.changes import add_changes, add_frozen, add_moved
from planner.solver.exchange import plan_of
from planner.solver.in_all import add_money_in_all
from planner.solver.linear import Linear
from planner.solver.model import PlanModel
from planner.solver.neighbourhood import LARGEST_IN_PARTS
from planner.solver.saving import MoneySearch
from planner.solver.search import NoPlanFound, minimise
from planner.solver.serving import Searches, ServiceSearch
from planner.solver.task import Found, Limits, Task
from planner.solver.unbought import Buy, Unbought
from planner.workshop import Workshop

__all__ = ["Answer", "Limits", "NoPlanFound", "Searches", "Stages"]

AT_ONCE = 5_000
"""Rows and columns up to which the calm goal is minimised as a whole."""


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
        self.stop = stop or Event()
        self._full: PlanModel | None = None
        self._covers: Sequence[int] | None = None  # those that prove most of what is lost

    def service(
        self, start: Plan, limits: Limits, searches: Searches | None = None, worth: int = 0
    ) -> Answer:
        """Lose as little as can be; purchases are left out of the plan. Raises NoPlanFound.

        With searches of the caller's the bound is proven beside them, and the solver goes on from
        what they find. There each batch poured as in the stored plan is worth so many thousandths.
        """
        model = self._model_without_purchases(start)
        if searches is None:
            return self._minimise("service", model, model.service, start, limits)
        started = monotonic()
        near = self._near(model, worth)
        task = replace(_task("service", model, model.service, start, limits), judged_by=near)
        search = ServiceSearch(task, searches, Board(self.progress).hear, self.stop)
        found = search.run()
        self._covers = search.covers
        return _answer(task, found, monotonic() - started)

    def service_with_purchases(self, start: Plan, limits: Limits) -> Answer:
        """The same with purchases decided at once. Raises NoPlanFound."""
        model = self._model_with_purchases(start)
        return self._minimise("service", model, model.service, start, limits)

    def money(self, start: Plan, limits: Limits, buy: Buy | None = None, least: int = 0) -> Answer:
        """Spend as little as can be while losing no more than `start`. Raises NoPlanFound.

        With a way to buy for plans, those count too that are found without the days of purchases.
        No plan loses less than the `least`: it tells the relaxation what is not to be had.
        """
        started = monotonic()
        model = self._model_with_purchases(start)
        _lose_no_more(model, start, least)
        in_all = None if buy is None else self._in_all(model, start, limits, buy, least)
        left = max(0.0, limits.seconds - (monotonic() - started))
        task = _task("money", model, model.money, start, replace(limits, seconds=left))
        found = MoneySearch(task, Board(self.progress).hear, self.stop, in_all).run()
        return _answer(task, found, monotonic() - started)

    def _in_all(
        self, model: PlanModel, start: Plan, limits: Limits, buy: Buy, least: int
    ) -> Unbought | None:
        """The money stage without the days of purchases.

        None where the model is large, or days are frozen, which what is found would change.
        """
        if model.model.size > LARGEST_IN_PARTS or (self.stored and self.workshop.costs.frozen_days):
            return None
        bare = PlanModel(self.workshop, False, self.stored)
        goal = add_money_in_all(bare, model, start)
        _lose_no_more(bare, start, least)
        task = _task("money", bare, goal, start, limits)
        return Unbought(task=task, buy=buy, covers=self._covers)

    def calm(self, start: Plan, limits: Limits, dearer: int = 0, buy: Buy | None = None) -> Answer:
        """Change as little as can be, then early, at no more loss than `start`.

        It may cost `dearer` thousandths more: a batch's day is hardly ever without a price. Where
        `start` changes nothing there is nothing to look for. With a way to buy for plans, those
        count too that are found without the days of purchases. Raises NoPlanFound.
        """
        started = monotonic()
        model = self._model_with_purchases(start)
        money = model.money.value(model.values_of(start))
        model.model.at_most(Linear().add(model.money), money + dearer, "not much more money")
        calm = add_calm(model.model, model.variables, self.stored)
        task = _task("calm", model, calm.goal, start, limits)
        bound = calm.bound_at(task.hint, model.variables)
        if bound is not None:
            found = Found(task.hint, bound)
        else:
            bare = self._calm_bare(task, calm, start, buy)
            left = max(0.0, limits.seconds - (monotonic() - started))
            task = replace(task, limits=replace(limits, seconds=left))
            found = self._calmer(task, bare, calm.counted(self.progress))
        answer = _answer(task, found, monotonic() - started)
        return replace(answer, stage=calm.counted_in(answer.stage))

    def _calmer(self, task: Task, bare: Unmoved | None, progress: Progress) -> Found:
        """All at once where the model is small, or several may search it; else piece by piece.

        In a large model one search alone comes to nothing: no plan at hand is calmer, and no bound.
        """
        if self._is_calmed_at_once(task):
            return minimise(task, progress, self.stop)
        return calmed(task, bare, Board(progress).hear, self.stop)

    def _is_calmed_at_once(self, task: Task) -> bool:
        return task.limits.workers > 1 or task.model.model.size <= AT_ONCE

    def _calm_bare(self, task: Task, calm: Calm, start: Plan, buy: Buy | None) -> Unmoved | None:
        """The same without the days of purchases; None where it is not searched by windows."""
        large = task.model.model.size > LARGEST_IN_PARTS
        if buy is None or self.stored is None or large or self._is_calmed_at_once(task):
            return None
        model = self._model_without_purchases(start)
        _lose_no_more(model, start)
        bare = add_calm(model.model, model.variables, self.stored)
        # Where the frozen days are not as stored, a plan may order something else in them.
        is_as_stored = not frozen_changes(self.workshop, self.stored, start)
        return Unmoved(
            task=_task("calm", model, bare.goal, start, task.limits),
            buy=buy,
            changes=bare.changes_at(calm.weight) if is_as_stored else None,
        )

    def _model_without_purchases(self, start: Plan) -> PlanModel:
        """A model with the orders of the frozen days, and no others to decide on."""
        frozen = self.stored is not None and self.workshop.costs.frozen_days
        workshop = orders_placed(self.workshop, start) if frozen else self.workshop
        model = PlanModel(workshop, False, self.stored)
        self._freeze(model, start)
        return model

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

    def _near(self, model: PlanModel, worth: int) -> Linear | None:
        """What is lost, and what batches that have moved are worth, in whole units of the loss."""
        if self.stored is None or not worth:
            return None
        unit = model.service.unit
        moved = add_moved(model.model, model.variables, self.stored)
        return Linear().add(model.service).add(moved, max(1, worth // unit) * unit)

    def _minimise(
        self, stage: str, model: PlanModel, goal: Linear, start: Plan, limits: Limits
    ) -> Answer:
        """One run of CP-SAT from a plan on. Raises NoPlanFound."""
        started = monotonic()
        task = _task(stage, model, goal, start, limits)
        found = minimise(task, self.progress, self.stop)
        return _answer(task, found, monotonic() - started)


def _lose_no_more(model: PlanModel, start: Plan, least: int = 0) -> None:
    """No more than a plan does; nor less than what is proven, which rows alone do not say."""
    loss = model.service.value(model.values_of(start))
    model.model.at_most(Linear().add(model.service), loss, "no more lost")
    if least > 0:
        model.model.at_least(Linear().add(model.service), least, "no less lost than must be")


def _task(stage: str, model: PlanModel, goal: Linear, start: Plan, limits: Limits) -> Task:
    hint = model.values_of(start)
    return Task(stage=stage, model=model, goal=goal, hint=hint, limits=limits)


def _answer(task: Task, found: Found, seconds: float) -> Answer:
    value = task.goal.value(found.values)
    least = task.model.model.least(task.goal)
    bound = min(value, least if found.bound is None else found.bound)
    if task.stage != "money":  # no plan loses less than nothing, or changes less than nothing
        bound = max(0, bound)
    return Answer(
        plan=plan_of(task.model.variables, found.values.__getitem__),
        stage=Stage(
            goal=task.stage,
            value=value,
            bound=bound,
            seconds=seconds,
            status=Status.OPTIMAL if bound == value else Status.FEASIBLE,
        ),
    )
