"""The gap closed part by part: to the optimum, within limits, with nothing claimed in vain."""

from collections.abc import Iterator
from dataclasses import replace
from threading import Event
from time import monotonic
from typing import Any

import pytest

from planner.settings import ProgressNote
from planner.solver import partition
from planner.solver.highs import Proof
from planner.solver.parting import Part, closed, rounded
from planner.solver.partition import PartSearch, Reached
from planner.solver.proving import Prover
from planner.solver.search import minimise
from planner.solver.task import Found, Limits, Task
from planner.workshop import DemandKind
from tests.solver.pools import ENOUGH, service_task, small_workshop
from tests.solver.rows import broken_rows
from tests.solver.solving import LATE_DAY, bar, every_day
from tests.workshop_parts import demand_row
from tests.workshops import random_workshop

WORK = replace(ENOUGH, work=12)


def crowded(seed: int) -> Task:
    return service_task(random_workshop(seed, products=3, days=40, bottleneck="trays"), ENOUGH)


def late_order() -> Task:
    """Ten bars wanted at once: poured on day 0, gone on day 7, seven days late. Proven by hand."""
    return service_task(every_day(demand=(demand_row(bar(), DemandKind.ORDER, 10, 0),)))


def search(
    task: Task,
    limits: Limits = WORK,
    at_once: int = 2,
    notes: list[ProgressNote] | None = None,
    stop: Event | None = None,
) -> PartSearch:
    heard = [] if notes is None else notes
    over = stop or Event()
    prover = Prover(task=task, until=monotonic() + 60, progress=heard.append, stop=over)
    return PartSearch(prover, limits, at_once, over)


def least(task: Task) -> int:
    return task.goal.value(minimise(replace(task, limits=ENOUGH)).values)


def test_a_late_order_is_proven_to_its_day() -> None:
    found = search(late_order()).closed(late_order().hint, 0)
    assert found.bound == late_order().goal.value(found.values) == 7 * LATE_DAY


@pytest.mark.slow
@pytest.mark.parametrize("at_once", [1, 2])
@pytest.mark.parametrize("seed", [1, 2])
def test_the_gap_is_closed_to_the_optimum(seed: int, at_once: int) -> None:
    """On the way no bound is above it, and no plan below."""
    task = crowded(seed)
    notes: list[ProgressNote] = []
    found = search(task, at_once=at_once, notes=notes).closed(task.hint, 0)
    optimum = least(task)
    assert found.bound == task.goal.value(found.values) == optimum
    assert broken_rows(task.model.model, found.values) == []
    bounds = [note.bound for note in notes if note.bound is not None]
    assert bounds == sorted(bounds)
    assert all(bound <= optimum for bound in bounds)
    assert all(note.value is None or note.value >= optimum for note in notes)


