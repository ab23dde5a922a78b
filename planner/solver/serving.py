"""The service stage without purchases: a good plan first, then the proof, or more search.

1. Whoever calls looks for a plan in its own way (the list scheduler, batch by batch), and beside it
   the linear relaxation and the products one by one give a bound.
2. If plan and bound are near each other and the program is small, branch and cut closes the gap.
   Where it is not quite so small, planning parts anew goes on beside it.
3. Else the rest of the work is better spent on looking further.

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
from planner.solver.highs import Proof
from planner.solver.linear import Linear
from planner.solver.neighbourhood import NeighbourhoodSearch
from planner.solver.proving import Prover
from planner.solver.search import NoPlanFound, minimise
from planner.solver.task import Found, Limits, Task, better_of

Seek = Callable[[Limits, Progress, Event], Plan]
"""Looks for a better plan within limits, tells how it goes, and ends when the stop is set."""

FIRST, FIRST_OF_SMALL = 0.25, 0.1
"""Share of the work for a good plan before the proof; less where the proof finds plans itself."""

SMALL, FAR = 8_000, 0.45
"""Rows and columns up to which branch and cut finds good plans by itself, and the gap between plan
and bound, as a share of the plan's value, that it does not even then close in minutes."""

LARGEST, NEAR = 30_000, 0.05
"""The same for programs that are not quite so small."""

SURE = 3_000
"""Rows and columns up to which it ends soon however far plan and bound are apart."""

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

    def run(self) -> Found:
        """The best plan and bound. Raises NoPlanFound."""
        with Beside(self.prover.relaxation_bound) as proof:
            self._seek(self.first)
        bound = proof.result
        value = self.task.goal.value(self.task.hint)
        if self.stop.is_set() or (bound is not None and bound >= value):
            return Found(values=self.task.hint, bound=bound)
        if not self._can_close(bound, value):
            return better_of(self.task.goal, self._look_further(), Found(self.task.hint, bound))
        return better_of(self.task.goal, self._close(), Found(self.task.hint, bound))

    @cached_property
    def prover(self) -> Prover:
        """Proves from the task as it stood at first; its arrays are made in the proof's thread."""
        return Prover(task=self.task, until=self.until, progress=self.progress, stop=self.stop)

    def _can_close(self, bound: int | None, value: int) -> bool:
        """True if branch and cut can be expected to close the gap, or to come near."""
        size = self.prover.size
        if bound is None:
            return False
        if size <= SMALL:
            return size <= SURE or value - bound <= FAR * value
        return size <= LARGEST and value - bound <= NEAR * value

    @cached_property
    def first(self) -> float:
        """The share of the work for the first plan."""
        proto = self.task.model.model.proto.proto
        small = len(proto.variables) + len(proto.constraints) <= SMALL
        return FIRST_OF_SMALL if small else FIRST

    def _limits(self, share: float) -> Limits:
        limits = self.task.limits
        left = max(0.0, self.until - monotonic())
        return replace(limits, work=share * limits.work, seconds=left)

    def _seek(self, share: float) -> None:
        """Let the caller look for a plan; the task goes on from it if it is better."""
        limits = self._limits(share)
        limits = replace(limits, seconds=min(limits.seconds, share * self.task.limits.seconds))
        values = self.task.model.values_of(self.seek(limits, self.progress, self.stop))
        if self.task.goal.value(values) < self.task.goal.value(self.task.hint):
            self.task = replace(self.task, hint=values)

    def _look_further(self) -> Found:
        """More of the same, and for a model that is not large the solver after it."""
        if len(self.task.model.model.proto.proto.variables) > LARGEST_IN_PARTS:
            self._seek(1 - self.first)
            return Found(self.task.hint, None)
        self._seek((1 - self.first) / 2)
        return self._solver((1 - self.first) / 2)

    def _close(self) -> Found:
        """Branch and cut; with several workers, or beside a larger program, the solver too."""
        work, hint = (1 - self.first) * self.task.limits.work, self.task.hint
        alone = self.prover.size <= SMALL and self.task.limits.workers == 1
        with Beside(lambda: self.prover.branch_and_cut(hint, work)) as proof:
            found = Found(hint, None) if alone else self._solver(1 - self.first)
        proven = found_by(proof.result, self.task.hint)
        return joined(self.task.goal, found, proven, proof.result.optimal)

    def _solver(self, share: float) -> Found:
        """CP-SAT from the best plan on: part by part with one worker, else several searches."""
        limits = self._limits(share)
        task = replace(self.task, limits=limits)
        if limits.workers > 1:
            try:
                return minimise(task, self.progress, self.stop)
            except NoPlanFound as nothing:
                if nothing.proven:
                    raise
                return Found(task.hint, None)
        parts = NeighbourhoodSearch(
            task.model.model, task.model.variables, task.goal, limits.seed, self.progress, self.stop
        )
        return Found(parts.improve(task.hint, task.stage, limits.work, self.until), None)


def found_by(proof: Proof, hint: dict[int, int]) -> Found:
    """What a proof found, at least the assignment that it started from."""
    values = hint if proof.values is None else dict(enumerate(proof.values))
    return Found(values, proof.bound)


def joined(goal: Linear, found: Found, proven: Found, complete: bool) -> Found:
    """What search and proof found beside each other.

    A complete proof's assignment counts even if the search found one as good: which of the two was
    faster must not matter.
    """
    return proven if complete else better_of(goal, found, proven)
