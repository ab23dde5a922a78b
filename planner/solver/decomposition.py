"""A bound for workshops too large to solve as a whole: the products one by one.

Lagrangian relaxation: the rows that share moulds, trays, hands and stock out
between products are dropped, and what is used of them is paid for at the prices that the linear
relaxation puts on them. What is left falls apart into a small program for each product, or for
those launched together, which is solved in whole batches. The sum of their bounds is a bound for
all of it, whatever the prices, and with these never below that of the linear relaxation.
"""

from collections.abc import Sequence
from math import isfinite

import numpy as np

from planner.solver.highs import Relaxation, least_cost
from planner.solver.matrix import Ints, Program


def decomposed_bound(
    program: Program,
    shared_rows: Sequence[int],
    relaxation: Relaxation,
    implied: Sequence[int] = (),
) -> int:
    """The bound in thousandths; that of the relaxation if a part has none in the time it gets.

    Rows that whole values keep anyway are left out: without them the parts are solved sooner.
    Raises ValueError if a shared row is not of the form "at most".
    """
    shared: Ints = np.array(shared_rows, np.int64)
    rows = program.only_rows(shared)
    if np.isfinite(rows.row_lower).any():
        raise ValueError("a shared row has a lower bound")
    prices = np.maximum(0.0, -relaxation.duals[shared])
    costs = program.cost + rows.transposed_times(prices)
    without: Ints = np.union1d(shared, np.array(implied, np.int64))
    parts = parts_of(program, without)
    alone = np.ones(program.columns, np.bool_)
    for columns in parts:
        alone[columns] = False
    least_alone = np.minimum(costs * program.lower, costs * program.upper)[alone]
    total = float(least_alone.sum() - prices @ rows.row_upper)
    scale = float(abs(least_alone).sum() + prices @ abs(rows.row_upper))
    for columns in parts:
        least = least_cost(program.part(columns, without=without), costs[columns])
        if not isfinite(least):
            return relaxation.bound
        total += least
        scale += abs(least)
    return max(relaxation.bound, program.bound(total, scale))


def columns_without_rows(program: Program, without: Ints) -> Ints:
    """The columns that stand in no row but some."""
    rows_left = ~np.isin(program.row_of, without)
    return np.flatnonzero(np.bincount(program.indices[rows_left], minlength=program.columns) == 0)


def parts_of(program: Program, without: Ints) -> list[Ints]:
    """The columns of each part into which the program falls without some rows: union and find.

    Columns that stand in no other row are in none.
    """
    parent = list(range(program.columns))

    def root(column: int) -> int:
        while parent[column] != column:
            parent[column] = parent[parent[column]]
            column = parent[column]
        return column

    left_out = set(without.tolist())
    indices, starts = program.indices.tolist(), program.starts.tolist()
    for row in range(program.rows):
        if row not in left_out:
            for column in indices[starts[row] : starts[row + 1]]:
                parent[root(column)] = root(indices[starts[row]])
    groups: dict[int, list[int]] = {}
    alone = set(columns_without_rows(program, without).tolist())
    for column in range(program.columns):
        if column not in alone:
            groups.setdefault(root(column), []).append(column)
    return [np.array(group) for group in groups.values()]