@pytest.mark.parametrize("step", [0.0, 0.5])
def test_what_is_tried_to_beat_on_the_way_changes_no_proof(
    step: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(partition, "NEAR", 1e-9 if step else 1.0)
    monkeypatch.setattr(partition, "STEP", step)
    task = service_task(small_workshop(20))
    found = search(task).closed(task.hint, 0)
    assert found.bound == task.goal.value(found.values) == least(task)


def test_without_work_or_when_stopped_it_is_as_it_was() -> None:
    task = crowded(1)
    stop = Event()
    stop.set()
    assert search(task, stop=stop).closed(task.hint, 7) == Found(task.hint, 7)
    idle = search(task, replace(WORK, work=0)).closed(task.hint, 7)
    assert idle.values == task.hint
    assert idle.bound is not None
    assert 7 <= idle.bound <= least(task)  # what the parts relax to is known


def test_the_work_limit_repeats() -> None:
    """However fast either of two parts is: the same plan and the same bound."""
    task = crowded(3)
    few = replace(WORK, work=0.4)
    first, second = (search(task, few).closed(task.hint, 0) for _ in range(2))
    assert first == second
    assert first.bound is not None
    assert first.bound <= least(task) <= task.goal.value(first.values)


def telling(monkeypatch: pytest.MonkeyPatch, task: Task, *proofs: Proof) -> list[float]:
    """Let the whole be one part of which one proof after the other is told; its cutoffs."""
    told, cutoffs = iter(proofs), []

    def apart(work: object, *arguments: Any, **_: object) -> Iterator[object]:
        if work is closed:
            cutoffs.append(arguments[3].cutoff)
            yield next(told)

    monkeypatch.setattr(partition, "apart", apart)
    return cutoffs


def test_a_better_plan_with_rounded_totals_counts_and_closes_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    task = service_task(small_workshop(12))
    best = minimise(replace(task, limits=ENOUGH)).values
    assert task.goal.value(best) < task.goal.value(task.hint)

    def apart(work: object, *_: object, **__: object) -> Iterator[object]:
        if work is rounded:
            yield Proof(values=listed(best), bound=10**12, optimal=True)

    monkeypatch.setattr(partition, "apart", apart)
    stopped_soon = replace(WORK, work=2 * partition.EACH)
    found = search(task, stopped_soon).closed(task.hint, 0)
    assert task.goal.value(found.values) == task.goal.value(best)
    assert found.bound == 0


def listed(values: dict[int, int]) -> list[int]:
    return [values[column] for column in range(len(values))]


NOTHING = Proof(values=None, bound=None, optimal=True)


@pytest.mark.parametrize(
    ("least", "value", "looks", "target"),
    [
        (500, 1000, False, 750),
        (918, 1000, False, 959),
        (920, 1000, False, 1000),
        (990, 1000, False, 1000),
        (990, 1000, True, 995),
        (999, 1000, True, 999),
    ],
)
def test_the_best_itself_has_to_be_beaten_once_the_bound_is_near(
    least: int, value: int, looks: bool, target: int
) -> None:
    """But not while a better one may still come of rounded totals."""
    searching = search(late_order())
    with searching._turns as turns:
        turns.begin(Part(least=0), 0.0, lambda work: Reached(values=None, parts=(), work=work))
        if looks:
            turns.begin(None, 0.0, lambda work: Reached(values=None, parts=(), work=work))
        assert searching._target(least, value) == target


def test_nothing_below_a_target_is_no_proof_of_the_best(monkeypatch: pytest.MonkeyPatch) -> None:
    """Only nothing below the best itself is."""
    task = late_order()
    program = search(task).prover.program
    value = task.goal.value(task.hint)
    cutoffs = telling(monkeypatch, task, *[NOTHING] * 9)
    found = search(task, at_once=1).closed(task.hint, 0)
    assert found == Found(task.hint, value)
    *targets, last = [program.offset + program.unit * cutoff for cutoff in cutoffs]
    assert targets == sorted(targets)
    assert targets[0] == pytest.approx(partition.STEP * value, rel=1e-4)
    assert targets[0] > round(partition.STEP * value)  # by what HiGHS may err by
    assert targets[-1] < value
    assert last == value - program.unit / 2


@pytest.mark.parametrize(("lower", "proven"), [(0, True), (10**9, False)])
def test_a_part_is_closed_by_values_only_where_nothing_is_better_by_a_unit(
    lower: int, proven: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever HiGHS says of itself."""
    task = service_task(small_workshop(12))
    best = minimise(replace(task, limits=ENOUGH)).values
    value = task.goal.value(best)
    proof = Proof(values=listed(best), bound=value - lower, optimal=True, work=10**9)
    telling(monkeypatch, task, proof)
    found = search(task, at_once=1).closed(task.hint, 0)
    assert task.goal.value(found.values) == value
    assert (found.bound == value) is proven


def test_values_that_break_a_row_are_no_plan_and_close_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A batch packed on the day on which it is poured has not cured."""
    task = late_order()
    values = listed(task.hint)
    for step in task.model.variables.packed["bar", 10].steps:
        values[step.index] = 1
    telling(monkeypatch, task, Proof(values=values, bound=5, optimal=True, work=10**9))
    task.model.model.at_most(task.goal, -1, "never")
    assert search(task, at_once=1).closed(task.hint, 0) == Found(task.hint, 5)


def test_a_part_that_does_not_end_keeps_what_was_proven_of_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    task = late_order()
    telling(monkeypatch, task, Proof(values=None, bound=3, optimal=False, work=10**9))
    assert search(task, at_once=1).closed(task.hint, 1) == Found(task.hint, 3)


def test_the_parts_of_one_that_did_not_end_get_twice_its_work(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    task = crowded(1)
    works: list[float] = []
    again = [Part(bounds=((0, 0, 0),), least=5, tries=1)]

    def apart(work: object, *arguments: Any, **_: object) -> Iterator[object]:
        if work is closed:
            works.append(arguments[3].work)
            optimal = len(works) > 1
            yield Proof(values=None, bound=None, optimal=optimal)
            if not optimal:
                yield again

    monkeypatch.setattr(partition, "apart", apart)
    monkeypatch.setattr(partition, "NEAR", 1.0)
    found = search(task, replace(WORK, work=10**6), at_once=1).closed(task.hint, 0)
    assert works == [partition.EACH, 2 * partition.EACH]
    assert found.bound == task.goal.value(task.hint)
