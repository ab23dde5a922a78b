"""A program split into parts that exclude each other, and one part solved; for other processes.

How many batches of a kind there are in all, or up to a day, decides much. Once that is settled in a
few kinds, branch and cut soon closes what it would branch on for minutes in one piece. And where
the relaxation's numbers are only rounded, it soon finds a good plan.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from itertools import count

import numpy as np

from planner.solver.highs import Effort, Proof, Simplex, branch_and_cut
from planner.solver.matrix import Floats, Program

Levels = Sequence[Sequence[int]]
"""Columns to split on; those of a level only where those of the levels before it are whole."""

MOST, ENOUGH, LITTLE = 12, 0.2, 0.01
"""Parts at the most; the shares of the gap to the cutoff that are enough for all of them to be
above the whole, and too little for a part to be above what it is a half of."""

WHOLE = 1e-4
"""What a column may be away from a whole number that counts as one."""


@dataclass(frozen=True, kw_only=True)
class Part:
    """What lies within narrower bounds of some columns: column, lowest and highest value of each.

    No assignment in it has less of the goal than `least`, in thousandths. `tries` counts the times
    that it, or what it is a part of, did not end.
    """

    bounds: tuple[tuple[int, int, int], ...] = ()
    least: int
    tries: int = 0

    def of(self, program: Program) -> Program:
        """The program within these bounds."""
        lower, upper = program.lower.copy(), program.upper.copy()
        for column, lowest, highest in self.bounds:
            lower[column], upper[column] = lowest, highest
        return replace(program, lower=lower, upper=upper)

    def after(self, proof: Proof) -> "Part":
        """The part after branch and cut of it that did not end."""
        least = self.least if proof.bound is None else max(self.least, proof.bound)
        return replace(self, least=least, tries=self.tries + 1)


@dataclass(frozen=True, kw_only=True)
class Corner:
    """A part with the values of all columns that its relaxation comes to."""

    part: Part
    values: Floats


class Splitter:
    """Splits parts of a program, each where both halves then relax to most."""

    def __init__(self, program: Program, levels: Levels, cutoff: int, seconds: float) -> None:
        self.program = program
        self.levels = levels
        self.cutoff = cutoff
        self.simplex = Simplex(program, seconds)

    def corner(self, part: Part) -> Corner | None:
        """None if nothing in the part is below the cutoff, as far as the relaxation can tell.

        Raises TimeoutError.
        """
        narrowed = part.of(self.program)
        relaxed = self.simplex.least(narrowed.lower, narrowed.upper)
        if relaxed is None:
            return None
        value, values = relaxed
        least = max(part.least, self.program.bound(value))
        if least >= self.cutoff:
            return None
        return Corner(part=replace(part, least=least), values=values)

    def split(self, corner: Corner) -> list[Corner] | None:
        """The halves of a part that still count; None where all columns to split on are whole."""
        for level in self.levels:
            halves = [self._halves(corner, column) for column in level]
            found = [each for each in halves if each is not None]
            if found:
                return max(found, key=self._worth)
        return None

    def _halves(self, corner: Corner, column: int) -> list[Corner] | None:
        """What is left below and above the value of a column; None if that is whole."""
        value = float(corner.values[column])
        if abs(value - round(value)) <= WHOLE:
            return None
        narrowed = corner.part.of(self.program)
        low, high = int(narrowed.lower[column]), int(narrowed.upper[column])
        below = int(np.floor(value))
        others = tuple(bound for bound in corner.part.bounds if bound[0] != column)
        ways = [(column, low, below), (column, below + 1, high)]
        parts = [replace(corner.part, bounds=(*others, way)) for way in ways]
        return [each for each in map(self.corner, parts) if each is not None]

    def _worth(self, halves: Sequence[Corner]) -> list[int]:
        """What the halves relax to, the lower first; those that no longer count to the cutoff."""
        values = [corner.part.least for corner in halves]
        return sorted([*values, *[self.cutoff] * (2 - len(values))])


def parted(
    tell: Callable[[list[Part]], None],
    program: Program,
    levels: Levels,
    part: Part,
    cutoff: int,
    seconds: float,
) -> None:
    """Tell the parts of a part; tells nothing if there is not time enough to split it.

    That which relaxes to least is split, until all of them relax to enough more than the whole
    does, or splitting it makes next to no difference.
    """
    splitter = Splitter(program, levels, cutoff, seconds)
    numbers = count()
    try:
        whole = splitter.corner(part)
        waiting = [] if whole is None else [(whole.part.least, next(numbers), whole)]
        first = waiting[0][0] if waiting else cutoff
        gap = cutoff - first
        while 0 < len(waiting) < MOST:
            least, _, corner = waiting[0]
            if least - first >= ENOUGH * gap:
                break
            halves = splitter.split(corner)
            if halves is None or all(half.part.least < least + LITTLE * gap for half in halves):
                break
            heappop(waiting)
            for half in halves:
                heappush(waiting, (half.part.least, next(numbers), half))
    except TimeoutError:
        return
    tell([corner.part for *_, corner in sorted(waiting)])


def closed(
    tell: Callable[[Proof | list[Part]], None],
    program: Program,
    levels: Levels,
    part: Part,
    effort: Effort,
    cutoff: int,
) -> None:
    """Tell what branch and cut of a part comes to; then, if it has not ended, the part's parts.

    Of these count all below the cutoff, which the effort's own may be below.
    """
    proof = branch_and_cut(part.of(program), None, effort, tell)
    tell(proof)
    if not proof.optimal:
        rest = part.after(proof)
        parted(tell, program, levels, rest, cutoff, effort.seconds)


def rounded(
    tell: Callable[[Proof], None], program: Program, columns: Sequence[int], effort: Effort
) -> None:
    """Tell what branch and cut finds where some columns are rounded from the relaxation's values.

    It may round each of them down or up. Tells nothing without time, or where nothing is feasible.
    """
    try:
        relaxed = Simplex(program, effort.seconds).least(program.lower, program.upper)
    except TimeoutError:
        return
    if relaxed is None:
        return
    cost, values = relaxed
    bounds = tuple(
        (column, int(np.floor(values[column] + WHOLE)), int(np.ceil(values[column] - WHOLE)))
        for column in columns
    )
    near = Part(bounds=bounds, least=program.bound(cost))
    tell(branch_and_cut(near.of(program), None, effort, tell))
