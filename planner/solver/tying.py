"""A program of which most is settled: its columns are fixed, or move along with those still free.

What is left over is a smaller program, which says the same of the free columns as the whole does.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from planner.solver.matrix import Flags, Floats, Ints, Program

FIXED = -1
"""Stands for a column's leader where it has none."""


@dataclass(frozen=True, kw_only=True)
class Tied:
    """Column i of the whole is offsets[i], and more by what its leader comes to, if it has one.

    `leaders` holds columns of the whole, or FIXED. One that is free leads itself, with offset 0.
    """

    whole: Program
    leaders: Ints
    offsets: Ints

    @cached_property
    def free(self) -> Ints:
        """The columns that lead, in rising order: those of the smaller program."""
        return np.unique(self.leaders[self._moves])

    @cached_property
    def program(self) -> Program:
        """The smaller program; rows without any of its columns are left out."""
        whole, moves = self.whole, self._moves
        places = np.searchsorted(self.free, self.leaders)
        inside = moves[whole.indices]
        terms = places[whole.indices[inside]], whole.values[inside]
        rows, columns, values = _summed(whole.row_of[inside], *terms, len(self.free))
        used = np.unique(rows)
        settled = whole.times(self.offsets.astype(np.float64))[used]
        lower, upper = np.full((2, len(self.free)), [[-np.inf], [np.inf]])
        np.maximum.at(lower, places[moves], (whole.lower - self.offsets)[moves])
        np.minimum.at(upper, places[moves], (whole.upper - self.offsets)[moves])
        counts = np.bincount(np.searchsorted(used, rows), minlength=len(used))
        return replace(
            whole,
            lower=lower,
            upper=upper,
            cost=np.bincount(places[moves], whole.cost[moves], len(self.free)).astype(np.float64),
            offset=whole.offset + whole.unit * round(float(whole.cost @ self.offsets)),
            starts=np.append(0, np.cumsum(counts)),
            indices=columns,
            values=values,
            row_lower=whole.row_lower[used] - settled,
            row_upper=whole.row_upper[used] - settled,
            divisible=whole.divisible[self.free],
        )

    def narrowed(self, values: Mapping[int, int]) -> dict[int, int]:
        """Values of the whole's columns as those of the smaller program."""
        return {place: values[column] for place, column in enumerate(self.free.tolist())}

    def widened(self, values: Sequence[int]) -> list[int]:
        """Values of the smaller program's columns as those of the whole."""
        whole = np.zeros(self.whole.columns, np.int64)
        whole[self.free] = values
        led = np.where(self._moves, whole[self.leaders], 0)
        found: list[int] = (led + self.offsets).tolist()
        return found

    @cached_property
    def _moves(self) -> Flags:
        moves: Flags = self.leaders != FIXED
        return moves


def _summed(rows: Ints, columns: Ints, values: Floats, width: int) -> tuple[Ints, Ints, Floats]:
    """Coefficients by row, then column, those of the same place added up; zeros are left out."""
    keys, place = np.unique(rows * width + columns, return_inverse=True)
    sums = np.bincount(place, values, len(keys))
    keys, sums = keys[sums != 0], sums[sums != 0]
    return keys // width, keys % width, sums
