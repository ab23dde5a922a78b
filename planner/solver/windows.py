"""A window of days planned anew as a whole, the days around it as they are: fix and optimise.

Batches placed anew one by one seldom find a way from one good schedule to another that differs in
a dozen of them. Branch and cut does, where the program is tight and only a few weeks of it are
free: it then looks at all ways of filling them. Where the first window is follows from the seed.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import chain, pairwise
from random import Random
from threading import Event

import numpy as np

from planner.solver.highs import Effort
from planner.solver.linear import Staircase
from planner.solver.matrix import Ints, Program
from planner.solver.piecewise import Piecewise
from planner.solver.proving import Prover, branched_apart, set_up
from planner.solver.task import Found, Limits
from planner.solver.tying import FIXED, Tied
from planner.solver.variables import Variables

FIRST_DAYS, FEWEST_DAYS = 30, 28
"""Days of a window at first, and at the least."""

WIDER, NARROWER = 1.3, 0.8
"""Factors for the next windows after one that was planned to the end, and after one that was not.
"""

LATER = 6
"""Days by which a batch of the window may be packed later than it is cured."""

EARLIER = 6
"""Days by which a preparation for it may be made earlier than it has to be."""

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

IDLE = 2.0
"""How often windows have to come to every day in vain before it is another plan's turn."""


@dataclass(frozen=True, kw_only=True)
class Window:
    """Days first .. end - 1."""

    first: int
    end: int

    def wider(self, before: int = 0, after: int = 0) -> "Window":
        """With so many days before and after it."""
        return Window(first=self.first - before, end=self.end + after)

    def distance(self, other: "Window") -> int:
        """Days between the two; below zero where they overlap."""
        return max(self.first - other.end, other.first - self.end)


@dataclass(frozen=True, kw_only=True)
class Replanned:
    """What a window's branch and cut came to: an assignment of the model, if it found any."""

    values: dict[int, int] | None
    ended: bool
    work: float


Begun = tuple[Window, dict[int, int]]
"""A window that is being planned anew, and the assignment it began from."""


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
        self._width = float(min(FIRST_DAYS, self._days))

    def improved(
        self, starts: Sequence[dict[int, int]], further: Iterable[dict[int, int]] = ()
    ) -> Found:
        """The best found from some assignments of all the model's variables on, the best first.

        The next one's turn comes where nothing is gained any more, then that of `further` ones,
        which are asked for only then; in the end the best goes on.
        """
        waiting = chain(sorted(starts, key=self._value), further)
        values = best = next(waiting)
        with self._turns as turns:
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

    def _until_idle(self, values: dict[int, int]) -> dict[int, int]:
        """What becomes of an assignment until nothing is gained, or the search is over."""
        idle, turns = 0.0, self._turns
        while True:
            while idle < IDLE * self._days and turns.has_room and self._goes_on():
                self._begin(values)
            if not turns.begun:
                return values
            (window, start), replanned = turns.next(self.prover.tell)
            self._resize(replanned.ended)
            before = self._value(values)
            if replanned.values is not None:
                values = self._better(values, start, replanned.values)
                self.prover.tell(value=self.prover.task.goal.value(values))
            days = window.end - window.first
            idle = 0.0 if self._value(values) < before else idle + days
            if not idle:
                self.hear(values)

    def _begin(self, values: dict[int, int]) -> None:
        """Begin the next window, apart from those being planned."""
        window = self._window([other for other, _ in self._turns.begun])
        work = SHARE * self.limits.work
        self._turns.begin((window, values), work, partial(self._planned_anew, values, window))

    def _window(self, others: Sequence[Window]) -> Window:
        """The next that is apart from others; if none soon is, the one that overlaps the least."""
        places = [(self._place + step * GOLDEN) % 1 for step in range(1, PLACES + 1)]
        windows = [self._window_at(place) for place in places]
        apart = [min((window.distance(other) for other in others), default=0) for window in windows]
        chosen = next((n for n, days in enumerate(apart) if days >= 0), int(np.argmax(apart)))
        self._place = places[chosen]
        return windows[chosen]

    def _window_at(self, place: float) -> Window:
        width = round(self._width)
        first = int(place * self._days) - width // 2
        return Window(first=first, end=first + width)

    def _resize(self, ended: bool) -> None:
        factor = WIDER if ended else NARROWER
        self._width = max(FEWEST_DAYS, min(self._days, self._width * factor))

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

    def _seconds_for(self, program: Program) -> float:
        """Seconds for a window at the most; only where the clock ends the search do they end it."""
        seconds = SHARE * self.limits.seconds
        if self.limits.seconds < self.limits.work:
            seconds = min(seconds, EACH * (program.rows + program.columns))
        return max(SHORTEST, seconds)

    def _planned_anew(self, values: dict[int, int], window: Window, work: float) -> Replanned:
        """What branch and cut makes of a window in a process of its own."""
        tightened = self.prover.branching
        tied = tied_outside(self.prover.task.model.variables, self._program, values, window)
        hint = tied.narrowed(tightened.completed(values))
        program = tied.program
        effort = Effort(
            work=work,
            seconds=self._seconds_for(program),
            seed=self.limits.seed,
            gap=ENOUGH * self._value(values) / program.unit,
            restarts=False,
        )
        reached = branched_apart(program, hint, effort, self._for_seconds(effort.seconds))
        found = None
        if reached.values is not None:
            found = self.prover.assignment(tied.widened(reached.values))
        return Replanned(
            values=found,
            ended=reached.optimal,
            work=reached.work + set_up(program),
        )


def tied_outside(
    variables: Variables, program: Program, values: Mapping[int, int], window: Window
) -> Tied:
    """A program in which only a window's batches are free, and what is made for them.

    Counts before it are fixed. After it they move along with the window's last count: what rises
    there is as it was.
    """
    workshop = variables.workshop
    leaders, offsets = np.arange(program.columns), np.zeros(program.columns, np.int64)
    for key, poured in variables.poured.items():
        product = workshop.products[key[0]]
        packing = window.wider(after=product.set_days + product.cure_days + LATER)
        _tie(poured, values, window, leaders, offsets)
        _tie(variables.packed[key], values, packing, leaders, offsets)
    for name, made in variables.made.items():
        making = window.wider(before=workshop.preparations[name].ready_days + EARLIER)
        _tie(made, values, making, leaders, offsets)
    return Tied(whole=program, leaders=leaders, offsets=offsets)


def _tie(
    staircase: Staircase,
    values: Mapping[int, int],
    window: Window,
    leaders: Ints,
    offsets: Ints,
) -> None:
    """Tie the steps of a staircase that are outside of a window."""
    leader, height = FIXED, 0
    for day, step in zip(staircase.days, staircase.steps, strict=True):
        if window.first <= day < window.end:
            leader, height = step.index, values[step.index]
        else:
            leaders[step.index] = leader
            offsets[step.index] = values[step.index] - height
