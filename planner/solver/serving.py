"""The service stage without purchases: a good plan first, then the proof, or more search.

1. Whoever calls looks for a plan in its own way (the list scheduler, batch by batch), and for a
   model that is not large the solver plans parts of it anew. Beside them the linear relaxation and
   the products one by one give a bound.
2. If the program is small, and plan and bound are not too far apart, branch and cut closes the gap.
   It begins soon, and the search goes on beside it.

With one worker each step's outcome follows from its limits of work alone, so that a plan repeats.
"""

from collections.abc import Callable
from dataclasses import replace
from functools import cached_property
from threading import Event
from time import monotonic

from planner.plan import Plan
from planner.settings import Progress
from planner.solver.beside import Beside
from planner.solver.closing import closed_in
from planner.solver.highs import Proof
from planner.solver.neighbourhood import improved_in_parts
from planner.solver.proving import Prover
from planner.solver.search import improved_at_once
from planner.solver.task import Found, Limits, Task, better_of

Seek = Callable[[Limits, Progress, Event], Plan]
"""Looks for a better plan within limits, tells how it goes, and ends when the stop is set."""

SMALL = 8_000
"""Rows and columns up to which branch and cut finds good plans by itself."""

FIRST = 0.1
"""Share of the work for a first plan of a small model, before its program is branched on."""

FAR = 0.45
"""A gap between plan and bound, as a share of the plan's value, that it does not close in minutes.
"""

SURE = 3_000
"""Rows and columns up to which branch and cut ends soon however far plan and bound are apart."""

LARGEST_IN_PARTS = 6_000
"""Variables of a model above which planning parts anew is slower than placing batches anew."""


class ServiceSearch:
    """One search for a plan that loses little, and for the least that must be lost."""

    def __init__(self, task: Task, seek: Seek, progress: Progress, stop: Event) -> None:
        self.task = task
        self.seek = seek
        self.progress = progress
        self.stop = stop
        self.until = monotonic() + task.limits.seconds
        self.found = Found(values=task.hint, bound=None)

    def run(self) -> Found:
        """The best plan and bound. Raises NoPlanFound."""
        with Beside(self.prover.relaxation_bound) as proof:
            if self._is_small:
                self._seek(FIRST)
            else:
                self._look_further(1.0)
        self._take(Found(values=self.found.values, bound=proof.result))
        if self._is_small and not self._is_over:
            if self._can_close:
                self._close(1 - FIRST)
            elif self.prover.patterned is not None:
                self._seek(1 - FIRST)  # hands hold it up: parts planned anew find less
            else:
                self._look_further(1 - FIRST)
        return self.found

    @cached_property
    def prover(self) -> Prover:
        """Proves bounds of the task; its arrays are made in the proof's thread."""
        return Prover(task=self.task, until=self.until, progress=self.progress, stop=self.stop)

    @property
    def _is_small(self) -> bool:
        """True if the model by itself is one for branch and cut alone."""
        return self.task.model.model.size <= SMALL

    @property
    def _loss(self) -> int:
        return self.task.goal.value(self.found.values)

    @property
    def _is_over(self) -> bool:
        bound = self.found.bound
        return self.stop.is_set() or (bound is not None and bound >= self._loss)

    @property
    def _can_close(self) -> bool:
        """True if branch and cut, with what patterns add, can be expected to come near."""
        if self.found.bound is None:
            return False
        size, gap = self.prover.size, self._loss - self.found.bound
        return size <= SURE or (size <= SMALL and gap <= FAR * self._loss)

    def _take(self, found: Found) -> None:
        """Go on from what was found where it is better than what there is."""
        self.found = better_of(self.task.goal, self.found, found)

    def _limits(self, share: float) -> Limits:
        limits = self.task.limits
        left = max(0.0, self.until - monotonic())
        return replace(limits, work=share * limits.work, seconds=min(left, share * limits.seconds))

    def _seek(self, share: float) -> None:
        """Let the caller look for a plan."""
        self._take(self._sought(share, self.stop))

    def _sought(self, share: float, stop: Event) -> Found:
        plan = self.seek(self._limits(share), self.progress, stop)
        return Found(values=self.task.model.values_of(plan), bound=None)

    def _look_further(self, share: float) -> None:
        """Let the caller look, and for a model that is not large the solver after it."""
        if len(self.task.model.model.proto.proto.variables) > LARGEST_IN_PARTS:
            self._seek(share)
        else:
            self._seek(share / 2)
            self._take(self._solved(share / 2, self.stop))

    def _close(self, share: float) -> None:
        """Branch and cut, and beside it more search until it is complete."""
        task, start = self.task, self.found

        def prove() -> Found:
            proof = self.prover.branch_and_cut(start.values, share * task.limits.work)
            return found_by(proof, start.values)

        def seek(stop: Event) -> Found:
            solves = task.limits.workers > 1
            return self._solved(share, stop) if solves else self._sought(share, stop)

        self.found = closed_in(task.goal, start, seek, prove, self.stop)

    def _solved(self, share: float, stop: Event) -> Found:
        """CP-SAT from the best plan on: part by part with one worker, else several searches."""
        task = replace(self.task, limits=self._limits(share), hint=self.found.values)
        solve = improved_at_once if task.limits.workers > 1 else improved_in_parts
        return solve(task, self.progress, stop)


def found_by(proof: Proof, hint: dict[int, int]) -> Found:
    """What a proof found, at least the assignment that it started from."""
    values = hint if proof.values is None else dict(enumerate(proof.values))
    return Found(values, proof.bound)
