"""What whole batches cover of what is asked for: a much better relaxation where batches are large.

A linear relaxation covers what is asked for with bits of batches, each just in time. But where m
bars are missing in all, what is asked for up to a day, less m, takes so many whole batches. With a
column for each level of what may be missing, 1 if at least so much is, that is a linear row for
each day, and with one batch size these rows describe all that can be said of a product by itself:
the convex hull of a mixing set.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from planner.solver.linear import Cover, Linear, Mixing
from planner.solver.matrix import Floats, Ints, Program, Row, coefficients_of, extended

MOST = 400_000
"""Batches that all covers together ask for, above which the program grows too large."""

PRICED = 1e-3
"""Units of the cost that a row's price is above if it takes part in a relaxation's bound."""


@dataclass(frozen=True, kw_only=True)
class Rounded:
    """A cover in whole counts: weights . counts + rises . levels + reliefs . (1 - flags) >= least.

    `levels` are numbers of things missing; the row holds columns of the program by position.
    """

    counts: tuple[Ints, Floats]
    levels: Ints
    rises: Floats
    flags: tuple[Ints, Floats]
    least: int


@dataclass(frozen=True, kw_only=True)
class Levels:
    """Columns that are 1 if at least so much is missing: levels[i] has column first + i."""

    missing: Linear
    levels: Ints
    first: int


@dataclass(frozen=True, kw_only=True)
class Covering:
    """One mixing as a program says it: its levels, its rounded covers, and the row of each."""

    levels: Levels
    covers: Sequence[Rounded]
    rows: Sequence[int]


@dataclass(frozen=True, kw_only=True)
class Mixed:
    """A program with levels behind its own columns, and rounded covers behind its own rows.

    `places` tells which ones they are of all the covers that there could be.
    """

    base: Program
    program: Program
    coverings: Sequence[Covering]
    places: Sequence[int]

    def completed(self, values: Mapping[int, int]) -> dict[int, int]:
        """Whole values of the program's own columns, and those of the levels that follow."""
        found = dict(values)
        for levels in (covering.levels for covering in self.coverings):
            missing = levels.missing.value(found)
            reached = (levels.levels <= missing).astype(int).tolist()
            columns = range(levels.first, levels.first + len(reached))
            found.update(zip(columns, reached, strict=True))
        return found

    def priced(self, duals: Floats) -> "Mixed":
        """The same with only those covers whose rows have a price: smaller, with the same bound."""
        rows = [row for covering in self.coverings for row in covering.rows]
        priced = np.array(self.places)[duals[rows] > PRICED]
        return self.only(priced.tolist())

    def only(self, places: Collection[int]) -> "Mixed":
        """The same with only those of its covers that have one of these places."""
        few: list[tuple[Linear, Sequence[Rounded]]] = []
        wanted, own = frozenset(places), iter(self.places)
        for covering in self.coverings:
            kept = [cover for cover in covering.covers if next(own) in wanted]
            few.append((covering.levels.missing, kept))
        return _mixed(self.base, few, [place for place in self.places if place in wanted])


def with_mixing(program: Program, mixings: Sequence[Mixing]) -> Mixed | None:
    """The program, which now covers by whole counts; its own columns can take the same values.

    None where there is nothing to cover, or too much.
    """
    asked = (
        max(0, cover.amount) // size
        for mixing in mixings
        for cover in mixing.covers
        for size in cover.counts
    )
    if sum(asked) > MOST:
        return None
    sets = [(mixing.missing, list(_rounded(mixing))) for mixing in mixings]
    covers = sum(len(covers) for _, covers in sets)
    return _mixed(program, sets, range(covers)) if covers else None


def least_counts(sizes: Sequence[int], weights: Sequence[int], most: int) -> Ints:
    """The least weight of whole counts of the sizes that cover 0, 1, ... `most`."""
    least = [0]
    for amount in range(1, most + 1):
        least.append(
            min(
                weight + least[max(0, amount - size)]
                for size, weight in zip(sizes, weights, strict=True)
            )
        )
    return np.array(least, np.int64)


