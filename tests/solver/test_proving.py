"""What is proven of a task: told step by step, checked exactly, and ended by clock and stop."""

from dataclasses import replace
from threading import Event
from time import monotonic

import pytest

from planner.settings import ProgressNote
from planner.solver import proving
from planner.solver.exchange import plan_of
from planner.solver.highs import Proof
from planner.solver.proving import Prover
from planner.solver.task import Task
from planner.workshop import DemandKind
from tests.solver.pools import service_task, small_workshop
from tests.solver.rows import broken_rows
from tests.solver.solving import LATE_DAY, bar, every_day
from tests.workshop_parts import demand_row


def late_order() -> Task:
    """Ten bars wanted at once: poured on day 0, gone on day 7, seven days late. Proven by hand."""
    return service_task(every_day(demand=(demand_row(bar(), DemandKind.ORDER, 10, 0),)))


def prover(task: Task, notes: list[ProgressNote] | None = None, seconds: float = 60) -> Prover:
    heard = [] if notes is None else notes
    return Prover(task=task, until=monotonic() + seconds, progress=heard.append, stop=Event())


def test_a_late_order_is_proven_to_its_day() -> None:
    notes: list[ProgressNote] = []
    proof = prover(late_order(), notes).branch_and_cut(late_order().hint, work=10)
    assert (proof.bound, proof.optimal) == (7 * LATE_DAY, True)
    assert all(note.bound is None or note.bound <= 7 * LATE_DAY for note in notes)


@pytest.mark.parametrize("seed", [1, 19, 20])
def test_bounds_are_told_and_values_keep_every_row(seed: int) -> None:
    task = service_task(small_workshop(seed))
    notes: list[ProgressNote] = []
    before = prover(task, notes).relaxation_bound()
    told = [note.bound for note in notes]
    assert told == sorted(told, key=lambda bound: bound or 0)
    assert told[-1] == before
    assert {(note.stage, note.value) for note in notes} == {("service", None)}
    proof = prover(task).branch_and_cut(task.hint, work=60)
    assert proof.optimal
    assert proof.values is not None
    values = dict(enumerate(proof.values))
    assert broken_rows(task.model.model, values) == []
    assert before is not None
    assert before <= task.goal.value(values) == proof.bound


def test_products_are_not_solved_one_by_one_where_the_relaxation_is_enough() -> None:
    """Then its bound is the last; the one who decides has heard of the corner before."""
    task = service_task(small_workshop(12))
    heard: list[str] = []

    def enough(bound: int) -> bool:
        heard.append(f"bound {bound}")
        return True

    relaxed = prover(task).relaxation_bound(lambda _: heard.append("corner"), enough)
    assert heard == ["corner", f"bound {relaxed}"]
    assert relaxed == prover(task).linear_bound()
    one_by_one = prover(task).relaxation_bound()
    assert one_by_one is not None
    assert relaxed is not None
    assert relaxed < one_by_one


@pytest.mark.parametrize(("bound", "optimal"), [(0, True), (-1, True), (-(10**9), False)])
def test_complete_means_that_nothing_is_better_by_a_unit_of_the_cost(
    bound: int, optimal: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever HiGHS says of itself."""
    task = late_order()
    values = [task.hint[column] for column in range(len(task.hint))]
    proof = Proof(values=values, bound=task.goal.value(task.hint) + bound, optimal=True)
    monkeypatch.setattr(proving, "apart", lambda *_, **__: [proof])
    reached = prover(task).branch_and_cut(task.hint, work=1)
    assert reached.optimal is optimal
    assert reached.bound == task.goal.value(task.hint) + (0 if optimal else bound)


def test_values_that_break_a_row_are_no_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    """A batch packed on the day on which it is poured has not cured."""
    task = late_order()
    values = [task.hint[column] for column in range(len(task.hint))]
    for step in task.model.variables.packed["bar", 10].steps:
        values[step.index] = 1
    proof = Proof(values=values, bound=5, optimal=True)
    monkeypatch.setattr(proving, "apart", lambda *_, **__: [proof])
    task.model.model.at_most(task.goal, -1, "never")
    assert prover(task).branch_and_cut(task.hint, work=1) == Proof(
        values=None, bound=5, optimal=False
    )


def test_lots_of_preparations_that_nothing_needs_are_left_out(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The list scheduler's plan needs its one lot; with two more it loses as much."""
    task = service_task(small_workshop(10))
    needed = plan_of(task.model.variables, task.hint.__getitem__)
    (lot,) = needed.preparations
    more = replace(needed, preparations=(lot, lot, lot))
    followed = task.model.values_of(more)
    assert broken_rows(task.model.model, followed) == []
    values = [followed[column] for column in range(len(followed))]
    proof = Proof(values=values, bound=0, optimal=False)
    monkeypatch.setattr(proving, "apart", lambda *_, **__: [proof])
    found = prover(task).branch_and_cut(task.hint, work=1).values
    assert found is not None
    assert plan_of(task.model.variables, found.__getitem__) == needed


def test_without_a_bound_nothing_is_complete(monkeypatch: pytest.MonkeyPatch) -> None:
    task = late_order()
    values = [task.hint[column] for column in range(len(task.hint))]
    proof = Proof(values=values, bound=None, optimal=True)
    monkeypatch.setattr(proving, "apart", lambda *_, **__: [proof])
    assert not prover(task).branch_and_cut(task.hint, work=1).optimal


def test_a_stop_ends_every_step() -> None:
    """At once, though the work and the time would last for minutes."""
    task = replace(service_task(small_workshop(6)), stage="service")
    stop = Event()
    stop.set()
    stopped = Prover(task=task, until=monotonic() + 600, progress=lambda _: None, stop=stop)
    assert stopped.relaxation_bound() is None
    assert not stopped.branch_and_cut(task.hint, work=1000).optimal
