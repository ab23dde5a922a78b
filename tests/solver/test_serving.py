"""The service stage: what is sought and proven beside each other, and what goes on from what."""

from dataclasses import replace
from threading import Event
from time import monotonic
from typing import NoReturn

import pytest

from planner.plan import Plan
from planner.settings import Progress, ProgressNote
from planner.solver import closing, patterns, serving
from planner.solver import search as search_file
from planner.solver.exchange import plan_of
from planner.solver.linear import Linear
from planner.solver.matrix import program_of
from planner.solver.proving import Prover
from planner.solver.search import NoPlanFound, minimise
from planner.solver.serving import ServiceSearch
from planner.solver.task import Found, Limits, Task
from planner.solver.tightening import tightenings
from tests.solver.pools import ENOUGH, service_task, small_workshop
from tests.workshops import random_workshop

WORK = replace(ENOUGH, work=0.5)


class Seeking:
    """Seeks in vain, and notes what it was allowed."""

    def __init__(self, task: Task) -> None:
        self.hint = task.hint
        self.plan = plan_of(task.model.variables, task.hint.__getitem__)
        self.works: list[float] = []
        self.seconds: list[float] = []

    def __call__(self, limits: Limits, progress: Progress, stop: Event) -> Plan:
        self.works.append(limits.work)
        self.seconds.append(limits.seconds)
        return self.plan


def successful(task: Task) -> Seeking:
    """Seeks and finds the best there is."""
    return Seeking(replace(task, hint=minimise(replace(task, limits=ENOUGH)).values))


def least(task: Task) -> int:
    return task.goal.value(minimise(replace(task, limits=ENOUGH)).values)


def search(
    task: Task,
    seek: serving.Seek,
    stop: Event | None = None,
    second: serving.Seek | None = None,
    near: bool = True,
) -> ServiceSearch:
    searches = serving.Searches(first=seek, second=second, near=near)
    return ServiceSearch(task, searches, lambda _: None, stop or Event())


def unclosed(monkeypatch: pytest.MonkeyPatch) -> None:
    """With all that tightens them, all programs are too large for branch and cut."""
    monkeypatch.setattr(serving, "BRANCHED", -1)


def with_nothing_more_to_prove(monkeypatch: pytest.MonkeyPatch, small: int) -> None:
    """Neither in models above a size, nor in those below it."""
    unclosed(monkeypatch)
    monkeypatch.setattr(serving, "SMALL", small)


def without_windows(monkeypatch: pytest.MonkeyPatch) -> None:
    """All relaxations take too much of the time."""
    monkeypatch.setattr(serving, "BEFORE_WINDOWS", 1)


class Parts:
    """Stands for closing the gap part by part, and notes what it began with."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.begun: list[tuple[dict[int, int], int, int, float]] = []
        monkeypatch.setattr(serving, "PartSearch", self._made)

    def _made(self, prover: object, limits: Limits, at_once: int, stop: Event) -> "Parts":
        self._with = at_once, limits.work
        return self

    def closed(self, values: dict[int, int], bound: int) -> Found:
        self.begun.append((values, bound, *self._with))
        return Found(values, bound)


class Windows:
    """Stands for planning windows anew, and notes what it began with."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.begun: list[tuple[list[dict[int, int]], int, float]] = []
        monkeypatch.setattr(serving, "WindowSearch", self._made)

    def _made(self, prover: object, limits: Limits, at_once: int, stop: Event) -> "Windows":
        self._with = at_once, limits.work
        return self

    def improved(self, starts: list[dict[int, int]], further: object = ()) -> Found:
        self.begun.append((starts, *self._with))
        return Found(starts[0], None)


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 12, 19, 20])
def test_the_gap_is_closed_to_the_optimum(seed: int) -> None:
    task = service_task(small_workshop(seed), replace(WORK, work=6))
    proven = minimise(replace(task, limits=ENOUGH))
    found = search(task, Seeking(task)).run()
    assert task.goal.value(found.values) == proven.bound == found.bound


def not_called(*_: object, **__: object) -> NoReturn:
    raise AssertionError("branched")


