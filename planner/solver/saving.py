"""The money stage: cheaper plans first in all, then day by day, and beside them a bound.

What a plan costs follows most of all from what it buys in all. So it is made cheaper in that,
window by window, and bought for; then parts of it are planned anew with the days of purchases. The
bound is that of the cheapest in all, or of the linear relaxation where that takes too long; where
hands are what is scarce, that of the cheapest in all with days taken together.
"""

from dataclasses import replace
from functools import cached_property
from threading import Event
from time import monotonic

from planner.settings import Progress
from planner.solver.cheapest import CheapestInAll
from planner.solver.closing import closed_in
from planner.solver.neighbourhood import improved_in_parts
from planner.solver.proving import Prover
from planner.solver.search import improved_at_once
from planner.solver.task import Found, Limits, Task, better_of
from planner.solver.unbought import Unbought

BESIDE = 0.75
"""Share of the work that each of two searches beside each other gets: they slow each other."""

IN_ALL = 0.6
"""Share of it for cheaper plans in all, before parts of them."""

LARGEST_IN_ALL = 15_000
"""Rows and columns of the tightest program in all up to which the cheapest is looked for: in a
larger one neither branch and cut nor windows come to much in the time of the stage.
"""


class MoneySearch:
    """One search for a plan that costs little, and for the least that it must cost."""

    def __init__(
        self, task: Task, progress: Progress, stop: Event, in_all: Unbought | None = None
    ) -> None:
        self.task = task
        self.progress = progress
        self.stop = stop
        self.in_all = in_all
        self.until = monotonic() + task.limits.seconds
        self.prover = Prover(task=task, until=self.until, progress=progress, stop=stop)
        self.whole = replace(task.limits, work=BESIDE * task.limits.work)

    def run(self) -> Found:
        """The best plan and bound. Raises NoPlanFound."""
        start = Found(self.task.hint, None)
        _ = self.prover.program, self._cheapest  # before a search goes on beside
        return closed_in(self.task.goal, start, self._found, self._proof, self.stop)

    @cached_property
    def _prover_in_all(self) -> Prover | None:
        """What proves how much is spent in all; None where nothing says so."""
        if self.in_all is None:
            return None
        return self.in_all.prover(self.until, self.progress, self.stop)

    @cached_property
    def _cheapest(self) -> CheapestInAll | None:
        """What looks for the cheapest in all; None where there is none, or it is too large."""
        prover = self._prover_in_all
        if self.in_all is None or prover is None or prover.prepare() > LARGEST_IN_ALL:
            return None
        return CheapestInAll(prover=prover, full=self.prover, buy=self.in_all.buy)

    def _found(self, stop: Event) -> Found:
        """With one worker window by window, then part by part; else by several searches at once."""
        task, cheapest = self.task, self._cheapest
        if task.limits.workers > 1:
            return improved_at_once(task, self.progress, stop)
        if cheapest is None:
            return improved_in_parts(self._share(task.hint, 1.0), self.progress, stop)
        best = cheapest.improved(self._limits(IN_ALL, 1 - IN_ALL), 1, stop)
        rest = self._share(best.values, 1 - IN_ALL)
        return better_of(task.goal, best, improved_in_parts(rest, self.progress, stop))

    def _proof(self) -> Found:
        """The cheapest in all, or else the linear relaxation; with one worker, then a search."""
        task, proven, work = self.task, Found(self.task.hint, None), 0.0
        if self._cheapest is not None:
            proven, work = self._cheapest.proven(self._limits(1.0))
            if self._is_over(proven):
                return proven
        if proven.bound is None:
            proven = Found(task.hint, self._relaxed())
        if task.limits.workers > 1 or self._is_over(proven):
            return proven
        rest = self._share(task.hint, 1.0, work)
        searched = improved_at_once(rest, self.progress, self.stop)
        return better_of(task.goal, proven, searched)

    def _relaxed(self) -> int | None:
        """The bound of the linear relaxation, or of days taken together if they have patterns."""
        prover = self._prover_in_all
        if self.in_all is None or prover is None or not prover.may_have_spans:
            return self.prover.linear_bound()
        relaxed: int | None = None
        if self.in_all.covers is None:
            relaxed = prover.linear_bound()
        else:
            prover.tighten(self.in_all.covers)
        if not prover.has_spans:
            return self.prover.linear_bound()
        value = self.task.goal.value(self.task.hint)
        proven = prover.bound_in_spans(value, self._limits(1.0))
        return max((bound for bound in (relaxed, proven) if bound is not None), default=None)

    def _is_over(self, proven: Found) -> bool:
        """True if nothing is left to prove, or no time: to set a large model up takes seconds."""
        complete = proven.bound == self.task.goal.value(proven.values)
        return complete or self.stop.is_set() or monotonic() >= self.until

    def _share(self, values: dict[int, int], share: float, without: float = 0.0) -> Task:
        """The task from some values on, with a share of the work, without what has been done."""
        limits = self._limits(share)
        work = max(0.0, limits.work - without)
        return replace(self.task, hint=values, limits=replace(limits, work=work))

    def _limits(self, share: float, after: float = 0.0) -> Limits:
        """Those of a step with a share of the work, before steps that have another one."""
        return self.whole.of_step(share, after, max(0.0, self.until - monotonic()))