def weightings_of(sizes: Sequence[int]) -> list[tuple[int, ...]]:
    """Weights of the sizes, given from the largest down: each size in its turn counts once.

    A larger one then counts as often as it comes nearest to, a smaller one once.
    """
    every = [tuple(max(1, round(size / one)) for size in sizes) for one in sizes]
    return list(dict.fromkeys(every))


def _rounded(mixing: Mixing) -> Iterator[Rounded]:
    """The rounded covers of a mixing, with and without what flags may add."""
    covers = [cover for cover in mixing.covers if cover.amount > 0]
    sizes = sorted({size for cover in covers for size in cover.counts}, reverse=True)
    most = max((cover.amount for cover in covers), default=0)
    for weights in weightings_of(sizes):
        least = least_counts(sizes, weights, most)
        weight_of = dict(zip(sizes, weights, strict=True))
        for cover in covers:
            flags = sum(quantity for _, quantity in cover.flags)
            if cover.amount > flags:
                yield _row_for(cover, weight_of, least, cover.amount - flags, with_flags=False)
            if flags:
                yield _row_for(cover, weight_of, least, cover.amount, with_flags=True)


def _row_for(
    cover: Cover, weight_of: Mapping[int, int], least: Ints, amount: int, with_flags: bool
) -> Rounded:
    weighted = Linear()
    for size, count in cover.counts.items():
        weighted.add(count, weight_of[size])
    flags = cover.flags if with_flags else ()
    reliefs = [_relief(least[: amount + 1], quantity) for _, quantity in flags]
    rising = np.flatnonzero(np.diff(least[: amount + 1])) + 1
    return Rounded(
        counts=coefficients_of(weighted),
        levels=amount + 1 - rising,
        rises=np.diff(least)[rising - 1].astype(np.float64),
        flags=(np.array([flag.index for flag, _ in flags], np.int64), np.array(reliefs, float)),
        least=int(least[amount]),
    )


def _relief(least: Ints, quantity: int) -> float:
    """What so much less to cover spares at the most."""
    before = np.concatenate([np.zeros(min(quantity, len(least)), np.int64), least[:-quantity]])
    return float((least - before).max())


def _mixed(
    program: Program, sets: Sequence[tuple[Linear, Sequence[Rounded]]], places: Sequence[int]
) -> Mixed:
    rows: list[Row] = []
    coverings: list[Covering] = []
    first = program.columns
    for missing, covers in sets:
        used = np.unique(np.concatenate([np.zeros(0, np.int64), *(c.levels for c in covers)]))
        levels = Levels(missing=missing, levels=used, first=first)
        first += len(used)
        rows += _rows_of(levels)
        begin = program.rows + len(rows)
        own = range(begin, begin + len(covers))
        rows += [_row_of(cover, levels) for cover in covers]
        coverings.append(Covering(levels=levels, covers=covers, rows=own))
    grown = extended(program, first - program.columns, rows)
    return Mixed(base=program, program=grown, coverings=coverings, places=places)


def _rows_of(levels: Levels) -> Iterator[Row]:
    """missing >= what the levels reached come to; none is reached before the one below it."""
    columns: Ints = levels.first + np.arange(len(levels.levels))
    own, values = coefficients_of(levels.missing)
    yield Row(
        columns=np.append(own, columns),
        values=np.append(values, -np.diff(levels.levels, prepend=0)),
        lower=-levels.missing.constant,
    )
    for pair in pairwise(columns.tolist()):
        yield Row(columns=np.array(pair), values=np.array([1.0, -1.0]), lower=0)


def _row_of(cover: Rounded, levels: Levels) -> Row:
    places: Ints = levels.first + np.searchsorted(levels.levels, cover.levels)
    flags, reliefs = cover.flags
    return Row(
        columns=np.concatenate([cover.counts[0], places, flags]),
        values=np.concatenate([cover.counts[1], cover.rises, -reliefs]),
        lower=cover.least - reliefs.sum(),
    )
