"""What is proven of a task: told step by step, ended by clock and stop; lots nobody needs."""

from dataclasses import replace
from threading import Event
from time import monotonic

import pytest

from planner.settings import ProgressNote
from planner.solver import proving as proving_file
from planner.solver import unbought
from planner.solver.exchange import plan_of
from planner.solver.highs import Effort, Proof
from planner.solver.linear import Linear
from planner.solver.proving import Prover
from planner.solver.search import minimise
from planner.solver.task import Task
from tests.solver.pools import ENOUGH, service_task, small_workshop
from tests.solver.rows import broken_rows
from tests.solver.twice import Searched
from tests.workshops import random_workshop


def prover(task: Task, notes: list[ProgressNote] | None = None, seconds: float = 60) -> Prover:
    heard = [] if notes is None else notes
    return Prover(task=task, until=monotonic() + seconds, progress=heard.append, stop=Event())


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 19, 20])
def test_bounds_are_told_and_hold(seed: int) -> None:
    task = service_task(small_workshop(seed), ENOUGH)
    notes: list[ProgressNote] = []
    before = prover(task, notes).relaxation_bound()
    told = [note.bound for note in notes]
    assert told == sorted(told, key=lambda bound: bound or 0)
    assert told[-1] == before
    assert {(note.stage, note.value) for note in notes} == {("service", None)}
    assert before is not None
    assert before <= task.goal.value(minimise(task).values)


def test_products_are_not_solved_one_by_one_where_the_relaxation_is_enough() -> None:
    """Then its bound is the last; the one who decides hears of it."""
    task = service_task(small_workshop(12))
    heard: list[int] = []

    def hear(bound: int) -> bool:
        heard.append(bound)
        return True

    relaxed = prover(task).relaxation_bound(hear)
    assert heard == [relaxed]
    assert relaxed == prover(task).linear_bound()
    one_by_one = prover(task).relaxation_bound()
    assert one_by_one is not None
    assert relaxed is not None
    assert relaxed < one_by_one


@pytest.mark.slow
def test_a_stop_ends_every_step() -> None:
    """At once, though the work and the time would last for minutes."""
    task = replace(service_task(small_workshop(6)), stage="service")
    stop = Event()
    stop.set()
    stopped = Prover(task=task, until=monotonic() + 600, progress=lambda _: None, stop=stop)
    assert stopped.relaxation_bound() is None


def test_covers_that_are_known_spare_the_relaxation() -> None:
    """The same ones in the program with another goal: there they are as good as its own."""
    workshop = random_workshop(9, products=2, days=40, bottleneck="hands")
    first = prover(service_task(workshop, ENOUGH))
    assert not first.has_spans
    first.linear_bound()
    assert first.tightest is not None
    task = service_task(workshop, ENOUGH)
    twice = prover(replace(task, goal=Linear().add(task.goal, 2)))
    twice.tighten(first.tightest.covers)
    assert twice.has_spans
    assert twice.branching.covers == first.tightest.covers
    assert twice.size == first.size
    assert twice.branching.program.rows == first.branching.program.rows
    assert twice.branching.only([]).size < twice.size


def test_branch_and_cut_ends_before_its_process_is_ended(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a bound with days taken together, and of one in all: in the end more is told."""
    given: list[float] = []

    def ended(program: object, hint: object, effort: Effort, *_: object) -> Proof:
        given.append(effort.seconds)
        return Proof(values=None, bound=None, optimal=False)

    monkeypatch.setattr(proving_file, "branched_apart", ended)
    monkeypatch.setattr(unbought, "branched_apart", ended)
    searched = Searched(random_workshop(9, products=2, days=40, bottleneck="hands"))
    searched.cheapest.proven(ENOUGH)
    searched.in_all_prover.tighten([])
    searched.in_all_prover.bound_in_spans(10**9, ENOUGH)
    assert given == [pytest.approx(0.95 * ENOUGH.seconds)] * 2


@pytest.mark.slow
def test_in_spans_a_bound_is_told_and_holds() -> None:
    """Above the relaxation's, and at most a value that is known, though that be too low."""
    task = service_task(random_workshop(9, products=2, days=40, bottleneck="hands"), ENOUGH)
    notes: list[ProgressNote] = []
    proving = prover(task, notes)
    relaxed = proving.linear_bound()
    assert proving.has_spans
    value, few = task.goal.value(task.hint), replace(ENOUGH, work=5)
    notes.clear()
    bound = proving.bound_in_spans(value, few)
    assert relaxed is not None
    assert bound is not None
    assert relaxed < bound <= value
    assert max(note.bound or 0 for note in notes) <= bound
    assert proving.bound_in_spans(relaxed, few) == relaxed  # nothing is below it


def test_without_spans_none_is_told() -> None:
    proving = prover(service_task(small_workshop(12)))
    proving.linear_bound()
    assert not proving.has_spans
    assert proving.bound_in_spans(10**9, ENOUGH) is None


def test_lots_of_preparations_that_nothing_needs_are_left_out() -> None:
    """The list scheduler's plan needs its one lot; with two more it loses as much."""
    task = service_task(small_workshop(10))
    needed = plan_of(task.model.variables, task.hint.__getitem__)
    (lot,) = needed.preparations
    more = replace(needed, preparations=(lot, lot, lot))
    followed = task.model.values_of(more)
    assert broken_rows(task.model.model, followed) == []
    values = [followed[column] for column in range(len(followed))]
    found = prover(task).without_idle_lots(values)
    assert plan_of(task.model.variables, found.__getitem__) == needed
