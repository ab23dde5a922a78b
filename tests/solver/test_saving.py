"""The money stage: parts and proof beside each other, whichever of them ends first."""

from dataclasses import replace
from threading import Event

import pytest

from planner.draft.draft import draft
from planner.settings import ProgressNote
from planner.solver import saving, search
from planner.solver.linear import Linear
from planner.solver.model import PlanModel
from planner.solver.saving import MoneySearch
from planner.solver.search import NoPlanFound, minimise
from planner.solver.task import Found, Limits, Task
from planner.solver.unbought import Unbought
from tests.solver.pools import ENOUGH
from tests.solver.rows import broken_rows, settled
from tests.solver.twice import Searched
from tests.workshops import random_workshop

SHORT = Limits(work=0.3, seconds=60, seed=1, workers=1)


def money_task(limits: Limits = SHORT) -> Task:
    """The draft's money where nothing more may be lost; parts save some of it."""
    workshop = random_workshop(14, products=2, days=30)
    model = PlanModel(workshop, with_purchases=True)
    hint = model.values_of(settled(workshop, draft(workshop)))
    model.model.at_most(Linear().add(model.service), model.service.value(hint), "no more lost")
    return Task(stage="money", model=model, goal=model.money, hint=hint, limits=limits)


def found(task: Task) -> Found:
    return MoneySearch(task, lambda _: None, Event()).run()


def never(*_: object) -> Found:
    raise AssertionError("not to be called")


@pytest.mark.slow
def test_a_small_plan_is_proven_and_the_relaxation_is_below_it() -> None:
    task = money_task()
    prover_alone = saving.Prover(task=task, until=1e12, progress=lambda _: None, stop=Event())
    linear = prover_alone.linear_bound()
    best = found(task)
    assert broken_rows(task.model.model, best.values) == []
    assert linear is not None
    assert best.bound is not None
    value = task.goal.value(best.values)
    assert 0 < linear < best.bound == value < task.goal.value(task.hint)
    assert value == minimise(replace(task, limits=ENOUGH)).bound


