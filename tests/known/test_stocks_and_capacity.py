"""Capacity and stock together, in the form of the planner's own rows, against published optima.

Instances: scheduling with renewable resources, and stocks that tasks take from when they start and
add to when they end: Kone, Artigues, Lopez & Mongeau 2013, "Comparison of mixed integer linear
programming models for the resource-constrained project scheduling problem with consumption and
production of resources", Flexible Services and Manufacturing Journal 25, 25-47. Only instances in
which stock binds are taken: there the published optimum is longer than without stocks.

A task is a staircase that rises once. Capacity is counted like moulds and trays, begun less ended;
stock like materials, what there was and came less what was taken.
"""

import json
from dataclasses import dataclass
from pathlib import Path
from types import SimpleNamespace

import pytest

from planner.solver.linear import Linear, LinearModel, Staircase
from planner.solver.search import NoPlanFound, minimise
from planner.solver.task import Limits
from planner.solver.task import Task as Search

FOLDER = Path(__file__).parents[3] / "shared" / "checks"
BINDING = (
    ("KSD15d_ConsProd_j3047_7", 288, 205),
    ("KSD15d_ConsProd_j3032_3", 341, 260),
    ("KSD15d_ConsProd_j3027_4", 350, 277),
    ("KSD15d_ConsProd_j3036_7", 391, 290),
    ("KSD15d_ConsProd_j3018_2", 541, 407),
    ("KSD15d_ConsProd_j3039_9", 424, 330),
    ("KSD15d_ConsProd_j3035_10", 545, 430),
    ("KSD15d_ConsProd_j3034_8", 548, 403),
    ("KSD15d_ConsProd_j3048_9", 667, 415),
    ("KSD15d_ConsProd_j3034_3", 767, 493),
    ("KSD15d_ConsProd_j3027_5", 805, 459),
    ("KSD15d_ConsProd_j3032_4", 845, 670),
)


@dataclass(frozen=True)
class Task:
    """Days it takes, what it holds meanwhile, what it takes at its start and adds at its end."""

    days: int
    holds: tuple[int, ...]
    takes: tuple[int, ...]
    adds: tuple[int, ...]
    followers: tuple[int, ...] = ()


@dataclass(frozen=True)
class Project:
    """Tasks, the capacity of each resource, and the stock there is of each item."""

    tasks: tuple[Task, ...]
    capacity: tuple[int, ...]
    stock: tuple[int, ...]


def read(text: str) -> Project:
    """An instance: sizes, capacities and stocks, then a line for each task.

    The dummy first and last task move no stock.
    """
    numbers = iter(int(word) for word in text.split())
    count, resources, items = (next(numbers) for _ in range(3))
    capacity = tuple(next(numbers) for _ in range(resources))
    stock = tuple(next(numbers) for _ in range(items))
    tasks = []
    for number in range(count):
        days = next(numbers)
        holds = tuple(next(numbers) for _ in range(resources))
        moves = [(next(numbers), next(numbers)) for _ in range(items)]
        if number in (0, count - 1):
            moves = [(0, 0)] * items
        followers = tuple(next(numbers) - 1 for _ in range(next(numbers)))
        takes, adds = zip(*moves, strict=True)
        tasks.append(Task(days, holds, tuple(takes), tuple(adds), followers))
    return Project(tuple(tasks), capacity, stock)


def can_end_by(project: Project, end: int, with_stock: bool = True) -> bool:
    """True if all tasks can end by `end`, False if that is proven impossible."""
    model = LinearModel(end + 1)
    begun = _staircases(model, project, end)
    if begun is None:
        return False
    changes = sorted({day for stair in begun for day in stair.days} | set(range(end + 1)))
    for day in changes:
        for resource, capacity in enumerate(project.capacity):
            row = Linear()
            for task, stair in zip(project.tasks, begun, strict=True):
                row.step(stair, day, task.holds[resource])
                row.step(stair, day - task.days, -task.holds[resource])
            model.at_most(row, capacity, "capacity")
        for item, there in enumerate(project.stock if with_stock else ()):
            row = Linear()
            for task, stair in zip(project.tasks, begun, strict=True):
                row.step(stair, day, task.takes[item])
                row.step(stair, day - task.days, -task.adds[item])
            model.at_most(row, there, "stock")
    limits = Limits(work=1000, seconds=300, seed=1, workers=1)
    rows_alone = SimpleNamespace(model=model)  # no workshop stands behind them
    search = Search(stage="any", model=rows_alone, goal=Linear(), hint={}, limits=limits)
    try:
        minimise(search)
    except NoPlanFound as none:
        if not none.proven:  # neither a schedule nor a proof in time
            raise
        return False
    return True


def _staircases(model: LinearModel, project: Project, end: int) -> list[Staircase] | None:
    """A task's start as a staircase between its earliest and latest day; all tasks begin."""
    earliest, tail = _windows(project)
    begun = []
    for number, task in enumerate(project.tasks):
        days = range(earliest[number], end - tail[number] - task.days + 1)
        if not days:
            return None
        stair = model.staircase(f"begun {number}", days, [1] * len(days))
        model.at_least(Linear().plus(stair.last, 1), 1, "every task begins")
        begun.append(stair)
    for number, task in enumerate(project.tasks):
        for follower in task.followers:
            for day in begun[follower].days:
                row = Linear().step(begun[follower], day, 1)
                model.at_most(row.step(begun[number], day - task.days, -1), 0, "order of tasks")
    return begun


def _windows(project: Project) -> tuple[list[int], list[int]]:
    """Earliest start of each task, and the longest chain of days that must follow its end."""
    count = len(project.tasks)
    earliest, tail = [0] * count, [0] * count
    for number, task in enumerate(project.tasks):
        for follower in task.followers:
            earliest[follower] = max(earliest[follower], earliest[number] + task.days)
    for number in reversed(range(count)):
        for follower in project.tasks[number].followers:
            after = project.tasks[follower].days + tail[follower]
            tail[number] = max(tail[number], after)
    return earliest, tail


def test_a_task_waits_for_the_stock_that_another_adds() -> None:
    # Two tasks of 3 and 2 days, room for both at once; the second takes 5 and only 4 are there
    # until the first adds 2 when it ends: 3 + 2 = 5 days, and 3 days if stock did not matter.
    first = Task(3, (1,), (0,), (2,))
    second = Task(2, (1,), (5,), (0,))
    project = Project((first, second), (2,), (4,))
    assert can_end_by(project, 5)
    assert not can_end_by(project, 4)
    assert can_end_by(project, 3, with_stock=False)


def test_no_schedule_where_every_task_takes_what_none_has_added() -> None:
    tasks = (Task(1, (1,), (1,), (2,)), Task(1, (1,), (1,), (2,)))
    assert not can_end_by(Project(tasks, (2,), (0,)), 20)


@pytest.mark.slow
@pytest.mark.skipif(
    not FOLDER.exists(), reason="the published instances are not beside the project"
)
@pytest.mark.parametrize(("name", "published", "without_stock"), BINDING)
def test_published_optimum(name: str, published: int, without_stock: int) -> None:
    """The published end can be reached and no earlier one; earlier schedules overdraw stock."""
    project = read((FOLDER / "rcpsp_cpr" / f"{name}.rcp").read_text())
    listed = {
        row[0]: row[1:3] for row in json.loads((FOLDER / "rcpsp_cpr_binding.json").read_text())
    }
    assert listed[name] == [published, without_stock]
    assert can_end_by(project, published)
    assert not can_end_by(project, published - 1)
    assert can_end_by(project, without_stock, with_stock=False)
