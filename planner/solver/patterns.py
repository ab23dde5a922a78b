"""What fits into a day's minutes, as patterns: a much better relaxation where steps are long.

Half a batch makes no sense, yet a linear relaxation fills the last minutes of every day with one.
A pattern is a way to fill a day to which no step can be added. If the steps of each day are
at most a mixture of patterns with shares that sum to one, the relaxation keeps to the convex hull
of what can be done in whole steps: the best that can be said of a day by itself.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from planner.solver.linear import Knapsack, Linear
from planner.solver.matrix import Floats, Ints, Program, Row, coefficients_of, extended

MOST = 40_000
"""Patterns in all above which the program grows too large; it is then left as it is."""

MOST_OF_A_DAY = 2_000
"""Patterns of one day above which its steps are so short that little can be said of them."""

Pattern = tuple[int, ...]
"""How often each size is there, from the largest down."""


@dataclass(frozen=True, kw_only=True)
class Mixture:
    """The patterns of a knapsack, counts[i] of which may use what they have at place i.

    Their shares are the columns from `first` on.
    """

    counts: Sequence[Linear]
    patterns: Sequence[Pattern]
    first: int


@dataclass(frozen=True, kw_only=True)
class Patterned:
    """A program with the shares of patterns behind its own columns, and rows behind its own."""

    program: Program
    mixtures: tuple[Mixture, ...]

    def completed(self, values: Mapping[int, int]) -> dict[int, int]:
        """Whole values of the program's own columns, and of each mixture one pattern with room.

        Raises StopIteration if the values break a knapsack.
        """
        shares: dict[int, int] = {}
        for mixture in self.mixtures:
            counts = [count.value(dict(values)) for count in mixture.counts]
            shares |= dict.fromkeys(range(mixture.first, mixture.first + len(mixture.patterns)), 0)
            room = next(
                place
                for place, pattern in enumerate(mixture.patterns)
                if all(n <= most for n, most in zip(counts, pattern, strict=True))
            )
            shares[mixture.first + room] = 1
        return {**values, **shares}


def with_patterns(program: Program, knapsacks: Sequence[Knapsack]) -> Patterned | None:
    """The program, which now keeps to mixtures of patterns; its columns can take the same values.

    Two kinds of rows are new: for each size of a knapsack, its count <= the sum of share x times
    in the pattern; for each knapsack, the sum of shares <= 1. None where there are no knapsacks,
    or too many patterns.
    """
    mixtures: list[Mixture] = []
    columns = program.columns
    for knapsack in knapsacks:
        sizes = tuple(sorted(knapsack.counts, reverse=True))
        patterns = patterns_of(sizes, knapsack.capacity) if sizes else ()
        if patterns is None or columns - program.columns + len(patterns) > MOST:
            return None
        if patterns:
            counts = [knapsack.counts[size] for size in sizes]
            mixtures.append(Mixture(counts=counts, patterns=patterns, first=columns))
            columns += len(patterns)
    if not mixtures:
        return None
    return Patterned(program=_extended(program, mixtures), mixtures=tuple(mixtures))


@cache
def patterns_of(sizes: tuple[int, ...], capacity: int) -> tuple[Pattern, ...] | None:
    """All ways to fill a capacity with sizes, given from the largest down, that leave no room.

    None if there are more than `MOST_OF_A_DAY`.
    """
    found: list[Pattern] = []

    def fill(place: int, left: int, counts: Pattern) -> None:
        if len(found) > MOST_OF_A_DAY:
            return
        if place == len(sizes):
            if left < sizes[-1]:
                found.append(counts)
            return
        for count in range(left // sizes[place], -1, -1):
            fill(place + 1, left - count * sizes[place], (*counts, count))

    if capacity >= 0:
        fill(0, capacity, ())
    return None if len(found) > MOST_OF_A_DAY else tuple(found)


def _extended(program: Program, mixtures: Sequence[Mixture]) -> Program:
    """The program with a column for each share, and the rows of the mixtures."""
    rows: list[Row] = []
    for mixture in mixtures:
        shares: Ints = mixture.first + np.arange(len(mixture.patterns))
        times: Floats = np.array(mixture.patterns, np.float64)
        for place, count in enumerate(mixture.counts):
            columns, values = coefficients_of(count)
            used = times[:, place] > 0
            rows.append(
                Row(
                    columns=np.append(columns, shares[used]),
                    values=np.append(values, -times[used, place]),
                    upper=-count.constant,
                )
            )
        rows.append(Row(columns=shares, values=np.ones(len(shares)), upper=1))
    number = sum(len(mixture.patterns) for mixture in mixtures)
    return extended(program, number, rows, divisible=True)  # whole counts keep to the knapsack
