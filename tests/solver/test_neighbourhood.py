"""Planning parts anew: never worse, repeats, and ends when it has to."""

from threading import Event
from time import monotonic

import pytest

from planner.settings import ProgressNote
from planner.solver.neighbourhood import NeighbourhoodSearch, _next_free
from planner.solver.search import minimise
from planner.solver.task import Task
from tests.solver.pools import service_task, small_workshop
from tests.solver.rows import broken_rows

IMPROVABLE = 20


def improved(
    task: Task,
    seed: int = 1,
    work: float = 0.2,
    seconds: float = 60,
    notes: list[ProgressNote] | None = None,
    stop: Event | None = None,
) -> dict[int, int]:
    heard = [] if notes is None else notes
    model = task.model
    search = NeighbourhoodSearch(model.model, model.variables, task.goal, seed, heard.append, stop)
    return search.improve(task.hint, task.stage, work, monotonic() + seconds)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_it_is_never_worse_and_keeps_every_row(seed: int) -> None:
    task = service_task(small_workshop(IMPROVABLE))
    notes: list[ProgressNote] = []
    values = improved(task, seed, notes=notes)
    assert task.goal.value(values) <= task.goal.value(task.hint)
    assert broken_rows(task.model.model, values) == []
    told = [note.value for note in notes]
    assert told == sorted(told, key=lambda value: -(value or 0))
    assert told[-1] == task.goal.value(values)


def test_it_finds_the_optimum_of_a_small_workshop() -> None:
    task = service_task(small_workshop(IMPROVABLE))
    values = improved(task, work=0.5)
    best = minimise(task)
    assert task.goal.value(values) < task.goal.value(task.hint)
    assert task.goal.value(values) == best.bound


def test_the_same_seed_and_work_find_the_same() -> None:
    task = service_task(small_workshop(IMPROVABLE))
    assert improved(task, work=0.1) == improved(task, work=0.1)


def test_without_work_or_time_or_when_stopped_it_keeps_what_it_has() -> None:
    task = service_task(small_workshop(IMPROVABLE))
    stop = Event()
    stop.set()
    assert improved(task, work=0) is task.hint
    assert improved(task, seconds=0) is task.hint
    assert improved(task, stop=stop) is task.hint


def test_more_is_left_free_where_parts_were_solved_within_limits() -> None:
    assert _next_free(0.8, solved=True) == pytest.approx(0.825)
    assert _next_free(0.8, solved=False) == pytest.approx(0.8 - 0.2 / 6)
    assert _next_free(0.97, solved=True) == 0.97
    assert _next_free(0.31, solved=False) == 0.3
