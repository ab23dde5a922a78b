"""Days taken together: a smaller program, whose bound holds for the whole.

Where days are alike it matters little on which of them a batch is poured or packed, and yet branch
and cut looks at all the ways to say the same. So counts are told at the ends of spans of days only.
What a row says of a count within a span holds for what it is at least, or at most, at their ends;
and the minutes of a span are filled by whole patterns, each as often as there are days for it. That
relaxes to hardly less than day by day, and whole numbers in it prove much more in the same time.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from planner.solver.linear import Knapsack, Linear, LinearModel, Staircase
from planner.solver.matrix import Floats, Ints, Program, Row, coefficients_of, extended
from planner.solver.patterns import Pattern, patterns_of

FIRST, LAST, SPAN = 10, 15, 5
"""Days with knapsacks at the beginning and at the end that stay apart, since what can be done on
them differs most, and those of a span between them: a week."""


def in_spans(program: Program, model: LinearModel) -> Program:
    """A program of a model, maybe with covers, with days taken together.

    Its columns come first, then those of patterns. Each assignment that keeps the program's rows
    keeps these too, with the patterns that its days follow. Of a span's steps only their counts at
    the ends have a meaning. Raises ValueError where a day has too many patterns.
    """
    ends = ends_of([knapsack.day for knapsack in model.knapsacks])
    patterned = _with_patterns(program, model.knapsacks, ends)
    return _loosened(patterned, *_neighbours(patterned, model.staircases, ends))


def ends_of(days: Sequence[int]) -> list[int]:
    """The last day of each span of some days in their order."""
    between = days[FIRST : max(FIRST, len(days) - LAST)]
    ends = {*days[:FIRST], *between[SPAN - 1 :: SPAN], *between[-1:], *days[-LAST:]}
    return sorted(ends)


def _with_patterns(program: Program, knapsacks: Sequence[Knapsack], ends: Sequence[int]) -> Program:
    """The program with how often each pattern is followed in a span.

    The count of each size in it <= the sum of times in a pattern x how often that is followed; the
    patterns of days that are alike are followed as often as there are such days at the most.
    """
    counts: dict[tuple[int, int], Linear] = defaultdict(Linear)
    alike: dict[tuple[int, tuple[int, ...], int], int] = defaultdict(int)
    for knapsack in knapsacks:
        span = int(np.searchsorted(ends, knapsack.day))
        sizes = tuple(sorted(knapsack.counts, reverse=True))
        for size in sizes:
            counts[span, size].add(knapsack.counts[size])
        if sizes:
            alike[span, sizes, knapsack.capacity] += 1
    rows: list[Row] = []
    most: list[int] = []
    filled: dict[tuple[int, int], list[tuple[int, int]]] = defaultdict(list)
    for (span, sizes, capacity), days in alike.items():
        patterns = _patterns(sizes, capacity)
        first = program.columns + len(most)
        for column, pattern in enumerate(patterns, first):
            for size, times in zip(sizes, pattern, strict=True):
                filled[span, size].append((column, -times))
        most += [days] * len(patterns)
        columns: Ints = first + np.arange(len(patterns))
        rows.append(Row(columns=columns, values=np.ones(len(patterns)), upper=days))
    for place, count in counts.items():
        columns, values = coefficients_of(count)
        own: Ints = np.array(filled[place], np.int64).reshape(-1, 2)
        rows.append(
            Row(
                columns=np.append(columns, own[:, 0]),
                values=np.append(values, own[:, 1].astype(np.float64)),
                upper=-count.constant,
            )
        )
    grown = extended(program, len(most), rows)
    return replace(grown, upper=np.append(program.upper, most))


def _patterns(sizes: tuple[int, ...], capacity: int) -> tuple[Pattern, ...]:
    patterns = patterns_of(sizes, capacity)
    if patterns is None:
        raise ValueError(f"too many ways to fill {capacity} with {sizes}")
    return patterns


def _neighbours(
    program: Program, staircases: Sequence[Staircase], ends: Sequence[int]
) -> tuple[Ints, Ints]:
    """For each column the last one at an end that is never above it, the next that is never below.

    The column itself where it stays; -1 where it is a count before the first end, which may be 0.
    What is 0 or 1 tells on which day something happens, and stays on every day.
    """
    below: Ints = np.arange(program.columns)
    above: Ints = np.arange(program.columns)
    for staircase in staircases:
        steps = [step.index for step in staircase.steps]
        if not steps or program.upper[steps[-1]] <= 1:
            continue
        kept = {at.index for day in ends if (at := staircase.at(day)) is not None}
        last, following = -1, steps[-1]
        for step in steps[:-1]:
            last = step if step in kept else last
            below[step] = last
        for step in reversed(steps):
            following = step if step in kept else following
            above[step] = following
    return below, above


def _loosened(program: Program, below: Ints, above: Ints) -> Program:
    """The program in rows of at most, and each column in the place that makes them no tighter."""
    sides = [
        (sign, limits, np.flatnonzero(np.isfinite(limits)))
        for sign, limits in ((1.0, program.row_upper), (-1.0, -program.row_lower))
    ]
    rows: list[Ints] = []
    columns: list[Ints] = []
    values: list[Floats] = []
    first = 0
    for sign, _, kept in sides:
        few = program.only_rows(kept)
        value = sign * few.values
        column = np.where(value > 0, below[few.indices], above[few.indices])
        there = column >= 0
        rows.append(first + few.row_of[there])
        columns.append(column[there])
        values.append(value[there])
        first += len(kept)
    places = np.concatenate(rows) * program.columns + np.concatenate(columns)
    where, inverse = np.unique(places, return_inverse=True)
    sums = np.bincount(inverse, weights=np.concatenate(values))
    where, sums = where[sums != 0], sums[sums != 0]
    upper = np.concatenate([limits[kept] for _, limits, kept in sides])
    moved = np.where(program.cost > 0, below, above)
    costs = np.flatnonzero((program.cost != 0) & (moved >= 0))
    cost: Floats = np.zeros(program.columns)
    np.add.at(cost, moved[costs], program.cost[costs])
    return replace(
        program,
        cost=cost,
        starts=np.searchsorted(where, np.arange(first + 1) * program.columns),
        indices=where % program.columns,
        values=sums,
        row_lower=np.full(first, -np.inf),
        row_upper=upper,
    )
