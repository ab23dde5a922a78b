"""Windows of days planned anew one after the other, all around them as it is: fix and optimise.

Batches placed anew one by one seldom find a way from one good schedule to another that differs in
a dozen of them. Branch and cut does, where the program is tight and only a few weeks of it are
free. In a large program it first looks between the counts as they are and those of the window's
relaxation, which takes a second and finds most of what there is to find; where that gains nothing
any more, at all ways of filling the window. Where the first window is follows from the seed.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import chain, pairwise
from math import inf
from random import Random
from threading import Event

import numpy as np

from planner.solver.highs import Effort, Proof
from planner.solver.matrix import Program
from planner.solver.piecewise import Piecewise
from planner.solver.proving import Prover, branched_apart, branched_between_apart, set_up
from planner.solver.task import Found, Limits
from planner.solver.tying import Tied
from planner.solver.window import Window, counted, tied_outside

FIRST_DAYS, FEWEST_DAYS = 30, 28
"""Days of a window at first, and at the least."""

WIDER, NARROWER = 1.3, 0.8
"""Factors for the next windows after one that was planned to the end, and after one that was not.
"""

SHARE = 0.2
"""Of all the work and of all the seconds one window gets at the most so much: HiGHS was seen to
work on without end.
"""

EACH = 4e-4
"""Seconds for each of its rows and columns that it gets at the most, where there are fewer seconds
than units of work, so that the clock ends the search: the larger it is, the longer HiGHS takes to
its first branch, and what it finds, it mostly finds soon after that.
"""

SHORTEST = 4.0
"""Seconds that it gets at the least: in less, little is found."""

ENOUGH = 1.5e-3
"""Share of the value within which a window's plan is good enough."""

GOLDEN = (5**0.5 - 1) / 2
"""Steps of this share of the plan come to every place in it equally often."""

PLACES = 8
"""Next places from which a window is chosen that is apart from those being planned."""

QUICK = 12_000
"""Rows and columns of a program up to which windows in full end in a second or two themselves."""

LOOKED_AT = 8
"""Windows near each of several starts: what comes of them tells more than how good a start is."""


@dataclass(frozen=True, kw_only=True)
class Way:
    """How windows are planned anew.

    `between` holds the counts between those that there are and the relaxation's. Of a window's work
    and seconds they get a `share`. It has had its turn once as many days as there are, so often,
    were planned in `vain`.
    """

    between: bool
    share: float
    vain: float


NEAR = Way(between=True, share=0.4, vain=1.0)
FULL = Way(between=False, share=1.0, vain=2.0)


@dataclass(frozen=True, kw_only=True)
class Replanned:
    """What a window's branch and cut came to: an assignment of the model, if it found any."""

    values: dict[int, int] | None
    ended: bool
    work: float


@dataclass(frozen=True, kw_only=True)
class Begun:
    """A window that is being planned anew, how, and the assignment it began from."""

    window: Window
    way: Way
    values: dict[int, int]


