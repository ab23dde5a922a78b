"""The service stage without purchases: a search for a plan, and beside it what proves a bound.

Whoever calls searches in its own way (annealing, batch by batch). The linear relaxation and the
products one by one give a bound. Then the caller's second search begins beside the first. If the
program is small, branch and cut goes on from what they find, and closes the gap part by part; at
once, if the gap is narrow. Where it is not small, or that takes too long, the best that was found
is planned anew window by window, and where nothing is gained that way, what further searches find.
Where hands are what is scarce, days taken together prove more: before parts, instead of a second
search, or before that.

With one worker each step's outcome follows from its limits of work alone, so that a plan repeats.
"""

from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from itertools import count
from threading import Event
from time import monotonic
from typing import Protocol

from planner.plan import Plan
from planner.settings import Progress
from planner.solver.closing import awaited, closed_in
from planner.solver.partition import PartSearch
from planner.solver.proving import Prover
from planner.solver.search import improved_at_once
from planner.solver.task import Found, Limits, Task, better_of
from planner.solver.turns import CORES
from planner.solver.windows import WindowSearch


class Seek(Protocol):
    """Looks for a better plan within limits, tells how it goes, and ends when the stop is set."""

    def __call__(self, limits: Limits, progress: Progress, stop: Event) -> Plan:
        """The best plan found."""
        ...


@dataclass(frozen=True, kw_only=True)
class Searches:
    """The caller's own: one, and a second for where nothing more can be proven.

    They may stay `near` a kept plan.
    """

    first: Seek
    second: Seek | None = None
    near: bool = False


SMALL = 8_000
"""Rows and columns of a model up to which branch and cut finds good plans by itself."""

SMALL_TIGHTENED = 25_000
"""The same with all that tightens it: in a larger one nobody waits for the relaxation."""

BRANCHED = 10_000
"""The same of its program with all that tightens it: then branch and cut closes the gap."""

RELAXING, PATIENCE = 6e-4, 0.4
"""Seconds that the relaxation takes for each row and column, and the share of the stage's seconds
up to which something waits for it."""

BEFORE_WINDOWS = 4e-4
"""Seconds that the relaxations take at least for each row and column of the tightest program."""

LARGEST_RELAXED = 40_000
"""Rows and columns of a model above which the relaxation may take any time, and to set it up takes
more than 2 s."""

FIRST, FIRST_AT_MOST = 4.0, 0.18
"""Units of work, or seconds, for a first plan of a small model while its relaxation is solved, and
the share of all that they are at the most."""

NARROW = 0.15
"""Share of a first plan's value up to which a gap is so narrow that parts find what is missing."""

BEFORE_PARTS, AFTER_PARTS = 0.25, 0.05
"""Shares of the work for the caller's searches, where a gap is then closed part by part that is not
narrow, and for windows after it, which find better plans where it was not closed.
"""

SEEKING, SEEKING_SCARCE, SEEKING_NEAR = 0.5, 0.9, 0.6
"""Shares of the work for the caller's searches, where windows are planned anew after them: of any,
where hands are scarce, so that windows find less, and of those that stay near a kept plan."""

LEFT = 0.15
"""Share of its seconds that it leaves to the money stage where hands are scarce: what proves how
much must be spent takes longest there, and windows find little."""

IN_SPANS = 0.2
"""Share of the work for a proof with days taken together, before a second search."""

FURTHER = 0.12
"""Share of the work for two further searches, where windows from what is found gain nothing more.
"""

AT_ONCE = 0.5
"""Share of the work for the caller's search, where CP-SAT with several workers goes on after it."""

LARGEST_AT_ONCE = 6_000
"""Variables of a model above which CP-SAT finds less than placing batches anew."""

SECOND = 0.8
"""Share of the work for a second search without windows after it."""

SOON = 3.0
"""Seconds in which a second search, in a process that has yet to begin, comes to nothing."""


