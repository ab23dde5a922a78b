"""The whole program closed part by part: branch and cut of each, some at once, the best first.

What has to be beaten is known to each part from the beginning. A part that does not end in so much
work is split further. The bound is the least of what may still lie in an open part, begun or not.

Where two are done at once, a better plan is looked for beside the first parts: as many batches of
each kind in all as the relaxation has it, rounded down or up.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from heapq import heappop, heappush
from itertools import count
from math import ceil
from threading import Event

from planner.solver.apart import apart
from planner.solver.highs import Effort, Proof
from planner.solver.matrix import TOLERANCE
from planner.solver.parting import Levels, Part, closed, parted, rounded
from planner.solver.piecewise import Piecewise
from planner.solver.proving import Prover, set_up
from planner.solver.task import Found, Limits
from planner.solver.variables import Variables

LEVELS = (1.0,), (0.5,), (0.25, 0.75)
"""Shares of the plan up to which batches are counted to split on, the first first."""

EACH = 30.0
"""Units of work for a part at first; twice as many for the parts of one that did not end."""

SHARE = 0.5
"""Of all the seconds a part gets at the most so much."""

NEAR, STEP = 0.08, 0.5
"""Share of the best value up to which a bound is near, so that the best itself has to be beaten;
elsewhere what is at this share of the way to it: that nothing is well below it is proven sooner.
"""

CLOSE = 0.03
"""Share of the best value within which the best of the rounded totals is good enough."""


@dataclass(frozen=True, kw_only=True)
class Reached:
    """What the branch and cut of a part came to: an assignment of the model, and what is left."""

    values: dict[int, int] | None
    parts: Sequence[Part]
    work: float


class PartSearch(Piecewise[Part | None, Reached]):
    """Closes a prover's program part by part, so many at once, within limits."""

    def __init__(self, prover: Prover, limits: Limits, at_once: int, stop: Event) -> None:
        super().__init__(prover, prover.task.goal, limits, at_once, stop)
        self._levels = levels_of(prover.task.model.variables)
        self._open: list[tuple[int, int, Part]] = []
        self._numbers = count()

    def closed(self, values: dict[int, int], bound: int) -> Found:
        """The best from an assignment of the model and a bound on, and the least it can be."""
        whole, target = Part(least=bound), bound
        with self._turns as turns:
            turns.begin(whole, 0.0, partial(self._parted, values, whole))
            if turns.has_room:
                turns.begin(None, EACH, partial(self._rounded, values))
            while turns.begun:
                about, reached = turns.next(self.prover.tell)
                if reached.values is not None:
                    values = min(values, reached.values, key=self._value)
                for part in reached.parts:
                    heappush(self._open, (part.least, next(self._numbers), part))
                least, value = self._least(values), self._value(values)
                if target <= least or value <= target or about is None:
                    target = self._target(least, value)
                self.prover.tell(bound=least, value=value)
                while self._is_below(target) and turns.has_room and self._goes_on():
                    self._begin(values, target)
        return replace(self.prover.needed(values), bound=least)

    def _target(self, least: int, value: int) -> int:
        """What has to be beaten next: the best, or something nearer to a bound that is far.

        Not the best as long as a better one is looked for in the rounded totals.
        """
        gap, looks = value - least, None in self._turns.begun
        return least + round(STEP * gap) if looks or gap > NEAR * value else value

    def _is_below(self, target: int) -> bool:
        """True if something below a target may lie in an open part."""
        return bool(self._open) and self._open[0][0] < target

    def _least(self, values: Mapping[int, int]) -> int:
        """What no assignment can be below."""
        parts = [*(part for *_, part in self._open), *self._turns.begun]
        return min([self._value(values), *(part.least for part in parts if part is not None)])

    def _begin(self, values: dict[int, int], target: int) -> None:
        """Begin the part with the least bound."""
        *_, part = heappop(self._open)
        work = EACH * 2**part.tries
        self._turns.begin(part, work, partial(self._closed, values, target, part))

    def _parted(self, values: Mapping[int, int], part: Part, work: float) -> Reached:
        """The parts of the whole to begin with, which are no work to speak of.

        The whole itself if there is no time for splitting it.
        """
        program, cutoff = self.prover.branching.program, self._value(values)
        arguments = program, self._levels, part, cutoff, self._seconds
        told = list(apart(parted, *arguments, goes_on=self._goes_on))
        return Reached(values=None, parts=told[0] if told else [part], work=work)

    def _rounded(self, values: Mapping[int, int], work: float) -> Reached:
        """What branch and cut finds below the best with the relaxation's totals, rounded.

        It is about no part and leaves none: whatever it looks through is in those of the whole.
        """
        program, value = self.prover.branching.program, self._value(values)
        effort = Effort(
            work=work,
            seconds=self.limits.seconds,
            seed=self.limits.seed,
            cutoff=self._cutoff(value, value),
            gap=CLOSE * value / program.unit,
        )
        proof = Proof(values=None, bound=None, optimal=False)
        for told in apart(rounded, program, self._levels[0], effort, goes_on=self._goes_on):
            proof = proof.followed_by(told)
        found = None if proof.values is None else self.prover.assignment(proof.values)
        return Reached(values=found, parts=(), work=proof.work + set_up(program))

    def _closed(self, values: Mapping[int, int], target: int, part: Part, work: float) -> Reached:
        """What branch and cut makes of a part in a process of its own.

        Where it finds nothing below the target, the part is still there for a higher one.
        """
        program, value = self.prover.branching.program, self._value(values)
        effort = Effort(
            work=work,
            seconds=self._seconds,
            seed=self.limits.seed,
            cutoff=self._cutoff(target, value),
            heuristics=False,
        )
        proof = Proof(values=None, bound=None, optimal=False)
        parts: Sequence[Part] = [part]
        arguments = program, self._levels, part, effort, value
        goes_on = self._for_seconds(effort.seconds)
        for told in apart(closed, *arguments, goes_on=goes_on):
            if isinstance(told, Proof):
                proof = proof.followed_by(told)
                parts = [part.after(proof)]
            else:
                parts = told
        reached = None if proof.values is None else self.prover.assignment(proof.values)
        if proof.optimal and proof.values is None:
            parts = () if target == value else [replace(part, least=target)]
        elif reached is not None and self._is_least(reached, proof):
            parts = ()
        return Reached(values=reached, parts=parts, work=proof.work + set_up(program))

    def _cutoff(self, target: int, value: int) -> float:
        """What branch and cut has to stay below, in units of the cost.

        Less than the best is a unit less. Anything else is proven out of reach only if what HiGHS
        may err by is too.
        """
        program = self.prover.branching.program
        if target == value:
            return program.units_below(value)
        units = (target - program.offset) / program.unit
        return units + TOLERANCE * abs(units)

    def _is_least(self, values: Mapping[int, int], proof: Proof) -> bool:
        """True if nothing is better by a unit of the cost, as far as HiGHS can tell."""
        program, value = self.prover.branching.program, self._value(values)
        slack = program.unit + TOLERANCE * abs(value - program.offset)
        return proof.optimal and proof.bound is not None and value - proof.bound < slack

    @property
    def _seconds(self) -> float:
        """For one part."""
        return SHARE * self.limits.seconds


def levels_of(variables: Variables) -> Levels:
    """The columns that say how many batches of each kind there are up to some days."""
    levels: list[list[int]] = []
    for shares in LEVELS:
        columns = [
            staircase.steps[ceil(share * len(staircase.steps)) - 1].index
            for share in shares
            for staircase in variables.poured.values()
            if staircase.steps
        ]
        levels.append(list(dict.fromkeys(columns)))
    return levels