def test_the_relaxation_counts_though_the_search_finds_nothing_in_time(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def nothing(*_: object) -> Found:
        raise NoPlanFound(proven=False)

    monkeypatch.setattr(search, "minimise", nothing)
    monkeypatch.setattr(saving.Prover, "linear_bound", lambda _: 7)
    assert found(money_task()).bound == 7


def test_no_plan_at_all_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    def none(*_: object) -> Found:
        raise NoPlanFound(proven=True)

    monkeypatch.setattr(search, "minimise", none)
    with pytest.raises(NoPlanFound):
        found(money_task())


def test_nothing_is_searched_where_the_relaxation_proves_what_there_is(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    task = money_task()
    value = task.goal.value(task.hint)
    monkeypatch.setattr(saving.Prover, "linear_bound", lambda _: value)
    monkeypatch.setattr(saving, "improved_at_once", never)
    assert found(task) == Found(task.hint, value)


def test_no_search_is_set_up_when_the_relaxation_took_all_the_time(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    task = money_task(replace(SHORT, seconds=0))
    monkeypatch.setattr(saving, "improved_at_once", never)
    monkeypatch.setattr(saving.Prover, "linear_bound", lambda _: 5)
    assert found(task) == Found(task.hint, 5)


def test_a_proof_that_is_not_complete_leaves_the_parts_their_plan(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    task = money_task()
    best = minimise(replace(task, limits=ENOUGH))
    monkeypatch.setattr(saving, "improved_in_parts", lambda *_: Found(best.values, None))
    monkeypatch.setattr(saving, "improved_at_once", lambda *_: Found(task.hint, 6))
    monkeypatch.setattr(saving.Prover, "linear_bound", lambda _: 5)
    assert found(task) == Found(best.values, 6)


@pytest.mark.slow
def test_the_cheapest_in_all_is_looked_for_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """With nothing else it costs less than the draft, and more is proven than by the relaxation."""
    searched = Searched(random_workshop(14, products=2, days=30))
    task = replace(searched.prover.task, limits=replace(SHORT, work=10))
    linear = searched.prover.linear_bound()
    monkeypatch.setattr(saving, "improved_in_parts", lambda task, *_: Found(task.hint, None))
    monkeypatch.setattr(saving, "improved_at_once", lambda task, *_: Found(task.hint, None))
    in_all = Unbought(task=searched.in_all_prover.task, buy=searched.cheapest.buy)
    best = MoneySearch(task, lambda _: None, Event(), in_all).run()
    assert searched.cost(best.values) < task.goal.value(task.hint)
    assert best.bound is not None
    assert linear is not None
    assert linear < best.bound <= searched.optimum


def test_what_is_proven_in_all_spares_the_relaxation(monkeypatch: pytest.MonkeyPatch) -> None:
    """It would take as long as a third of that proof, and seldom comes to more."""
    searched = Searched(random_workshop(14, products=2, days=30))
    hint = searched.prover.task.hint
    monkeypatch.setattr(saving.CheapestInAll, "proven", lambda *_: (Found(hint, 8), 0.0))
    monkeypatch.setattr(saving.CheapestInAll, "improved", lambda *_: Found(hint, None))
    monkeypatch.setattr(saving.Prover, "linear_bound", never)
    monkeypatch.setattr(saving, "improved_at_once", lambda *_: Found(hint, 7))
    in_all = Unbought(task=searched.in_all_prover.task, buy=searched.cheapest.buy)
    task = replace(searched.prover.task, limits=SHORT)
    assert MoneySearch(task, lambda _: None, Event(), in_all).run().bound == 8


@pytest.mark.slow
def test_a_large_program_is_not_looked_through_in_all(monkeypatch: pytest.MonkeyPatch) -> None:
    searched = Searched(random_workshop(14, products=2, days=30))
    monkeypatch.setattr(saving, "LARGEST_IN_ALL", 0)
    monkeypatch.setattr(saving.CheapestInAll, "proven", never)
    monkeypatch.setattr(saving.CheapestInAll, "improved", never)
    in_all = Unbought(task=searched.in_all_prover.task, buy=searched.cheapest.buy)
    task = replace(searched.prover.task, limits=SHORT)
    best = MoneySearch(task, lambda _: None, Event(), in_all).run()
    assert best.bound is not None


@pytest.mark.slow
@pytest.mark.parametrize("spans", [False, True])
def test_where_hands_are_scarce_a_large_program_is_proven_with_days_taken_together(
    spans: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Below what the plan costs at the beginning; elsewhere the relaxation by day is proven."""
    searched = Searched(random_workshop(9, products=2, days=40, bottleneck="hands"))
    asked: list[int] = []

    def bound_in_spans(_: object, value: int, limits: Limits) -> int:
        asked.append(value)
        return value - 1

    monkeypatch.setattr(saving, "LARGEST_IN_ALL", 0)
    monkeypatch.setattr(saving.Prover, "bound_in_spans", bound_in_spans)
    monkeypatch.setattr(saving.Prover, "has_spans", spans)
    for name in ("improved_in_parts", "improved_at_once"):
        monkeypatch.setattr(saving, name, lambda task, *_: Found(task.hint, None))
    in_all = Unbought(task=searched.in_all_prover.task, buy=searched.cheapest.buy)
    task = replace(searched.prover.task, limits=SHORT)
    best = MoneySearch(task, lambda _: None, Event(), in_all).run()
    value = task.goal.value(task.hint)
    assert best.bound is not None
    if spans:
        assert (asked, best.bound) == ([value], value - 1)
    else:
        assert asked == []
        assert best.bound == searched.prover.linear_bound()


@pytest.mark.slow
@pytest.mark.parametrize("seconds", [60.0, 0.0])
def test_with_the_covers_of_the_service_stage_no_relaxation_is_solved(
    seconds: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And what is proven holds. Without time nothing is proven."""
    searched = Searched(random_workshop(9, products=2, days=40, bottleneck="hands"))
    searched.in_all_prover.linear_bound()
    covers = searched.in_all_prover.branching.covers
    monkeypatch.setattr(saving, "LARGEST_IN_ALL", 0)
    monkeypatch.setattr(saving.Prover, "linear_bound", never)
    for name in ("improved_in_parts", "improved_at_once"):
        monkeypatch.setattr(saving, name, lambda task, *_: Found(task.hint, None))
    in_all = Unbought(task=searched.in_all_prover.task, buy=searched.cheapest.buy, covers=covers)
    task = replace(searched.prover.task, limits=replace(SHORT, work=3, seconds=seconds))
    best = MoneySearch(task, lambda _: None, Event(), in_all).run()
    if not seconds:
        assert best.bound is None
        return
    assert best.bound is not None
    assert 0.9 * task.goal.value(task.hint) < best.bound <= task.goal.value(task.hint)


def test_what_is_told_in_all_is_only_its_bound() -> None:
    """What a plan costs in all is less than what it costs."""
    searched = Searched(random_workshop(14, products=2, days=30))
    notes: list[ProgressNote] = []
    in_all = Unbought(task=searched.in_all_prover.task, buy=searched.cheapest.buy)
    task = replace(searched.prover.task, limits=SHORT)
    best = MoneySearch(task, notes.append, Event(), in_all).run()
    values = [note.value for note in notes if note.value is not None]
    assert min(values) >= task.goal.value(best.values)


def test_several_workers_search_the_whole_model_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    task = money_task(replace(SHORT, workers=2))
    monkeypatch.setattr(saving, "improved_in_parts", never)
    monkeypatch.setattr(saving, "improved_at_once", lambda *_: Found(task.hint, 3))
    monkeypatch.setattr(saving.Prover, "linear_bound", lambda _: 9)
    assert found(task) == Found(task.hint, 9)
