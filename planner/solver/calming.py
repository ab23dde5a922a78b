"""The calm stage of a large model: window by window without purchases, then part by part.

Beside the parts branch and cut proves how many changes there have to be at least.
"""

from dataclasses import dataclass, replace
from functools import partial
from threading import Event
from time import monotonic

from planner.settings import Progress
from planner.solver.closing import closed_in
from planner.solver.exchange import plan_of
from planner.solver.linear import Linear
from planner.solver.neighbourhood import improved_in_parts
from planner.solver.proving import Prover
from planner.solver.task import Found, Limits, Task
from planner.solver.turns import CORES
from planner.solver.unbought import Unbought, UnboughtSearch

IN_WINDOWS = 0.6
"""Share of the work for windows, which move batches; parts then see to what is bought."""


@dataclass(frozen=True, kw_only=True)
class Unmoved(Unbought):
    """A calm task without purchases, and its changes alone, as much each as with purchases.

    Without the changes it leaves out plans, so that it proves nothing of them.
    """

    changes: Linear | None


@dataclass(frozen=True, kw_only=True)
class CalmSearch:
    """One search for a plan with few changes, and for how many there have to be at least."""

    task: Task
    bare: Unmoved
    progress: Progress
    stop: Event
    until: float

    def run(self) -> Found:
        """A calmer assignment of the task's model."""
        self._full(self.task.hint).tell(value=self.task.goal.value(self.task.hint))
        moved = self._moved()
        limits = self._limits(1 - IN_WINDOWS)
        if self.bare.changes is None:
            return self._in_parts(moved, limits, self.stop)
        parts = partial(self._in_parts, moved, limits)
        proof = partial(self._proof, moved, limits, self.bare.changes)
        return closed_in(self.task.goal, moved, parts, proof, self.stop)

    def _moved(self) -> Found:
        """What windows come to."""
        search = self._search(self.bare, self.task.hint)
        return search.improved(self._limits(IN_WINDOWS, 1 - IN_WINDOWS), CORES, self.stop)

    def _in_parts(self, start: Found, limits: Limits, stop: Event) -> Found:
        rest = replace(self.task, hint=start.values, limits=limits)
        return improved_in_parts(rest, self.progress, stop)

    def _proof(self, start: Found, limits: Limits, changes: Linear) -> Found:
        """The changes that there have to be, by branch and cut of them alone."""
        bare = self.bare
        plan = plan_of(self.task.model.variables, start.values.__getitem__)
        hint = bare.task.model.values_of(plan)
        fewest = replace(bare, task=replace(bare.task, goal=changes, hint=hint))
        found, _ = self._search(fewest, start.values).proven(limits)
        return found

    def _search(self, bare: Unbought, start: dict[int, int]) -> UnboughtSearch:
        prover = bare.prover(self.until, self.progress, self.stop)
        return UnboughtSearch(prover=prover, full=self._full(start), buy=bare.buy)

    def _full(self, start: dict[int, int]) -> Prover:
        task = replace(self.task, hint=start)
        return Prover(task=task, until=self.until, progress=self.progress, stop=self.stop)

    def _limits(self, share: float, after: float = 0.0) -> Limits:
        left = max(0.0, self.until - monotonic())
        return self.task.limits.of_step(share, after, left)


def calmed(task: Task, bare: Unmoved | None, progress: Progress, stop: Event) -> Found:
    """A calmer assignment of the task's model; only part by part, and unproven, if not bare."""
    if bare is None:
        return improved_in_parts(task, progress, stop)
    until = monotonic() + task.limits.seconds
    return CalmSearch(task=task, bare=bare, progress=progress, stop=stop, until=until).run()
