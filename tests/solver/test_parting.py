"""Parts of a program: nothing that counts is in none of them, and nothing in two."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

import pytest

from planner.solver.highs import Effort, Proof, Simplex
from planner.solver.matrix import Program, program_of
from planner.solver.parting import MOST, Levels, Part, Splitter, closed, parted, rounded
from planner.solver.partition import levels_of
from planner.solver.search import minimise
from planner.solver.task import Task
from tests.solver.pools import ENOUGH, TwoProducts, service_task, small_workshop
from tests.workshops import random_workshop

WHOLE = Part(least=0)
EFFORT = Effort(work=60, seconds=60)


def programmed(task: Task) -> tuple[Program, Levels]:
    return program_of(task.model.model, task.goal), levels_of(task.model.variables)


def parts_of(program: Program, levels: Levels, cutoff: int) -> list[Part]:
    told: list[list[Part]] = []
    parted(told.append, program, levels, WHOLE, cutoff, 60)
    (parts,) = told
    return parts


def lies_in(values: Sequence[int], part: Part) -> bool:
    return all(low <= values[column] <= high for column, low, high in part.bounds)


def crowded(seed: int) -> Task:
    """A workshop whose relaxation is far below what it can do."""
    return service_task(random_workshop(seed, products=3, days=40, bottleneck="trays"), ENOUGH)


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_best_lies_in_one_part_which_knows_no_more_than_it(seed: int) -> None:
    task = crowded(seed)
    best = minimise(task).values
    value = task.goal.value(best)
    values = [best[column] for column in range(len(best))]
    program, levels = programmed(task)
    parts = parts_of(program, levels, value + program.unit)
    assert 1 <= len(parts) <= MOST
    (mine,) = [part for part in parts if lies_in(values, part)]
    assert mine.least <= value
    assert mine.of(program).holds(values)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_parts_exclude_each_other(seed: int) -> None:
    """Of each two there is a column that cannot have the same value in both."""
    task = crowded(seed)
    program, levels = programmed(task)
    parts = parts_of(program, levels, task.goal.value(task.hint))
    for one, other in combinations(parts, 2):
        theirs = {column: (low, high) for column, low, high in other.bounds}
        both = [(each, theirs[each[0]]) for each in one.bounds if each[0] in theirs]
        assert any(high < lowest or low > highest for (_, low, high), (lowest, highest) in both)


@pytest.mark.parametrize("seed", [1, 2])
def test_halves_meet_where_the_whole_relaxes_to_a_bit_of_a_batch(seed: int) -> None:
    """Neither relaxes to less than the whole does."""
    task = crowded(seed)
    program, levels = programmed(task)
    splitter = Splitter(program, levels, 10**12, 60)
    whole = splitter.corner(WHOLE)
    assert whole is not None
    halves = splitter.split(whole)
    assert halves is not None
    below, above = halves
    ((column, _, highest),), ((same, lowest, _),) = below.part.bounds, above.part.bounds
    assert (column, highest + 1) == (same, lowest)
    assert highest < whole.values[column] < lowest
    assert min(below.part.least, above.part.least) >= whole.part.least


def test_what_is_whole_already_is_not_split() -> None:
    two = TwoProducts()
    splitter = Splitter(two.program, [], 10**9, 60)
    whole = splitter.corner(WHOLE)
    assert whole is not None
    assert splitter.split(whole) is None


def test_no_part_is_left_where_nothing_is_below_the_cutoff() -> None:
    two = TwoProducts()
    levels = [[each.index for each in two.batches]]
    assert parts_of(two.program, levels, 86) == []
    assert parts_of(two.program, levels, 87) != []


def test_without_time_nothing_is_told() -> None:
    task = service_task(random_workshop(1, products=6, days=90, bottleneck="trays"))
    program, levels = programmed(task)
    told: list[list[Part]] = []
    parted(told.append, program, levels, WHOLE, task.goal.value(task.hint), 0)
    assert told == []


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 12, 19])
def test_the_best_of_all_parts_is_the_best_of_the_whole(seed: int) -> None:
    task = service_task(small_workshop(seed), ENOUGH)
    program, levels = programmed(task)
    value = task.goal.value(minimise(task).values)
    reached: list[int] = []
    for part in parts_of(program, levels, task.goal.value(task.hint) + program.unit):
        told: list[Proof | list[Part]] = []
        closed(told.append, program, levels, part, EFFORT, 10**12)
        last = told[-1]
        assert isinstance(last, Proof)
        assert last.optimal
        if last.values is not None:
            reached.append(task.goal.value(dict(enumerate(last.values))))
    assert min(reached) == value


def test_a_part_that_does_not_end_is_told_in_parts() -> None:
    """They know what was proven of it, and that it was tried once more than before."""
    task = crowded(1)
    program, levels = programmed(task)
    told: list[Proof | list[Part]] = []
    part = Part(least=0, tries=2)
    effort = replace(EFFORT, work=1e-9)
    closed(told.append, program, levels, part, effort, task.goal.value(task.hint))
    *_, proof, parts = told
    assert isinstance(proof, Proof)
    assert isinstance(parts, list)
    assert not proof.optimal
    assert parts
    assert all(each.tries == 3 and each.least >= (proof.bound or 0) for each in parts)


def test_bounds_are_those_of_the_part_alone() -> None:
    program, _ = programmed(service_task(small_workshop(1)))
    narrowed = Part(bounds=((0, 1, 1), (2, 0, 0)), least=0).of(program)
    assert (narrowed.lower[0], narrowed.upper[0], narrowed.upper[2]) == (1, 1, 0)
    assert (narrowed.lower[1:] == program.lower[1:]).all()


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_rounded_totals_are_the_relaxation_s_and_the_best_of_these_is_found(seed: int) -> None:
    task = crowded(seed)
    program, levels = programmed(task)
    columns = levels[0]
    relaxed = Simplex(program, 60).least(program.lower, program.upper)
    assert relaxed is not None
    told: list[Proof] = []
    rounded(told.append, program, columns, EFFORT)
    proof = told[-1]
    assert proof.values is not None
    assert program.holds(proof.values)
    assert all(abs(proof.values[column] - relaxed[1][column]) < 1 for column in columns)
    value = task.goal.value(dict(enumerate(proof.values)))
    assert value >= task.goal.value(minimise(task).values)
    assert proof.optimal
    better: list[Proof] = []
    units = (value - program.offset) / program.unit
    rounded(better.append, program, columns, replace(EFFORT, cutoff=units - 0.5))
    assert better[-1].optimal
    again = better[-1].values
    assert again is None or task.goal.value(dict(enumerate(again))) >= value


def test_without_time_nothing_is_rounded() -> None:
    task = service_task(random_workshop(1, products=6, days=90, bottleneck="trays"))
    program, levels = programmed(task)
    told: list[Proof] = []
    rounded(told.append, program, levels[0], replace(EFFORT, seconds=0))
    assert told == []
