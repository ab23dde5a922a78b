"""The linear model as a mixed-integer program in arrays, the same rules row by row."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil, gcd
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

if TYPE_CHECKING:  # a process that is given arrays has no use for OR-Tools
    from planner.solver.linear import Linear, LinearModel

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]

ENDLESS = 1 << 62
"""CP-SAT writes bounds of at least this size for a row that is open on that side."""

TOLERANCE = 1e-6
"""Relative error that a solver's bound in floating point is allowed for."""

ROUNDING = 1e-12
"""Relative error of our own sums, by the size of their terms: many times what doubles lose."""


@dataclass(frozen=True, kw_only=True)
class Program:
    """Minimise offset + unit x (cost . x), x whole in lower .. upper, rows within their bounds.

    Columns that are `divisible` need not be whole: what the others can be does not depend on it.
    Row i has the coefficients values[starts[i] : starts[i + 1]] at the columns indices[...]. Each
    row, and the cost, is divided by what divides all of its coefficients: nothing is rounded.
    """

    lower: Floats
    upper: Floats
    cost: Floats
    unit: int
    offset: int
    starts: Ints
    indices: Ints
    values: Floats
    row_lower: Floats
    row_upper: Floats
    divisible: Flags

    @property
    def columns(self) -> int:
        """Number of variables."""
        return len(self.lower)

    @property
    def rows(self) -> int:
        """Number of rows."""
        return len(self.row_lower)

    @property
    def nonzeros(self) -> int:
        """Number of coefficients in all rows."""
        return len(self.values)

    def holds(self, values: Sequence[int]) -> bool:
        """True if whole values keep every row and every column's bounds, in whole numbers."""
        whole: Ints = np.array(values, np.int64)
        if (whole < self.lower).any() or (whole > self.upper).any():
            return False
        terms = self.values.astype(np.int64) * whole[self.indices]
        sums = np.zeros(self.rows, np.int64)
        np.add.at(sums, self.row_of, terms)
        return bool(((sums >= self.row_lower) & (sums <= self.row_upper)).all())

    @property
    def row_of(self) -> Ints:
        """The row of each coefficient; not kept: another thread may be sending the program away."""
        return np.repeat(np.arange(self.rows), np.diff(self.starts))

    def times(self, columns: Floats) -> Floats:
        """What each row comes to."""
        sums: Floats = np.zeros(self.rows)
        np.add.at(sums, self.row_of, self.values * columns[self.indices])
        return sums

    def transposed_times(self, rows: Floats) -> Floats:
        """What each column comes to for a factor of each row."""
        terms = self.values * rows[self.row_of]
        sums: Floats = np.zeros(self.columns)
        np.add.at(sums, self.indices, terms)
        return sums

    def with_goal(self, goal: Linear) -> Program:
        """The same rows with another goal."""
        cost, unit = _cost_of(goal, self.columns)
        return replace(self, cost=cost, unit=unit, offset=goal.constant)

    def only_rows(self, rows: Ints) -> Program:
        """The same columns with some of the rows, which are given in rising order."""
        kept = np.isin(self.row_of, rows)
        return replace(
            self,
            starts=np.append(0, np.cumsum(np.diff(self.starts)[rows])),
            indices=self.indices[kept],
            values=self.values[kept],
            row_lower=self.row_lower[rows],
            row_upper=self.row_upper[rows],
        )

    def part(self, columns: Ints, without: Ints) -> Program:
        """Some columns, and the rows that hold nothing else, but for some rows."""
        inside = np.zeros(self.columns, np.bool_)
        inside[columns] = True
        here = inside[self.indices]
        counts = np.bincount(self.row_of, weights=here, minlength=self.rows)
        mine = (counts > 0) & (counts == np.diff(self.starts))
        mine[without] = False
        rows = np.flatnonzero(mine)
        few = self.only_rows(rows)
        position = np.zeros(self.columns, np.int64)
        position[columns] = np.arange(len(columns))
        return replace(
            few,
            lower=self.lower[columns],
            upper=self.upper[columns],
            cost=self.cost[columns],
            divisible=self.divisible[columns],
            indices=position[few.indices],
        )

    def bound(self, value: float, scale: float = 0.0) -> int:
        """The least value of the goal that a bound in units of the cost allows.

        `scale` is the size of the terms that the bound is the sum of, where they cancel out.
        """
        slack = TOLERANCE * max(1.0, abs(value), scale)
        return ceil(value - slack) * self.unit + self.offset

    def units_below(self, value: int) -> float:
        """What an assignment has to stay below, in units of the cost, to be better than a value."""
        return (value - self.offset) / self.unit - 0.5

    def dual_bound(self, duals: Floats) -> int:
        """What any factors of the rows prove about the goal by weak duality."""
        return ceil(self.dual_value(duals)) * self.unit + self.offset

    def dual_value(self, duals: Floats) -> float:
        """The same in units of the cost, not rounded up to a whole one.

        A solver's duals give the bound of the relaxation; inexact ones a lower one, never a false
        one, for each column then counts at the better of its bounds.
        """
        allowed = np.where(duals > 0, np.isfinite(self.row_lower), np.isfinite(self.row_upper))
        factors = np.where(allowed, duals, 0.0)
        used = factors != 0
        sides = np.where(used, np.where(factors > 0, self.row_lower, self.row_upper), 0.0)
        reduced = self.cost - self.transposed_times(factors)
        value = factors @ sides + np.minimum(reduced * self.lower, reduced * self.upper).sum()
        widest = np.maximum(abs(self.lower), abs(self.upper))
        positive = replace(self, values=np.abs(self.values))
        terms = abs(self.cost) + positive.transposed_times(abs(factors))
        slack = ROUNDING * (abs(factors * sides).sum() + terms @ widest)
        return float(value - slack)


