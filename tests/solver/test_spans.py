"""Days taken together: whatever can be done day by day can be done so, and more is proven.

Counted by hand, and against the optimum of the rows day by day.
"""

from dataclasses import replace
from random import Random

import numpy as np
import pytest

from planner.solver import spans
from planner.solver.ceilings import SizeKey
from planner.solver.highs import Effort, branch_and_cut, relaxed
from planner.solver.linear import Knapsack, Linear, LinearModel
from planner.solver.matrix import Program, program_of
from planner.solver.search import minimise
from planner.solver.spans import ends_of, in_spans
from planner.solver.task import Task
from planner.solver.tightening import Tightened, tightenings
from planner.workshop import Workshop
from tests.draft.twists import TWISTS
from tests.solver.pools import ENOUGH, service_task
from tests.workshops import random_workshop

pytestmark = pytest.mark.slow

EFFORT = Effort(work=60, seconds=60)


def test_the_first_and_last_days_stay_apart_and_weeks_are_between() -> None:
    days = list(range(0, 80, 2))
    ends = ends_of(days)
    assert ends[:10] == days[:10]
    assert ends[-15:] == days[-15:]
    assert ends[10:-15] == [28, 38, 48]
    assert ends_of(days[:25]) == days[:25]
    assert ends_of(days[:27]) == [*days[:10], 22, *days[12:27]]
    assert ends_of([]) == []


class ThreeDays:
    """400 min on each of three days, for large steps of 250 min and small ones of 155.

    A large one spares 3 of a loss of 100, each of at most three small ones 2. Day by day a half of
    a day goes to each in the relaxation: 89.5. In whole days two large ones and two small ones are
    best, or three large ones and none: 90 is lost, or 91.
    """

    RELAXED, OPTIMUM = 89.5, 90

    def __init__(self) -> None:
        self.model = LinearModel(3)
        days = range(3)
        large = self.model.staircase("large", days, [1, 2, 3])
        small = self.model.staircase("small", days, [2, 4, 6], 3)
        for day in days:
            counts = {250: Linear().rise(large, day, 1), 155: Linear().rise(small, day, 1)}
            self.model.knapsack(Knapsack(counts=counts, capacity=400, day=day), "hands")
        self.goal = Linear(constant=100).plus(large.last, -3).plus(small.last, -2)

    @property
    def program(self) -> Program:
        return program_of(self.model, self.goal)


def test_whole_patterns_fill_the_days_of_a_span(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(spans, "FIRST", 0)
    monkeypatch.setattr(spans, "LAST", 0)
    by_hand = ThreeDays()
    together = in_spans(by_hand.program, by_hand.model)
    relaxation = relaxed(together, 10)
    assert relaxation is not None
    assert relaxation.bound == ThreeDays.OPTIMUM  # rounded up: the goal is whole
    assert together.dual_value(relaxation.duals) == pytest.approx(ThreeDays.RELAXED - 100)
    proof = branch_and_cut(together, None, EFFORT)
    assert proof.bound == ThreeDays.OPTIMUM
    monkeypatch.setattr(spans, "patterns_of", lambda sizes, capacity: None)
    with pytest.raises(ValueError, match="too many ways to fill 400"):
        in_spans(by_hand.program, by_hand.model)


def twisted(seed: int) -> Workshop:
    """Two products for a month with too few hands, twisted in a way."""
    draw = Random(f"{seed}/spans")
    workshop = random_workshop(seed, products=2, days=30, bottleneck="hands")
    return draw.choice(TWISTS)(draw, workshop)


def keeps(together: Program, values: list[int]) -> bool:
    """True if the program has an assignment with these values of its first columns."""
    own = np.array(values, np.float64)
    held = replace(
        together,
        lower=np.append(own, together.lower[len(own) :]),
        upper=np.append(own, together.upper[len(own) :]),
    )
    return branch_and_cut(held, None, EFFORT).values is not None


@pytest.mark.parametrize("seed", range(20))
def test_every_plan_keeps_its_rows_at_no_higher_cost(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first plan does; with a hundred batches more, for which nobody has hands, it does not."""
    monkeypatch.setattr(spans, "FIRST", seed % 3)
    monkeypatch.setattr(spans, "LAST", seed % 4)
    task = service_task(twisted(seed), ENOUGH)
    model = task.model.model
    program = program_of(model, task.goal)
    hint = [task.hint[column] for column in range(program.columns)]
    assert program.holds(hint)
    for each in tightenings(program, model):
        together = in_spans(each.covered, model)
        completed = each.completed(task.hint)
        values = [completed[column] for column in range(each.covered.columns)]
        assert keeps(together, values)
        cost = together.cost[: len(values)] @ np.array(values)
        assert together.offset + together.unit * cost <= task.goal.value(task.hint)
        size = max(task.model.variables.poured, key=lambda key: task.hint[last(task, key)])
        more = list(values)
        more[last(task, size)] += 100
        assert not keeps(replace(together, upper=together.upper + 100), more)


def last(task: Task, size: SizeKey) -> int:
    """The column of all batches of a size."""
    return task.model.variables.poured[size].steps[-1].index


@pytest.mark.parametrize("seed", [1, 2, 4, 6])
def test_nothing_is_proven_that_the_best_plan_is_below(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(spans, "FIRST", 1)
    monkeypatch.setattr(spans, "LAST", 1)
    task = service_task(twisted(seed), ENOUGH)
    model = task.model.model
    least = task.goal.value(minimise(task).values)
    for each in tightenings(program_of(model, task.goal), model):
        proof = branch_and_cut(in_spans(each.covered, model), None, EFFORT)
        assert proof.bound is not None
        assert proof.bound <= least


def test_whole_numbers_prove_more_than_the_relaxation_day_by_day() -> None:
    task = service_task(random_workshop(9, products=2, days=60, bottleneck="hands"))
    _, patterned = tightenings(program_of(task.model.model, task.goal), task.model.model)
    by_day = relaxed(patterned.program, 60)
    assert by_day is not None
    few = patterned.reduced(by_day.duals)
    together = few.in_spans()
    assert together is not None
    assert together.rows < 2 * few.program.rows
    assert together.columns < few.program.columns
    relaxation = relaxed(together, 60)
    assert relaxation is not None
    assert 0.99 * by_day.bound <= relaxation.bound <= by_day.bound
    proof = branch_and_cut(together, None, Effort(work=8, seconds=60, heuristics=False))
    assert proof.bound is not None
    assert proof.bound > 1.05 * by_day.bound


def test_without_patterns_there_is_nothing_to_take_together() -> None:
    task = service_task(random_workshop(3, products=2, days=30, bottleneck="trays"))
    plain = Tightened(base=program_of(task.model.model, task.goal), model=task.model.model)
    assert plain.in_spans() is None
