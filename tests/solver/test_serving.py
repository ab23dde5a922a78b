"""The service stage's order of steps: seek, prove, then close the gap or look further."""

from dataclasses import replace
from threading import Event

import pytest

from planner.plan import Plan
from planner.settings import Progress
from planner.solver import search as search_file
from planner.solver import serving
from planner.solver.exchange import plan_of
from planner.solver.highs import Proof
from planner.solver.search import NoPlanFound, minimise
from planner.solver.serving import ServiceSearch, found_by
from planner.solver.task import Found, Limits, Task
from tests.solver.pools import ENOUGH, service_task, small_workshop
from tests.workshops import random_workshop

WORK = replace(ENOUGH, work=0.5)


class Seeking:
    """Seeks in vain, and notes what it was allowed."""

    def __init__(self, task: Task) -> None:
        self.plan = plan_of(task.model.variables, task.hint.__getitem__)
        self.works: list[float] = []

    def __call__(self, limits: Limits, progress: Progress, stop: Event) -> Plan:
        self.works.append(limits.work)
        return self.plan


def search(task: Task, seek: serving.Seek, stop: Event | None = None) -> ServiceSearch:
    return ServiceSearch(task, seek, lambda _: None, stop or Event())


def far(monkeypatch: pytest.MonkeyPatch, share: float) -> None:
    monkeypatch.setattr(serving, "FAR", share)
    monkeypatch.setattr(serving, "SURE", 0)


@pytest.mark.parametrize("seed", [1, 12, 19, 20])
def test_the_gap_is_closed_to_the_optimum(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    far(monkeypatch, 1.0)
    task = service_task(small_workshop(seed), WORK)
    proven = minimise(replace(task, limits=ENOUGH))
    found = search(task, Seeking(task)).run()
    assert task.goal.value(found.values) == proven.bound == found.bound


def test_far_from_the_bound_the_work_goes_into_looking_further(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    far(monkeypatch, -1.0)
    task = service_task(small_workshop(12), WORK)
    seek = Seeking(task)
    found = search(task, seek).run()
    assert seek.works == [0.1 * WORK.work, 0.45 * WORK.work]
    assert found.bound is not None
    assert found.bound <= task.goal.value(found.values) <= task.goal.value(task.hint)


def test_a_large_model_is_left_to_the_seeking_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    far(monkeypatch, -1.0)
    monkeypatch.setattr(serving, "LARGEST_IN_PARTS", 0)
    task = service_task(small_workshop(12), WORK)
    seek = Seeking(task)
    found = search(task, seek).run()
    assert seek.works == [0.1 * WORK.work, 0.9 * WORK.work]
    assert found.values == task.hint


def test_where_patterns_prove_more_all_the_work_goes_into_seeking(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Hands hold the workshop up, and far from the bound the program is not branched on."""
    far(monkeypatch, -1.0)
    workshop = random_workshop(1, products=2, days=30, bottleneck="hands")
    task = service_task(workshop, WORK)
    seek = Seeking(task)
    searching = search(task, seek)
    found = searching.run()
    assert searching.prover.patterned is not None
    assert seek.works == [0.1 * WORK.work, 0.9 * WORK.work]
    assert found.values == task.hint


def test_a_program_that_is_not_small_is_not_branched_on(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    far(monkeypatch, -1.0)
    monkeypatch.setattr(serving, "SMALL", 0)
    task = service_task(small_workshop(12), WORK)
    seek = Seeking(task)
    search(task, seek).run()
    assert seek.works == [0.5 * WORK.work]


def test_what_is_sought_and_better_is_gone_on_from() -> None:
    task = service_task(small_workshop(12), WORK)
    best = minimise(replace(task, limits=ENOUGH)).values
    better = Seeking(replace(task, hint=best))
    started = search(task, better)
    started.run()
    assert task.goal.value(started.found.values) == task.goal.value(best)


def test_stopped_the_best_plan_so_far_is_found() -> None:
    task = service_task(small_workshop(12), ENOUGH)
    stop = Event()
    stop.set()
    assert search(task, Seeking(task), stop).run() == Found(task.hint, None)


def test_a_fault_of_the_proof_is_raised(monkeypatch: pytest.MonkeyPatch) -> None:
    task = service_task(small_workshop(0), WORK)

    def fail(_: object) -> int:
        raise LookupError("a fault")

    monkeypatch.setattr(serving.Prover, "relaxation_bound", fail)
    with pytest.raises(LookupError, match="a fault"):
        search(task, Seeking(task)).run()


def test_a_proof_without_values_found_what_it_started_from() -> None:
    nothing = Proof(values=None, bound=3, optimal=False)
    assert found_by(nothing, {0: 7}) == Found({0: 7}, 3)
    something = Proof(values=[5], bound=4, optimal=True)
    assert found_by(something, {0: 7}) == Found({0: 5}, 4)


def test_a_complete_proof_counts_though_the_solver_found_as_good(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Any other proof's plan counts only if it is better."""
    task = service_task(small_workshop(12), WORK)
    values = [task.hint[column] for column in range(len(task.hint))]
    other = [values[0] + 1, *values[1:]]  # batches poured, which cost nothing here
    value = task.goal.value(task.hint)
    assert task.goal.value(dict(enumerate(other))) == value
    monkeypatch.setattr(serving.Prover, "relaxation_bound", lambda _: value - 1)
    for optimal, expected in ((True, other), (False, values)):
        bound = value if optimal else value - 1
        proof = Proof(values=other, bound=bound, optimal=optimal)
        monkeypatch.setattr(serving.Prover, "branch_and_cut", lambda *_, proof=proof, **__: proof)
        found = search(task, Seeking(task)).run()
        assert [found.values[column] for column in range(len(values))] == expected
        assert found.bound == bound


@pytest.mark.parametrize("proven", [False, True])
def test_several_searches_without_a_plan_in_time_keep_what_was_sought(
    proven: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    far(monkeypatch, -1.0)

    def nothing(*_: object) -> Found:
        raise NoPlanFound(proven=proven)

    monkeypatch.setattr(search_file, "minimise", nothing)
    task = service_task(small_workshop(12), replace(WORK, workers=2))
    several = search(task, Seeking(task))
    if proven:
        with pytest.raises(NoPlanFound):
            several.run()
    else:
        assert several.run().values == task.hint
