"""The money stage: parts of the plan planned anew, and beside them whatever proves a bound.

Parts find better plans but prove nothing. The linear relaxation gives a bound in seconds; one
search over the whole model then raises it; in a large model it hardly ever finds a better plan.
"""

from dataclasses import replace
from threading import Event
from time import monotonic

from planner.settings import Progress
from planner.solver.beside import Beside, Either
from planner.solver.neighbourhood import improved_in_parts
from planner.solver.proving import Prover
from planner.solver.search import NoPlanFound, minimise
from planner.solver.task import Found, Limits, Task, better_of

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
        """The best plan and bound. Raises NoPlanFound.

        A complete proof's plan counts even if parts found one as good: which of the two was faster
        must not matter.
        """
        complete = Event()

        def prove() -> Found:
            proof = self._proof()
            if proof.bound == self.task.goal.value(proof.values):
                complete.set()
            return proof

        with Beside(prove) as beside:
            found = self._found(Either(self.stop, complete))
        proof = beside.result
        return proof if complete.is_set() else better_of(self.task.goal, found, proof)

    def _found(self, stop: Event) -> Found:
        """Part by part with one worker, else by several searches at once."""
        if self.task.limits.workers > 1:
            return self._searched(self.task.limits, stop)
        task = replace(self.task, limits=self._share())
        return improved_in_parts(task, self.progress, stop)

    def _proof(self) -> Found:
        """The bound of the linear relaxation; with one worker, raised by a search after it."""
        task = self.task
        prover = Prover(task=task, until=self.until, progress=self.progress, stop=self.stop)
        linear = Found(task.hint, prover.linear_bound())
        if task.limits.workers > 1 or linear.bound == task.goal.value(task.hint):
            return linear
        if self.stop.is_set() or monotonic() >= self.until:
            return linear  # only to set up a search of a large model takes seconds
        return better_of(task.goal, linear, self._searched(self._share(), self.stop))

    def _share(self) -> Limits:
        left = max(0.0, self.until - monotonic())
        return replace(self.task.limits, work=BESIDE * self.task.limits.work, seconds=left)

    def _searched(self, limits: Limits, stop: Event) -> Found:
        """By CP-SAT over the whole model; what there is if it finds nothing in time."""
        try:
            return minimise(replace(self.task, limits=limits), self.progress, stop)
        except NoPlanFound as nothing:
            if nothing.proven:
                raise
            return Found(self.task.hint, None)