class WindowSearch(Piecewise[Begun, Replanned]):
    """Improves an assignment window by window, some at once, within limits.

    `hear` is told of each that is better than the one before.
    """

    def __init__(
        self,
        prover: Prover,
        limits: Limits,
        at_once: int,
        stop: Event,
        hear: Callable[[dict[int, int]], None] = lambda _: None,
    ) -> None:
        super().__init__(prover, prover.task.measure, limits, at_once, stop)
        self.hear = hear
        self._place = Random(limits.seed).random()
        self._days = prover.task.model.workshop.days
        self._program = prover.branching.program.with_goal(self.measure)
        self._counts = counted(prover.task.model.variables, self._program)
        self._first = NEAR if prover.size > QUICK else FULL
        self._width = dict.fromkeys((NEAR, FULL), float(min(FIRST_DAYS, self._days)))

    def improved(
        self, starts: Sequence[dict[int, int]], further: Iterable[dict[int, int]] = ()
    ) -> Found:
        """The best found from some assignments of all the model's variables on.

        It is seen what is near each of them; what then is best goes on. Where nothing is gained any
        more, it is the turn of the next, then of `further` ones, which are asked for only then; in
        the end the best goes on.
        """
        seen = sorted(starts, key=self._value)
        with self._turns as turns:
            if self._first is NEAR and len(seen) > 1 and self._value(seen[0]) > 0:
                seen = [self._until_idle(each, NEAR, LOOKED_AT) for each in seen]
            waiting = chain(sorted(seen, key=self._value), further)
            values = best = next(waiting)
            while turns.work > 0 and self._value(best) > 0 and self._goes_on():
                best = min(best, self._until_idle(values), key=self._value)
                values = next(waiting, best)
                best = min(best, values, key=self._value)
        return self.prover.needed(best)

    def spend(self, work: float) -> bool:
        """Take work off for something else; not if less than as much would be left for windows."""
        if self._turns.work < 2 * work:
            return False
        self._turns.work -= work
        return True

    def _until_idle(
        self, values: dict[int, int], last: Way = FULL, most: float = inf
    ) -> dict[int, int]:
        """What becomes of an assignment until the last way gains nothing, or the search is over.

        So many windows are planned at the most. What is gained in full may make room near it, so
        that it is the turn of that again.
        """
        way, idle, turns = self._first, 0.0, self._turns
        while True:
            while idle < way.vain * self._days and turns.has_room and most > 0 and self._goes_on():
                self._begin(values, way)
                most -= 1
            if not turns.begun:
                if way is last or turns.work <= 0 or most <= 0 or not self._goes_on():
                    return values
                way, idle = FULL, 0.0
                continue
            begun, replanned = turns.next(self.prover.tell)
            self._resize(begun.way, replanned.ended)
            better = values
            if replanned.values is not None:
                better = self._better(values, begun.values, replanned.values)
                self.prover.tell(value=self.prover.task.goal.value(better))
            if self._value(better) < self._value(values):
                values = better
                self.hear(values)
                if way is FULL:
                    way, idle = self._first, 0.0
            elif begun.way is way:
                idle += begun.window.days

    def _begin(self, values: dict[int, int], way: Way) -> None:
        """Begin the next window, apart from those being planned."""
        window = self._window(way, [begun.window for begun in self._turns.begun])
        begun = Begun(window=window, way=way, values=values)
        work = SHARE * way.share * self.limits.work
        self._turns.begin(begun, work, partial(self._planned_anew, begun))

    def _window(self, way: Way, others: Sequence[Window]) -> Window:
        """The next that is apart from others; if none soon is, the one that overlaps the least."""
        places = [(self._place + step * GOLDEN) % 1 for step in range(1, PLACES + 1)]
        windows = [self._window_at(place, way) for place in places]
        apart = [min((window.distance(other) for other in others), default=0) for window in windows]
        chosen = next((n for n, days in enumerate(apart) if days >= 0), int(np.argmax(apart)))
        self._place = places[chosen]
        return windows[chosen]

    def _window_at(self, place: float, way: Way) -> Window:
        width = round(self._width[way])
        first = int(place * self._days) - width // 2
        return Window(first=first, end=first + width)

    def _resize(self, way: Way, ended: bool) -> None:
        width = self._width[way] * (WIDER if ended else NARROWER)
        self._width[way] = max(FEWEST_DAYS, min(self._days, width))

    def _better(
        self, values: dict[int, int], start: dict[int, int], found: dict[int, int]
    ) -> dict[int, int]:
        """The best of an assignment, of what a window made of an earlier one, and of both."""
        candidates = [values, found]
        if values is not start:
            both = [values[column] + found[column] - start[column] for column in range(len(values))]
            completed = self.prover.completed(both) if self._rises(both) else None
            if completed is not None:
                candidates.append(dict(enumerate(completed)))
        return min(candidates, key=self._value)

    def _rises(self, values: Sequence[int]) -> bool:
        """True unless two windows took out the same batch: then a count would fall."""
        variables = self.prover.task.model.variables
        counts = (*variables.poured.values(), *variables.packed.values())
        heights = ([0, *(values[step.index] for step in count.steps)] for count in counts)
        return all(before <= after for each in heights for before, after in pairwise(each))

    def _seconds_for(self, program: Program, way: Way) -> float:
        """Seconds for a window at the most; only where the clock ends the search do they end it."""
        seconds = SHARE * self.limits.seconds
        if self.limits.seconds < self.limits.work:
            seconds = min(seconds, EACH * (program.rows + program.columns))
        return way.share * max(SHORTEST, seconds)

    def _planned_anew(self, begun: Begun, work: float) -> Replanned:
        """What branch and cut makes of a window in a process of its own."""
        values, variables = begun.values, self.prover.task.model.variables
        tied = tied_outside(variables, self._program, values, begun.window)
        hint = tied.narrowed(self.prover.branching.completed(values))
        program = tied.program
        effort = Effort(
            work=work,
            seconds=self._seconds_for(program, begun.way),
            seed=self.limits.seed,
            gap=ENOUGH * self._value(values) / program.unit,
            restarts=False,
        )
        reached = self._reached(tied, hint, effort, begun.way)
        found = None
        if reached.values is not None:
            found = self.prover.assignment(tied.widened(reached.values))
        return Replanned(
            values=found,
            ended=reached.optimal,
            work=reached.work + set_up(program),
        )

    def _reached(self, tied: Tied, hint: dict[int, int], effort: Effort, way: Way) -> Proof:
        """What branch and cut of a window comes to."""
        goes_on = self._for_seconds(effort.seconds)
        if not way.between:
            return branched_apart(tied.program, hint, effort, goes_on)
        counts = self._counts[tied.free]
        return branched_between_apart(tied.program, hint, effort, counts, goes_on)
