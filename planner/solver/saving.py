"""The money stage: parts of the plan planned anew, and beside them whatever proves a bound.

Parts find better plans but prove nothing. The linear relaxation gives a bound in seconds; one
search over the whole model then raises it; in a large model it hardly ever finds a better plan.
"""

from dataclasses import replace
from threading import Event
from time import monotonic

from planner.settings import Progress
from planner.solver.closing import closed_in
from planner.solver.neighbourhood import improved_in_parts
from planner.solver.proving import Prover
from planner.solver.search import improved_at_once
from planner.solver.task import Found, Task, better_of

BESIDE = 0.75
"""Share of the work that each of two searches beside each other gets: they slow each other."""


class MoneySearch:
    """One search for a plan that costs little, and for the least that it must cost."""

    def __init__(self, task: Task, progress: Progress, stop: Event) -> None:
        self.task = task
        self.progress = progress
        self.stop = stop
        self.until = monotonic() + task.limits.seconds

    def run(self) -> Found:
        """The best plan and bound. Raises NoPlanFound."""
        start = Found(self.task.hint, None)
        return closed_in(self.task.goal, start, self._found, self._proof, self.stop)

    def _found(self, stop: Event) -> Found:
        """Part by part with one worker, else by several searches at once."""
        if self.task.limits.workers > 1:
            return improved_at_once(self.task, self.progress, stop)
        return improved_in_parts(self._share(), self.progress, stop)

    def _proof(self) -> Found:
        """The bound of the linear relaxation; with one worker, raised by a search after it."""
        task = self.task
        prover = Prover(task=task, until=self.until, progress=self.progress, stop=self.stop)
        linear = Found(task.hint, prover.linear_bound())
        if task.limits.workers > 1 or linear.bound == task.goal.value(task.hint):
            return linear
        if self.stop.is_set() or monotonic() >= self.until:
            return linear  # only to set up a search of a large model takes seconds
        searched = improved_at_once(self._share(), self.progress, self.stop)
        return better_of(task.goal, linear, searched)

    def _share(self) -> Task:
        """The task with the share of the work, in the seconds that are left."""
        left = max(0.0, self.until - monotonic())
        work = BESIDE * self.task.limits.work
        return replace(self.task, limits=replace(self.task.limits, work=work, seconds=left))
