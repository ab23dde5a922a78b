"""The whole program closed part by part: branch and cut of each, some at once, the best first.

What has to be beaten is known to each part from the beginning. A part that does not end in so much
work is split further. The bound is the least of what may still lie in an open part.
"""

from collections import deque
from collections.abc import Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from math import ceil
from threading import Event
from time import monotonic

from planner.solver.apart import apart
from planner.solver.closing import awaited
from planner.solver.highs import Effort, Proof
from planner.solver.matrix import TOLERANCE
from planner.solver.parting import Levels, Part, closed, parted
from planner.solver.proving import Prover
from planner.solver.task import Found, Limits
from planner.solver.variables import Variables

LEVELS = (1.0,), (0.5,), (0.25, 0.75)
"""Shares of the plan up to which batches are counted to split on, the first first."""

EACH = 20.0
"""Units of work for a part at first; twice as many for the parts of one that did not end."""

SHARE = 0.5
"""Of all the seconds a part gets at the most so much."""

NEAR, STEP = 0.03, 0.75
"""Share of the best value up to which a bound is near, so that the best itself has to be beaten;
elsewhere what is at this share of the way to it: that nothing is well below it is proven sooner.
"""

WORK_TO_SET_UP = 1e-4
"""Units of work that each part counts for besides, for each row and column."""


@dataclass(frozen=True, kw_only=True)
class Reached:
    """What the branch and cut of a part came to: an assignment of the model, and what is left."""

    values: dict[int, int] | None
    parts: Sequence[Part]
    work: float


@dataclass(frozen=True, kw_only=True)
class Begun:
    """A part that is being closed, and the work it may do."""

    part: Part
    work: float
    reached: Future[Reached]


class PartSearch:
    """Closes a prover's program part by part within limits, so many at once.

    What comes of parts counts in the order in which they were begun, so that the outcome does not
    depend on which is done first. Where some are closed at once, one more is begun.
    """

    def __init__(self, prover: Prover, limits: Limits, at_once: int, stop: Event) -> None:
        self.prover = prover
        self.limits = limits
        self.at_once = at_once
        self.stop = stop
        self.until = monotonic() + limits.seconds
        self._levels = levels_of(prover.task.model.variables)
        self._work = limits.work
        self._number = 0
        self._open: list[tuple[int, int, Part]] = []

    def closed(self, values: dict[int, int], bound: int) -> Found:
        """The best from an assignment of the model and a bound on, and the least it can be."""
        with ThreadPoolExecutor(self.at_once, thread_name_prefix="part") as beside:
            parts = beside.submit(self._parted, values, Part(least=bound))
            self._add(awaited(parts, self.prover.tell))
            best, least = self._until_closed(values, beside)
        columns = range(self.prover.program.columns)
        needed = self.prover.without_idle_lots([best[column] for column in columns])
        return Found(dict(enumerate(needed)), least)

    def _until_closed(
        self, values: dict[int, int], beside: ThreadPoolExecutor
    ) -> tuple[dict[int, int], int]:
        begun: deque[Begun] = deque()
        most = self.at_once + 1 if self.at_once > 1 else 1
        target = self._target(values, begun)
        while True:
            while len(begun) < most and self._is_below(target) and self._goes_on():
                begun.append(self._begun(values, target, beside))
            if not begun:
                return values, self._least(values, begun)
            first = begun.popleft()
            reached = awaited(first.reached, self.prover.tell)
            self._work += (first.work - reached.work) / self.at_once
            if reached.values is not None:
                values = min(values, reached.values, key=self._value)
            self._add(reached.parts)
            least, value = self._least(values, begun), self._value(values)
            if target <= least or value <= target:
                target = self._target(values, begun)
            self.prover.tell(bound=least, value=value)

    def _target(self, values: Mapping[int, int], begun: Sequence[Begun]) -> int:
        """What has to be beaten next: the best, or something nearer to a bound that is far."""
        least, value = self._least(values, begun), self._value(values)
        gap = value - least
        return value if gap <= NEAR * value else least + round(STEP * gap)

    def _is_below(self, target: int) -> bool:
        """True if something below a target may lie in an open part, and there is work for it."""
        return self._work > 0 and bool(self._open) and self._open[0][0] < target

    def _add(self, parts: Sequence[Part]) -> None:
        """Parts to close."""
        for part in parts:
            heappush(self._open, (part.least, self._number, part))
            self._number += 1

    def _least(self, values: Mapping[int, int], begun: Sequence[Begun]) -> int:
        """What no assignment can be below."""
        parts = [*(part for *_, part in self._open), *(each.part for each in begun)]
        return min([self._value(values), *(part.least for part in parts)])

    def _begun(self, values: dict[int, int], target: int, beside: ThreadPoolExecutor) -> Begun:
        """The part with the least bound, with what work is left; what it spares is given back."""
        *_, part = heappop(self._open)
        work = min(EACH * 2**part.tries, self._work)
        self._work -= work / self.at_once
        reached = beside.submit(self._closed, values, target, part, work)
        return Begun(part=part, work=work, reached=reached)

    def _parted(self, values: Mapping[int, int], part: Part) -> Sequence[Part]:
        """The parts of the whole to begin with; the whole if there is no time for splitting it."""
        program, cutoff = self.prover.branching.program, self._value(values)
        arguments = program, self._levels, part, cutoff, self._seconds
        told = list(apart(parted, *arguments, goes_on=self._goes_on))
        return told[0] if told else [part]

    def _closed(self, values: Mapping[int, int], target: int, part: Part, work: float) -> Reached:
        """What branch and cut makes of a part in a process of its own.

        Where it finds nothing below the target, the part is still there for a higher one.
        """
        program, value = self.prover.branching.program, self._value(values)
        effort = Effort(
            work=work,
            seconds=self._seconds,
            seed=self.limits.seed,
            cutoff=(target - program.offset) / program.unit - 0.5,
            heuristics=False,
        )
        proof = Proof(values=None, bound=None, optimal=False)
        parts: Sequence[Part] = [part]
        arguments = program, self._levels, part, effort, value
        over = monotonic() + effort.seconds

        def goes_on() -> bool:
            return self._goes_on() and monotonic() < over

        for told in apart(closed, *arguments, goes_on=goes_on):
            if isinstance(told, Proof):
                proof = proof.followed_by(told)
                parts = [part.after(proof)]
            else:
                parts = told
        found = proof.values and self.prover.completed(proof.values[: self.prover.program.columns])
        reached = dict(enumerate(found)) if found else None
        if proof.optimal and proof.values is None:
            parts = () if target == value else [replace(part, least=target)]
        elif reached is not None and self._is_least(reached, proof):
            parts = ()
        return Reached(
            values=reached,
            parts=parts,
            work=proof.work + WORK_TO_SET_UP * (program.rows + program.columns),
        )

    def _is_least(self, values: Mapping[int, int], proof: Proof) -> bool:
        """True if nothing is better by a unit of the cost, as far as HiGHS can tell."""
        program, value = self.prover.branching.program, self._value(values)
        slack = program.unit + TOLERANCE * abs(value - program.offset)
        return proof.optimal and proof.bound is not None and value - proof.bound < slack

    @property
    def _seconds(self) -> float:
        """For one part."""
        return SHARE * self.limits.seconds

    def _value(self, values: Mapping[int, int]) -> int:
        return self.prover.task.goal.value(dict(values))

    def _goes_on(self) -> bool:
        return not self.stop.is_set() and monotonic() < self.until


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
