"""Calmer by windows without purchases: nearer to the kept plan, at no more loss or money."""

from collections.abc import Iterator
from dataclasses import replace
from threading import Event

import pytest

from planner.draft.draft import draft
from planner.frozen import frozen_changes
from planner.plan import Plan, Stage
from planner.replay import replay
from planner.settings import ProgressNote
from planner.solver import calming, neighbourhood
from planner.solver import stages as stages_file
from planner.solver.stages import Answer, Stages
from planner.solver.task import Found, Limits, Task
from planner.solver.unbought import Buy
from planner.workshop import Workshop
from tests.solver.rows import settled
from tests.solver.twice import bought
from tests.workshops import random_workshop

pytestmark = pytest.mark.slow

DEARER = 10**9
LIMITS = Limits(work=4, seconds=120, seed=1, workers=1)


@pytest.fixture(autouse=True)
def large(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every model counts as too large for one search."""
    monkeypatch.setattr(stages_file, "AT_ONCE", 0)


class Near:
    """A workshop with a kept plan, and how to buy for what is found near it."""

    workshop: Workshop
    kept: Plan

    def bought(self, plan: Plan) -> Iterator[Plan]:
        yield from bought(self.workshop, plan)
        yield replace(plan, purchases=self.kept.purchases)


class Moved(Near):
    """A workshop with its draft as the kept plan, and a start that does much of it earlier."""

    def __init__(self) -> None:
        self.workshop = random_workshop(3, products=3, days=60)
        self.kept = settled(self.workshop, draft(self.workshop))
        early = Stages(self.workshop).calm(self.kept, replace(LIMITS, work=1), DEARER)
        self.start = settled(self.workshop, early.plan)

    def calmed(self, buy: Buy | None, dearer: int = 0, limits: Limits = LIMITS) -> Answer:
        """From the start on, near the kept plan."""
        return Stages(self.workshop, self.kept).calm(self.start, limits, dearer, buy)

    def money(self, plan: Plan) -> int:
        account = replay(self.workshop, settled(self.workshop, plan))
        assert account.certified, account.broken
        return account.money.money

    def loss(self, plan: Plan) -> int:
        return replay(self.workshop, settled(self.workshop, plan)).money.service


@pytest.fixture(scope="module")
def moved() -> Moved:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(stages_file, "AT_ONCE", 0)
        return Moved()


def without_parts(monkeypatch: pytest.MonkeyPatch) -> None:
    def unimproved(task: Task, *_: object) -> Found:
        return Found(task.hint, None)

    monkeypatch.setattr(calming, "improved_in_parts", unimproved)


def test_windows_bring_back_what_has_moved(moved: Moved, monkeypatch: pytest.MonkeyPatch) -> None:
    without_parts(monkeypatch)
    unmoved = moved.calmed(None)
    answer = moved.calmed(moved.bought, DEARER)
    assert answer.stage.value < unmoved.stage.value / 2
    assert answer.stage.bound == 0
    assert moved.loss(answer.plan) <= moved.loss(moved.start)


def test_no_more_is_spent_than_may_be(moved: Moved, monkeypatch: pytest.MonkeyPatch) -> None:
    without_parts(monkeypatch)
    for dearer in (0, 10**6):
        answer = moved.calmed(moved.bought, dearer)
        assert moved.money(answer.plan) <= moved.money(moved.start) + dearer


@pytest.mark.parametrize("buy", [lambda _: [], lambda plan: [replace(plan, purchases=())]])
def test_what_cannot_be_bought_for_does_not_count(
    buy: Buy, moved: Moved, monkeypatch: pytest.MonkeyPatch
) -> None:
    without_parts(monkeypatch)
    answer = moved.calmed(buy, DEARER)
    assert settled(moved.workshop, answer.plan) == moved.start


def test_parts_go_on_from_windows(moved: Moved, monkeypatch: pytest.MonkeyPatch) -> None:
    begun: list[Task] = []

    def noted(task: Task, *_: object) -> Found:
        begun.append(task)
        return Found(task.hint, None)

    monkeypatch.setattr(calming, "improved_in_parts", noted)
    answer = moved.calmed(moved.bought, DEARER)
    (task,) = begun
    assert task.goal.value(task.hint) == answer.stage.value
    assert task.limits.work == pytest.approx((1 - calming.IN_WINDOWS) * LIMITS.work)


def test_without_a_kept_plan_there_are_parts_alone(
    moved: Moved, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(calming, "UnboughtSearch", lambda *_: 1 / 0)
    monkeypatch.setattr(neighbourhood, "LARGEST_IN_PARTS", 0)
    Stages(moved.workshop).calm(moved.start, LIMITS, buy=moved.bought)


def test_the_same_work_comes_to_the_same(moved: Moved) -> None:
    limits = replace(LIMITS, work=1)
    once, again = (moved.calmed(moved.bought, DEARER, limits) for _ in range(2))
    assert once.plan == again.plan


def test_only_what_a_whole_plan_comes_to_is_told(moved: Moved) -> None:
    """A plan without purchases has fewer changes than it will have with them."""
    told: list[ProgressNote] = []
    stages = Stages(moved.workshop, moved.kept, told.append, Event())
    answer = stages.calm(moved.start, LIMITS, DEARER, moved.bought)
    values = [note.value for note in told if note.value is not None]
    assert min(values) == frozen_changes(
        moved.workshop.changed(costs=replace(moved.workshop.costs, frozen_days=60)),
        moved.kept,
        answer.plan,
    )


def test_without_a_kept_plan_no_changes_are_told(moved: Moved) -> None:
    told: list[ProgressNote] = []
    Stages(moved.workshop, None, told.append, Event()).calm(moved.start, LIMITS)
    assert told
    assert {note.value for note in told} == {None}


def test_stopped_no_batch_is_moved(moved: Moved) -> None:
    stop = Event()
    stop.set()
    stages = Stages(moved.workshop, moved.kept, stop=stop)
    answer = stages.calm(moved.start, LIMITS, DEARER, moved.bought)
    assert answer.plan.batches == moved.start.batches


class Closed(Near):
    """A draft as the kept plan, and a day closed on which it pours; the start is a new draft."""

    def __init__(self) -> None:
        whole = random_workshop(3, products=3, days=60)
        self.kept = settled(whole, draft(whole))
        day = next(each.pour for each in self.kept.batches if each.pour > 0)
        minutes = tuple(0 if n == day else there for n, there in enumerate(whole.minutes))
        self.workshop = whole.changed(minutes=minutes)
        self.start = settled(self.workshop, draft(self.workshop))

    def calmed(self, buy: Buy | None) -> Stage:
        stages = Stages(self.workshop, self.kept)
        return stages.calm(self.start, LIMITS, DEARER, buy).stage


def test_no_plan_changes_less_than_is_proven(monkeypatch: pytest.MonkeyPatch) -> None:
    """Least of all the one that CP-SAT finds at once; without batches to move nothing is proven."""
    closed = Closed()
    found, nothing = closed.calmed(closed.bought), closed.calmed(None)
    monkeypatch.setattr(stages_file, "AT_ONCE", 10**9)
    at_once = closed.calmed(closed.bought)
    assert found.changes is not None
    assert found.least_changes is not None
    assert at_once.changes is not None
    assert 0 < found.least_changes <= at_once.changes <= found.changes
    assert nothing.least_changes == 0


def test_nothing_is_proven_where_the_frozen_days_are_not_as_stored() -> None:
    """Other orders in them, which the model without purchases leaves out, might change less."""
    closed = Closed()
    costs = replace(closed.workshop.costs, frozen_days=20)
    closed.workshop = closed.workshop.changed(costs=costs)
    assert frozen_changes(closed.workshop, closed.kept, closed.start) > 0
    assert closed.calmed(closed.bought).least_changes == 0