@dataclass(frozen=True, kw_only=True)
class Row:
    """lower <= the sum of values[i] x column columns[i] <= upper."""

    columns: Ints
    values: Floats
    lower: float = -np.inf
    upper: float = np.inf


def extended(
    program: Program, shares: int, rows: Sequence[Row], divisible: bool = False
) -> Program:
    """The program with so many columns in 0 .. 1 that cost nothing, and rows, behind its own."""
    ends = program.starts[-1] + np.cumsum([len(row.columns) for row in rows], dtype=np.int64)
    return replace(
        program,
        lower=np.append(program.lower, np.zeros(shares)),
        upper=np.append(program.upper, np.ones(shares)),
        cost=np.append(program.cost, np.zeros(shares)),
        starts=np.append(program.starts, ends),
        indices=np.concatenate([program.indices, *(row.columns for row in rows)]),
        values=np.concatenate([program.values, *(row.values for row in rows)]),
        row_lower=np.append(program.row_lower, [row.lower for row in rows]),
        row_upper=np.append(program.row_upper, [row.upper for row in rows]),
        divisible=np.append(program.divisible, np.full(shares, divisible)),
    )


def coefficients_of(linear: Linear) -> tuple[Ints, Floats]:
    """The columns of a sum, each once, and its coefficients; the constant is left out."""
    row: dict[int, int] = {}
    for variable, coefficient in zip(linear.variables, linear.coefficients, strict=True):
        row[variable.index] = row.get(variable.index, 0) + coefficient
    return np.array(list(row), np.int64), np.array(list(row.values()), np.float64)


def program_of(model: LinearModel, goal: Linear) -> Program:
    """The model with a goal. Raises ValueError if a constraint is not linear."""
    proto = model.proto.proto
    domains = [tuple(variable.domain) for variable in proto.variables]
    cost, unit = _cost_of(goal, len(domains))
    starts = [0]
    indices: list[int] = []
    values: list[int] = []
    bounds: list[tuple[float, float]] = []
    for constraint in proto.constraints:
        row, low, high = _row_of(constraint)
        indices += row.keys()
        values += row.values()
        starts.append(len(indices))
        bounds.append((low, high))
    return Program(
        lower=np.array([domain[0] for domain in domains], np.float64),
        upper=np.array([domain[-1] for domain in domains], np.float64),
        cost=cost,
        unit=unit,
        offset=goal.constant,
        starts=np.array(starts, np.int64),
        indices=np.array(indices, np.int64),
        values=np.array(values, np.float64),
        row_lower=np.array([low for low, _ in bounds], np.float64),
        row_upper=np.array([high for _, high in bounds], np.float64),
        divisible=np.zeros(len(domains), np.bool_),
    )


def _cost_of(goal: Linear, columns: int) -> tuple[Floats, int]:
    """The goal's coefficients divided by their greatest common divisor, and that divisor."""
    cost: Ints = np.zeros(columns, np.int64)
    positions = [variable.index for variable in goal.variables]
    np.add.at(cost, positions, np.array(goal.coefficients, np.int64))
    unit = int(np.gcd.reduce(cost)) or 1
    return (cost // unit).astype(np.float64), unit


def _row_of(constraint: Any) -> tuple[dict[int, int], float, float]:
    """Column -> coefficient, and the bounds; a clause without literals cannot hold."""
    if not constraint.has_linear() or len(constraint.enforcement_literal):
        if constraint.has_bool_or() and not len(constraint.bool_or.literals):
            return {}, 1.0, np.inf
        raise ValueError(f"not a linear row: {constraint.name}")
    linear = constraint.linear
    low, high = linear.domain  # a row over several intervals would not be linear
    row: dict[int, int] = {}
    for column, coefficient in zip(list(linear.vars), list(linear.coeffs), strict=True):
        row[column] = row.get(column, 0) + coefficient
    divisor = gcd(*row.values()) or 1
    # All variables are whole, so that bounds between two multiples of the divisor can be rounded.
    return (
        {column: coefficient // divisor for column, coefficient in row.items()},
        -np.inf if low <= -ENDLESS else float(-(-low // divisor)),
        np.inf if high >= ENDLESS else float(high // divisor),
    )