def test_where_the_gap_is_not_closed_all_the_work_goes_into_seeking(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    unclosed(monkeypatch)
    without_windows(monkeypatch)
    monkeypatch.setattr(serving, "PartSearch", not_called)
    task = service_task(small_workshop(12), WORK)
    seek = Seeking(task)
    found = search(task, seek).run()
    assert seek.works == pytest.approx(
        [serving.FIRST_AT_MOST * WORK.work, (1 - serving.FIRST_AT_MOST) * WORK.work]
    )
    assert found.values == task.hint
    assert found.bound is not None
    assert found.bound <= task.goal.value(task.hint)


def test_where_patterns_prove_more_their_size_counts_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """Hands hold the workshop up: the program is small, and with its patterns it is not."""
    workshop = random_workshop(1, products=2, days=30, bottleneck="hands")
    task = service_task(workshop, WORK)
    model = task.model.model
    covered, _ = tightenings(program_of(model, task.goal), model)
    monkeypatch.setattr(serving, "BRANCHED", covered.size)
    monkeypatch.setattr(serving, "PartSearch", not_called)
    without_windows(monkeypatch)
    seek = Seeking(task)
    searching = search(task, seek)
    found = searching.run()
    assert searching.prover.tightest is not None
    assert searching.prover.tightest.patterned is not None
    assert searching.prover.size > serving.BRANCHED
    assert seek.works == pytest.approx(
        [serving.FIRST_AT_MOST * WORK.work, (1 - serving.FIRST_AT_MOST) * WORK.work]
    )
    assert found.values == task.hint


@pytest.mark.parametrize("limit", ["SMALL", "SMALL_TIGHTENED"])
def test_a_program_that_is_not_small_is_not_branched_on(
    limit: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By itself, or with all that tightens it: the search then begins with all of its work."""
    monkeypatch.setattr(serving, limit, 0)
    monkeypatch.setattr(serving, "PartSearch", not_called)
    Windows(monkeypatch)
    task = service_task(small_workshop(12), WORK)
    seek = Seeking(task)
    found = search(task, seek).run()
    assert seek.works == [serving.SEEKING_NEAR * WORK.work]
    assert found.values == task.hint
    assert found.bound is not None


@pytest.mark.slow
@pytest.mark.parametrize("small", [0, 10**6])
def test_windows_go_on_from_what_both_searches_found(
    small: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two at once, since nothing else is going on any more."""
    with_nothing_more_to_prove(monkeypatch, small)
    windows = Windows(monkeypatch)
    task = service_task(small_workshop(12), WORK)
    second = successful(task)
    search(task, Seeking(task), second=second, near=False).run()
    ((starts, at_once, work),) = windows.begun
    assert [task.goal.value(start) for start in starts] == [
        task.goal.value(task.hint),
        task.goal.value(second.hint),
    ]
    assert (at_once, work) == (2, (1 - serving.SEEKING_SCARCE) * WORK.work)


def test_parts_close_a_wide_gap_from_the_best_of_both_searches_on(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Two at once, since nothing else is going on any more; from the relaxation's bound on."""
    monkeypatch.setattr(serving, "NARROW", -1.0)
    parts, windows = Parts(monkeypatch), Windows(monkeypatch)
    task = service_task(small_workshop(12), WORK)
    seek, second = Seeking(task), successful(task)
    found = search(task, seek, second=second, near=False).run()
    ((values, bound, at_once, work),) = parts.begun
    assert task.goal.value(values) == task.goal.value(second.hint) == least(task)
    assert bound <= least(task)
    share = 1 - serving.BEFORE_PARTS - serving.AFTER_PARTS
    assert (at_once, work) == (2, pytest.approx(share * WORK.work))
    assert found.bound == bound
    then = [(begun[0][0], *begun[1:]) for begun in windows.begun]
    windowed = [(values, 2, pytest.approx(serving.AFTER_PARTS * WORK.work))]
    assert then == ([] if bound == least(task) else windowed)
    after = serving.BEFORE_PARTS - serving.FIRST_AT_MOST
    assert seek.works == pytest.approx([serving.FIRST_AT_MOST * WORK.work, after * WORK.work])
    assert second.works == pytest.approx([after * WORK.work])


class Spans:
    """Stands for a proof with days taken together, and notes what it began with."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, more: int) -> None:
        self.begun: list[tuple[int, float]] = []
        self._more = more
        monkeypatch.setattr(Prover, "bound_in_spans", self._proven)

    def _proven(self, value: int, limits: Limits) -> int:
        self.begun.append((value, limits.work))
        return value - self._more


def with_too_few_hands(limits: Limits) -> Task:
    return service_task(random_workshop(1, products=2, days=30, bottleneck="hands"), limits)


def test_where_hands_are_scarce_days_taken_together_prove_more_before_a_second_search(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """In so much of the work that the first search takes no longer; then windows, for less."""
    with_nothing_more_to_prove(monkeypatch, small=0)
    windows, in_spans = Windows(monkeypatch), Spans(monkeypatch, more=1)
    task = with_too_few_hands(WORK)
    seek, second = Seeking(task), Seeking(task)
    found = search(task, seek, second=second, near=False).run()
    value = task.goal.value(task.hint)
    assert in_spans.begun == [(value, serving.IN_SPANS * WORK.work)]
    assert seek.works == [serving.SEEKING_SCARCE * WORK.work]
    assert second.works == pytest.approx([(serving.SEEKING_SCARCE - serving.IN_SPANS) * WORK.work])
    windowed = [(2, pytest.approx((1 - serving.SEEKING_SCARCE) * WORK.work))]
    assert [begun[1:] for begun in windows.begun] == windowed
    assert found.bound == value - 1


@pytest.mark.parametrize("scarce", [False, True])
def test_where_hands_are_scarce_a_share_of_the_seconds_is_left_to_the_money_stage(
    scarce: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    with_nothing_more_to_prove(monkeypatch, small=0)
    Windows(monkeypatch)
    if not scarce:  # days have too many short steps for patterns
        monkeypatch.setattr(patterns, "MOST", 0)
    task = with_too_few_hands(WORK)
    begun = monotonic()
    searching = search(task, Seeking(task), near=False)
    searching.run()
    share = 1 - serving.LEFT if scarce else 1
    assert searching.until == searching.prover.until
    assert searching.until - begun == pytest.approx(share * WORK.seconds, rel=0.01)
    assert searching.covers == searching.prover.branching.covers


def test_where_they_prove_the_first_plan_to_be_the_best_nothing_more_is_sought_beside(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    with_nothing_more_to_prove(monkeypatch, small=0)
    Windows(monkeypatch)
    Spans(monkeypatch, more=0)
    task = with_too_few_hands(WORK)
    second = Seeking(task)
    found = search(task, Seeking(task), second=second, near=False).run()
    assert second.works == []
    assert (found.values, found.bound) == (task.hint, task.goal.value(task.hint))


def test_in_a_small_model_they_narrow_the_gap_for_parts(monkeypatch: pytest.MonkeyPatch) -> None:
    """Instead of a second search, and before parts, which begin from there."""
    monkeypatch.setattr(serving, "NARROW", -1.0)
    parts, in_spans = Parts(monkeypatch), Spans(monkeypatch, more=1)
    Windows(monkeypatch)
    task = with_too_few_hands(WORK)
    second = Seeking(task)
    found = search(task, Seeking(task), second=second, near=False).run()
    value = task.goal.value(task.hint)
    share = serving.BEFORE_PARTS - serving.FIRST_AT_MOST
    assert in_spans.begun == [(value, pytest.approx(share * WORK.work))]
    ((_, bound, at_once, _),) = parts.begun
    assert (bound, at_once) == (value - 1, 2)
    assert second.works == []
    assert found.bound == value - 1


def test_without_patterns_days_are_not_taken_together(monkeypatch: pytest.MonkeyPatch) -> None:
    unclosed(monkeypatch)
    windows, in_spans = Windows(monkeypatch), Spans(monkeypatch, more=1)
    task = service_task(small_workshop(12), WORK)
    search(task, Seeking(task), second=Seeking(task), near=False).run()
    assert in_spans.begun == []
    assert [at_once for _, at_once, _ in windows.begun] == [2]


def test_parts_close_a_narrow_gap_from_the_first_plan_on(monkeypatch: pytest.MonkeyPatch) -> None:
    """They find what is missing, sooner than a search does."""
    monkeypatch.setattr(serving, "NARROW", 1.0)
    parts, windows = Parts(monkeypatch), Windows(monkeypatch)
    task = service_task(small_workshop(12), WORK)
    seek, second = Seeking(task), successful(task)
    search(task, seek, second=second, near=False).run()
    ((values, bound, at_once, work),) = parts.begun
    share = 1 - serving.FIRST_AT_MOST - serving.AFTER_PARTS
    assert values == task.hint
    assert (at_once, work) == (2, pytest.approx(share * WORK.work))
    assert seek.works == [serving.FIRST_AT_MOST * WORK.work]
    assert second.works == []
    assert [begun[0] for begun in windows.begun] == [[values]]  # not once more where parts began
    assert bound < task.goal.value(values)


@pytest.mark.parametrize(
    ("work", "seconds", "share"),
    [(0.5, 100.0, 0.18), (25.0, 100.0, 0.16), (50.0, 100.0, 0.08), (10.0**9, 100.0, 0.04)],
)
def test_a_first_plan_takes_no_longer_where_there_is_more_time(
    work: float, seconds: float, share: float
) -> None:
    task = service_task(small_workshop(12), replace(WORK, work=work, seconds=seconds))
    assert search(task, Seeking(task))._begun == pytest.approx(share)


@pytest.mark.slow
def test_near_a_kept_plan_what_is_sought_comes_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """Parts would not stay near it: they begin where the searches have come to their end."""
    monkeypatch.setattr(serving, "NARROW", 1.0)
    parts = Parts(monkeypatch)
    task = service_task(small_workshop(12), WORK)
    seek, second = Seeking(task), Seeking(task)
    search(task, seek, second=second).run()
    assert sum(seek.works) == pytest.approx(serving.BEFORE_PARTS * WORK.work)
    assert len(second.works) == 1
    share = 1 - serving.BEFORE_PARTS - serving.AFTER_PARTS
    assert [begun[2:] for begun in parts.begun] == [(2, pytest.approx(share * WORK.work))]


def judged_by_days(task: Task, values: dict[int, int]) -> Task:
    """The same task, in which a day on which other batches have been poured counts for a lot."""
    away = Linear().add(task.goal)
    for variables in task.model.variables.poured.values():
        for step in variables.steps:
            away.plus(step, task.goal.unit * 10**6 * (1 if values[step.index] == 0 else -1))
    return replace(task, judged_by=away)


def test_near_a_kept_plan_windows_go_on_from_parts_though_nothing_loses_less(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What has moved still counts. Where it does not, the proof is the end."""
    parts, windows = Parts(monkeypatch), Windows(monkeypatch)
    task = service_task(small_workshop(12), WORK)
    proven = least(task)
    best = minimise(replace(task, limits=ENOUGH)).values
    monkeypatch.setattr(parts, "closed", lambda *_: Found(best, proven))
    search(task, Seeking(task)).run()
    assert windows.begun == []
    search(judged_by_days(task, task.hint), Seeking(task)).run()
    assert [begun[1:] for begun in windows.begun] == [
        (2, pytest.approx(serving.AFTER_PARTS * WORK.work))
    ]


@pytest.mark.slow
def test_what_is_found_is_judged_by_what_has_moved_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """The second search loses less, and the first one's plan stays: it is nearer."""
    with_nothing_more_to_prove(monkeypatch, 0)
    Windows(monkeypatch)
    task = service_task(small_workshop(12), WORK)
    second = successful(task)
    judged = judged_by_days(task, task.hint)
    assert judged.measure.value(second.hint) > judged.measure.value(task.hint)
    found = search(judged, Seeking(task), second=second).run()
    assert found.values == task.hint
    assert found.bound is not None
    assert found.bound <= least(task)


def test_beside_several_searches_at_once_parts_are_closed_one_by_one(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    parts = Parts(monkeypatch)
    task = service_task(small_workshop(12), replace(WORK, workers=2))
    monkeypatch.setattr(serving, "improved_at_once", lambda *_: Found(task.hint, None))
    search(task, Seeking(task)).run()
    assert [begun[2:] for begun in parts.begun] == [(1, (1 - serving.BEFORE_PARTS) * WORK.work)]


@pytest.mark.slow
@pytest.mark.parametrize("small", [0, 10**6])
def test_near_a_kept_plan_windows_follow_after_searches_that_take_longer(
    small: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    with_nothing_more_to_prove(monkeypatch, small)
    windows = Windows(monkeypatch)
    task = service_task(small_workshop(12), WORK)
    seek, second = Seeking(task), Seeking(task)
    search(task, seek, second=second).run()
    near, begun = serving.SEEKING_NEAR, serving.FIRST_AT_MOST if small else 0.0
    assert sum(seek.works) == pytest.approx(near * WORK.work)
    assert len(seek.works) == (2 if small else 1)
    assert second.works == pytest.approx([(near - begun) * WORK.work])
    assert [begun[1:] for begun in windows.begun] == [(2, pytest.approx((1 - near) * WORK.work))]


def test_without_a_relaxation_no_windows(monkeypatch: pytest.MonkeyPatch) -> None:
    """The search goes on instead."""
    unclosed(monkeypatch)
    windows = Windows(monkeypatch)
    task = service_task(small_workshop(12), WORK)
    monkeypatch.setattr(serving.Prover, "relaxation_bound", lambda *_: None)
    seek = Seeking(task)
    search(task, seek, near=False).run()
    assert sum(seek.works) == pytest.approx(WORK.work)
    assert windows.begun == []


@pytest.mark.slow
@pytest.mark.parametrize("small", [0, 10**6])
def test_no_windows_where_the_relaxations_take_too_much_of_the_time(
    small: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    with_nothing_more_to_prove(monkeypatch, small)
    without_windows(monkeypatch)
    windows = Windows(monkeypatch)
    task = service_task(small_workshop(12), WORK)
    seek, second = Seeking(task), Seeking(task)
    search(task, seek, second=second, near=False).run()
    assert sum(seek.works) == pytest.approx(WORK.work)
    assert second.works == [0.8 * WORK.work]
    assert windows.begun == []


class Purse:
    """Stands for windows with so much work left, half of which has to be left for them."""

    def __init__(self, work: float) -> None:
        self.work = work

    def spend(self, work: float) -> bool:
        if self.work < 2 * work:
            return False
        self.work -= work
        return True


@pytest.mark.slow
def test_where_windows_gain_nothing_more_two_further_searches_begin_each_with_its_own_seed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """While there is work for them; the best comes first."""
    with_nothing_more_to_prove(monkeypatch, 0)
    task = service_task(small_workshop(12), WORK)
    best = successful(task).plan
    begun: list[tuple[int, float]] = []

    def second(limits: Limits, progress: Progress, stop: Event) -> Plan:
        begun.append((limits.seed, limits.work))
        return best if limits.seed % 2 else Seeking(task).plan

    searching = search(task, Seeking(task), second=second, near=False)
    searching.run()
    begun.clear()
    share = serving.FURTHER * WORK.work
    found = list(searching._sought_anew(Purse(3.5 * share), Event()))  # type: ignore[arg-type]
    losses = [task.goal.value(values) for values in found]
    assert losses == [least(task), task.goal.value(task.hint)] * 2
    assert sorted(begun) == [(seed, pytest.approx(share)) for seed in (3, 4, 5, 6)]


@pytest.mark.slow
@pytest.mark.parametrize("why", ["no work", "no time", "stopped", "none to begin"])
def test_no_further_search_begins_without(why: str, monkeypatch: pytest.MonkeyPatch) -> None:
    with_nothing_more_to_prove(monkeypatch, 0)
    Windows(monkeypatch)
    task = service_task(small_workshop(12), WORK)
    second = Seeking(task)
    searching = search(task, Seeking(task), second=None if why == "none to begin" else second)
    searching.run()
    second.works.clear()
    stop = Event()
    if why == "stopped":
        stop.set()
    if why == "no time":
        searching.until = monotonic() + serving.SOON
    purse = Purse(0.0 if why == "no work" else 100.0)
    assert list(searching._sought_anew(purse, stop)) == []  # type: ignore[arg-type]
    assert second.works == []


@pytest.mark.slow
def test_windows_find_what_the_searches_did_not(monkeypatch: pytest.MonkeyPatch) -> None:
    with_nothing_more_to_prove(monkeypatch, 0)
    task = service_task(small_workshop(20), replace(ENOUGH, work=6))
    found = search(task, Seeking(task), second=Seeking(task), near=False).run()
    assert task.goal.value(found.values) == least(task) < task.goal.value(task.hint)


def test_the_seeking_goes_on_while_the_relaxations_are_solved(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    task = service_task(small_workshop(12), WORK)
    further = Event()

    def bound(*_: object) -> int:
        assert further.wait(30)
        return task.goal.value(task.hint)

    def seek(limits: Limits, progress: Progress, stop: Event) -> Plan:
        further.set()
        return Seeking(task).plan

    monkeypatch.setattr(serving.Prover, "relaxation_bound", bound)
    assert search(task, seek).run() == Found(task.hint, task.goal.value(task.hint))


@pytest.mark.slow
def test_of_what_is_sought_the_best_counts_not_the_last(monkeypatch: pytest.MonkeyPatch) -> None:
    """Near a kept plan a search may go on to a schedule that loses more and keeps more."""
    unclosed(monkeypatch)
    task = service_task(small_workshop(12), WORK)
    best = minimise(replace(task, limits=ENOUGH)).values
    plans = [plan_of(task.model.variables, one.__getitem__) for one in (best, task.hint)]

    def seek(*_: object) -> Plan:
        return plans.pop(0)

    found = search(task, seek).run()
    assert not plans
    assert task.goal.value(found.values) == task.goal.value(best)


@pytest.mark.slow
@pytest.mark.parametrize("small", [0, 10**6])
def test_several_searches_that_find_less_do_not_undo_what_was_sought(
    small: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A run of several searches need not come back to the plan that it was given."""
    unclosed(monkeypatch)
    monkeypatch.setattr(serving, "SMALL", small)
    task = service_task(small_workshop(12), replace(WORK, workers=2))
    monkeypatch.setattr(serving, "improved_at_once", lambda *_: Found(task.hint, None))
    found = search(task, successful(task)).run()
    assert task.goal.value(found.values) == least(task) < task.goal.value(task.hint)


def test_several_workers_leave_a_large_model_to_the_seeking(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    with_nothing_more_to_prove(monkeypatch, 0)
    task = service_task(small_workshop(12), replace(WORK, workers=2))
    monkeypatch.setattr(serving, "improved_at_once", not_called)
    for largest, works in ((0, [WORK.work]), (10**6, [serving.AT_ONCE * WORK.work])):
        monkeypatch.setattr(serving, "LARGEST_AT_ONCE", largest)
        seek = Seeking(task)
        if largest:
            with pytest.raises(AssertionError, match="branched"):
                search(task, seek).run()
        else:
            assert search(task, seek).run().values == task.hint
        assert seek.works == works


@pytest.mark.slow
@pytest.mark.parametrize("small", [0, 10**6])
def test_where_nothing_more_can_be_proven_a_second_search_begins(
    small: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In a model too large for branch and cut, and in one that is with all that tightens it."""
    with_nothing_more_to_prove(monkeypatch, small)
    without_windows(monkeypatch)
    task = service_task(small_workshop(12), WORK)
    second = successful(task)
    found = search(task, Seeking(task), second=second).run()
    assert second.works == [0.8 * WORK.work]
    assert task.goal.value(found.values) == least(task) < task.goal.value(task.hint)
    assert found.bound is not None


@pytest.mark.slow
@pytest.mark.parametrize("limits", [replace(WORK, workers=2), replace(WORK, seconds=serving.SOON)])
def test_no_second_search_where_there_are_several_or_no_time(
    limits: Limits, monkeypatch: pytest.MonkeyPatch
) -> None:
    unclosed(monkeypatch)
    task = service_task(small_workshop(12), limits)
    second = successful(task)
    search(task, Seeking(task), second=second).run()
    assert second.works == []


@pytest.mark.parametrize(("later", "begins"), [(serving.SOON / 2, False), (30.0, True)])
def test_a_second_search_ends_when_the_first_one_should(later: float, begins: bool) -> None:
    """However late it begins: windows would wait for it."""
    task = service_task(small_workshop(12), WORK)
    second = successful(task)
    searching = search(task, Seeking(task), second=second, near=False)
    searching._relax(None)
    searching.sought_until = monotonic() + later
    searching._sought_beside()
    assert [seconds <= later for seconds in second.seconds] == [True] * begins


@pytest.mark.slow
@pytest.mark.parametrize("closes", [False, True])
def test_what_comes_after_searches_keeps_its_share_of_the_time(
    closes: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    if not closes:
        unclosed(monkeypatch)
    monkeypatch.setattr(serving, "NARROW", -1.0)
    task = service_task(small_workshop(12), replace(WORK, work=10.0**9))
    searching = search(task, Seeking(task), near=False)
    bound = searching.prover.relaxation_bound()  # before it there are no windows
    searching.first.set_result(Found(task.hint, None))
    left = searching.until - monotonic()
    assert searching._relax(bound) is closes
    until = serving.BEFORE_PARTS if closes else serving.SEEKING_SCARCE
    share, after = until - searching._begun, 1 - until
    spared = searching.until - searching.sought_until
    assert spared == pytest.approx(left * after / (share + after), rel=0.05)


@pytest.mark.slow
@pytest.mark.parametrize("limit", ["PATIENCE", "LARGEST_RELAXED"])
@pytest.mark.parametrize("small", [0, 10**6])
def test_a_search_does_not_wait_for_a_relaxation_that_takes_long(
    limit: str, small: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second one begins after it in any case."""
    with_nothing_more_to_prove(monkeypatch, small)
    monkeypatch.setattr(serving, limit, 0)
    task = service_task(small_workshop(12), WORK)
    seek, second = Seeking(task), Seeking(task)
    search(task, seek, second=second, near=False).run()
    assert len(seek.works) == (2 if small else 1)
    assert len(second.works) == 1


def test_whoever_waits_for_the_relaxation_tells_the_time_left(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Here it is solved only once that was told three times."""
    notes: list[ProgressNote] = []
    waited = Event()

    def hear(note: ProgressNote) -> None:
        notes.append(note)
        if len(notes) == 3:
            waited.set()

    monkeypatch.setattr(closing, "SIGN", 0.001)
    monkeypatch.setattr(serving.Prover, "relaxation_bound", lambda *_: waited.wait(60) and None)
    task = service_task(small_workshop(12), WORK)
    seek = Seeking(task)
    searches = serving.Searches(first=seek, second=Seeking(task), near=False)
    ServiceSearch(task, searches, hear, Event()).run()
    assert len(notes) >= 3
    left = [note.seconds_left for note in notes]
    assert left == sorted(left, reverse=True)
    assert all(0 < seconds <= WORK.seconds for seconds in left)
    assert {(note.stage, note.value, note.bound) for note in notes} == {("service", None, None)}


def test_nobody_waits_in_vain_for_a_relaxation_that_is_not_solved(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(serving.Prover, "relaxation_bound", lambda *_: None)
    task = service_task(small_workshop(12), WORK)
    seek = Seeking(task)
    found = search(task, seek, second=Seeking(task)).run()
    assert len(seek.works) == 2
    assert found == Found(task.hint, None)


def test_a_fault_of_the_seeking_is_raised() -> None:
    """The proof does not wait for a plan that never comes."""

    def fail(*_: object) -> Plan:
        raise LookupError("a fault")

    with pytest.raises(LookupError, match="a fault"):
        search(service_task(small_workshop(12), WORK), fail).run()


@pytest.mark.slow
def test_what_is_sought_and_better_is_gone_on_from() -> None:
    task = service_task(small_workshop(12), WORK)
    found = search(task, successful(task)).run()
    assert task.goal.value(found.values) == least(task)


def test_stopped_the_best_plan_so_far_is_found() -> None:
    task = service_task(small_workshop(12), ENOUGH)
    stop = Event()
    stop.set()
    assert search(task, Seeking(task), stop).run() == Found(task.hint, None)


def test_a_fault_of_the_proof_is_raised(monkeypatch: pytest.MonkeyPatch) -> None:
    task = service_task(small_workshop(0), WORK)

    def fail(*_: object) -> int:
        raise LookupError("a fault")

    monkeypatch.setattr(serving.Prover, "relaxation_bound", fail)
    with pytest.raises(LookupError, match="a fault"):
        search(task, Seeking(task)).run()


@pytest.mark.slow
@pytest.mark.parametrize("proven", [False, True])
def test_several_searches_without_a_plan_in_time_keep_what_was_sought(
    proven: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    unclosed(monkeypatch)

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
