"""The planner's linear model as a mixed-integer program in arrays, the same rules row by row."""

from dataclasses import dataclass
from math import gcd
from typing import Any

import numpy as np
import numpy.typing as npt

from planner.solver.linear import Linear, LinearModel

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

ENDLESS = 1 << 62
"""CP-SAT writes bounds of at least this size for a row that is open on that side."""


@dataclass(frozen=True, kw_only=True)
class Mip:
    """Minimise offset + unit x (cost . x), x whole in lower .. upper, rows within their bounds.

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


def mip_of(model: LinearModel, goal: Linear) -> Mip:
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
    return Mip(
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