class ServiceSearch:
    """One search for a plan that loses little, and for the least that must be lost."""

    def __init__(self, task: Task, searches: Searches, progress: Progress, stop: Event) -> None:
        self.task = task
        self.searches = searches
        self.progress = progress
        self.stop = stop
        self.until = monotonic() + task.limits.seconds
        self.prover = Prover(task=task, until=self.until, progress=progress, stop=stop)
        self.first: Future[Found] = Future()
        self.relaxed: Future[None] = Future()
        self.bound: int | None = None
        self.closes = False
        self.sought_until = self.until
        self.beside: Future[Found | None] = Future()

    def run(self) -> Found:
        """The best plan and bound. Raises NoPlanFound."""
        start = Found(self.task.hint, None)
        if self.task.model.model.size <= LARGEST_RELAXED:
            self.prover.prepare()
            if self.prover.may_have_spans:
                self.until = self.prover.until = self.until - LEFT * self.task.limits.seconds
        if not self._is_small and self._waits:
            seconds = self._limits(self._begun, after=1 - self._begun).seconds
            self.sought_until = monotonic() + seconds
        return closed_in(
            self.task.goal, start, self._found, self._proven, self.stop, self.task.measure
        )

    @property
    def covers(self) -> Sequence[int] | None:
        """The covers that prove most of what is lost; None where no relaxation has told."""
        return None if self.prover.tightest is None else self.prover.tightest.covers

    @property
    def _is_small(self) -> bool:
        """True if the model by itself is one for branch and cut alone."""
        if self.task.model.model.size > SMALL:
            return False
        return self.prover.prepare() <= SMALL_TIGHTENED

    @property
    def _waits(self) -> bool:
        """True if it pays to wait for the relaxation."""
        size, seconds = self.task.model.model.size, self.task.limits.seconds
        if size > LARGEST_RELAXED or self.task.limits.workers > 1:
            return False
        return RELAXING * size <= PATIENCE * seconds

    @property
    def _begun(self) -> float:
        """Share of the work for a first plan, before whatever waits for it or goes on from it."""
        if self._is_small:
            limits = self.task.limits
            return min(FIRST_AT_MOST, FIRST / max(FIRST, min(limits.work, limits.seconds)))
        if self._waits:
            return self._before_windows
        return AT_ONCE if self._is_solved_at_once else 1.0

    @property
    def _before_windows(self) -> float:
        """Share of the work for the caller's searches, where windows follow."""
        if self.searches.near:
            return SEEKING_NEAR
        return SEEKING_SCARCE if self.prover.may_have_spans else SEEKING

    @property
    def _seeking(self) -> float:
        """Share of the work for the caller's searches, once the relaxation is solved."""
        if self.closes:
            return self._begun if self._closes_soon else BEFORE_PARTS
        return self._before_windows if self._is_windowed else 1.0

    @property
    def _closes_soon(self) -> bool:
        """True if the gap is closed part by part from the first plan on, which is waited for.

        Not near a kept plan: parts would not stay near it.
        """
        if not self.closes or not self._waits or self.searches.near or self.bound is None:
            return False
        value = self.task.goal.value(self.first.result().values)
        return value - self.bound <= NARROW * value

    @property
    def _is_solved_at_once(self) -> bool:
        """True if several workers of CP-SAT go on from a first plan."""
        size = len(self.task.model.model.proto.proto.variables)
        return self.task.limits.workers > 1 and (self._is_small or size <= LARGEST_AT_ONCE)

    def _found(self, stop: Event) -> Found:
        """What is sought, then what is made of it part by part or window by window."""
        begun = self._begun
        try:
            first = self._sought(begun, 1 - begun, stop)
        except BaseException as error:
            self.first.set_exception(error)
            raise
        self.first.set_result(first)
        if self._is_solved_at_once:
            return self._solved_at_once(1 - begun, first, stop)
        if not (self._is_small or self._waits):
            return first  # of all the work
        awaited(self.relaxed, self.prover.tell)
        found, seeking = first, self._seeking
        if seeking > begun:
            found = self._sought(seeking - begun, 1 - seeking, stop)
            found = better_of(self.task.measure, first, found)
        if seeking == 1:
            return found
        beside = awaited(self.beside, self.prover.tell)
        starts = [found.values] if beside is None else [found.values, beside.values]
        if self.closes:
            found = self._in_parts(starts, None if beside is None else beside.bound, CORES, stop)
            if not self._is_windowed or found.bound == self.task.measure.value(found.values):
                return found
            seeking = 1 - AFTER_PARTS
            starts = [found.values, *(start for start in starts if start != found.values)]
        windows = WindowSearch(self.prover, self._limits(1 - seeking), CORES, stop)
        improved = windows.improved(starts, self._sought_anew(windows, stop))
        return better_of(self.task.measure, found, improved)

    def _sought_anew(self, windows: WindowSearch, stop: Event) -> Iterator[dict[int, int]]:
        """What more of the caller's second searches find, two at once, each with its own seed."""
        second, task = self.searches.second, self.task
        if second is None:
            return
        for seed in count(task.limits.seed + CORES, CORES):
            limits = self._limits(FURTHER, 1 - self._seeking - FURTHER)
            if limits.seconds < SOON or stop.is_set() or not windows.spend(limits.work):
                return

            def sought(place: int, limits: Limits = limits, seed: int = seed) -> dict[int, int]:
                own = replace(limits, seed=seed + place)
                return task.model.values_of(second(own, self.progress, stop))

            with ThreadPoolExecutor(CORES, thread_name_prefix="further") as searches:
                begun = [searches.submit(sought, place) for place in range(CORES)]
                found = [awaited(each, self.prover.tell) for each in begun]
            yield from sorted(found, key=task.measure.value)

    @property
    def _is_windowed(self) -> bool:
        """True if there is time for windows after the searches, once the relaxation is solved."""
        if not self._waits or self.prover.tightest is None:
            return False
        return BEFORE_WINDOWS * self.prover.size <= PATIENCE * self.task.limits.seconds

    def _in_parts(
        self, starts: Sequence[dict[int, int]], bound: int | None, at_once: int, stop: Event
    ) -> Found:
        """The gap closed from the best of some plans and the higher of two bounds on.

        So many parts are closed at once.
        """
        after = AFTER_PARTS if self._is_windowed else 0.0
        limits = self._limits(1 - self._seeking - after, after)
        if self.bound is None:
            raise AssertionError("only a bound tells that the gap can be closed")
        best = min(starts, key=self.task.goal.value)
        least = self.bound if bound is None else max(self.bound, bound)
        return PartSearch(self.prover, limits, at_once, stop).closed(best, least)

    def _proven(self) -> Found:
        """What is proven. Whoever waits for what is found beside waits no longer after it."""
        try:
            return self._proof()
        finally:
            if not self.beside.done():
                self.beside.set_result(None)

    def _proof(self) -> Found:
        """The bound of the relaxations; then a second search, if there is anything to seek."""
        task = self.task
        start, bound = task.hint, self._relaxation_bound()
        if bound is None or bound >= task.goal.value(start):
            return Found(start, bound)
        if self._is_small:
            start = self.first.result().values
        proven = Found(start, bound)
        if self.stop.is_set() or bound >= task.goal.value(start) or self._closes_soon:
            return proven
        if self.closes and self._is_solved_at_once:
            return better_of(task.measure, self._in_parts([start], None, 1, self.stop), proven)
        if self.prover.has_spans:
            proven = self._proven_in_spans(proven)
        best = task.goal.value(proven.values) == proven.bound
        beside = proven if best or self._narrows else self._sought_beside()
        self.beside.set_result(beside)
        return better_of(task.measure, proven, beside)

    def _relaxation_bound(self) -> int | None:
        """The bound of the relaxations. Whoever waits for it waits no longer."""
        bound = None
        try:
            bound = self.prover.relaxation_bound(self._relax)
        finally:
            if not self.relaxed.done():
                self._relax(bound)
        return bound

    def _relax(self, bound: int | None) -> bool:
        """Note a relaxation's bound; tells whether branch and cut now goes on from it.

        Before parts or windows both searches have until the same moment, since these wait for both.
        """
        self.bound = bound
        self.closes = bound is not None and self._is_small and self.prover.size <= BRANCHED
        seeking = self._seeking
        if seeking == 1:
            self.sought_until = self.until
        elif self._is_small:
            seconds = self._limits(seeking - self._begun, after=1 - seeking).seconds
            self.sought_until = monotonic() + seconds
        self.relaxed.set_result(None)
        return self.closes

    @property
    def _narrows(self) -> bool:
        """True if days taken together narrow the gap for parts, instead of a second search."""
        return self.closes and self.prover.has_spans

    def _proven_in_spans(self, found: Found) -> Found:
        """The same with what is proven with days taken together."""
        share = self._share_beside if self._narrows else IN_SPANS
        limits = self._limits_beside(share, share / self._share_beside)
        bound = self.prover.bound_in_spans(self.task.goal.value(found.values), limits)
        return better_of(self.task.measure, found, Found(found.values, bound))

    @property
    def _share_beside(self) -> float:
        """Share of the work for what goes on beside the caller's search."""
        share = self._seeking
        if share == 1:
            return SECOND
        return share - self._begun if self._is_small else share

    def _limits_beside(self, share: float, part: float = 1.0) -> Limits:
        """Those of a share of the work, and of a part of the time, beside the caller's search."""
        seconds = max(0.0, self.sought_until - monotonic())
        return replace(self._limits(share), seconds=part * seconds)

    def _sought_beside(self) -> Found:
        """What the caller's second search finds, if it has one and there is time."""
        proven = IN_SPANS if self.prover.has_spans else 0.0
        limits = self._limits_beside(self._share_beside - proven)
        second = self.searches.second
        if second is None or limits.workers > 1 or limits.seconds < SOON:
            return Found(self.task.hint, None)
        plan = second(limits, self.progress, self.stop)
        return Found(self.task.model.values_of(plan), None)

    def _sought(self, share: float, after: float, stop: Event) -> Found:
        """What the caller's first search finds."""
        plan = self.searches.first(self._limits(share, after), self.progress, stop)
        return Found(self.task.model.values_of(plan), None)

    def _solved_at_once(self, share: float, start: Found, stop: Event) -> Found:
        """Several searches of CP-SAT from a plan on."""
        task = replace(self.task, limits=self._limits(share), hint=start.values)
        return better_of(task.measure, improved_at_once(task, self.progress, stop), start)

    def _limits(self, share: float, after: float = 0.0) -> Limits:
        """Those of a step with a share of the work, before steps that have another one."""
        return self.task.limits.of_step(share, after, max(0.0, self.until - monotonic()))
