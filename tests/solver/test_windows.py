"""Windows planned anew: the rest stays, every row holds, and what is found goes together."""

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise
from threading import Event

import pytest

from planner.draft.draft import draft
from planner.plan import Batch, Plan
from planner.solver import windows as windows_file
from planner.solver.changes import add_moved
from planner.solver.exchange import plan_of
from planner.solver.highs import Effort, Proof
from planner.solver.linear import Linear
from planner.solver.matrix import Program
from planner.solver.model import PlanModel
from planner.solver.proving import Prover
from planner.solver.search import minimise
from planner.solver.task import Limits, Task
from planner.solver.window import Window
from planner.solver.windows import FULL, NEAR, Begun, Way, WindowSearch
from tests.solver.pools import ENOUGH, service_task, small_workshop
from tests.solver.provers import prover_of, scarce
from tests.solver.rows import broken_rows, settled
from tests.workshops import random_workshop

pytestmark = pytest.mark.slow

IMPROVABLE = 20
LONG = random_workshop(6, products=2, days=90, bottleneck="trays")


def search(
    prover: Prover, limits: Limits = ENOUGH, at_once: int = 1, stop: Event | None = None
) -> WindowSearch:
    return WindowSearch(prover, limits, at_once, stop or Event())


def pours(task: Task, values: dict[int, int]) -> Counter[tuple[str, int, int]]:
    plan = plan_of(task.model.variables, values.__getitem__)
    return Counter((b.product, b.bars, b.pour) for b in plan.batches if not b.in_progress)


@pytest.mark.parametrize("way", [NEAR, FULL])
def test_outside_of_a_window_the_same_is_poured(way: Way) -> None:
    task = scarce()
    window = Window(first=10, end=40)
    begun = Begun(window=window, way=way, values=task.hint)
    found = search(prover_of(task))._planned_anew(begun, 6.0).values
    assert found is not None
    assert broken_rows(task.model.model, found) == []
    before, after = pours(task, task.hint), pours(task, found)
    changed = (before - after) + (after - before)
    assert changed
    assert all(window.first <= day < window.end for _, _, day in changed)
    assert task.goal.value(found) < task.goal.value(task.hint)


@pytest.mark.parametrize("quick", [0, windows_file.QUICK])
def test_the_optimum_of_a_small_workshop_is_found(
    quick: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whether what is near is looked at first or not."""
    monkeypatch.setattr(windows_file, "QUICK", quick)
    task = service_task(small_workshop(IMPROVABLE))
    best = minimise(task)
    found = search(prover_of(task), replace(ENOUGH, work=3)).improved([task.hint]).values
    assert broken_rows(task.model.model, found) == []
    assert task.goal.value(found) == best.bound < task.goal.value(task.hint)


def test_where_batches_of_a_kept_plan_are_worth_more_than_a_loss_they_come_back() -> None:
    """From the optimum, which pours some of them on other days, to the draft that is kept."""
    workshop = small_workshop(12)
    kept = settled(workshop, draft(workshop))
    model = PlanModel(workshop, with_purchases=False, stored=kept)
    moved = add_moved(model.model, model.variables, kept)
    task = Task(
        stage="service",
        model=model,
        goal=model.service,
        hint=model.values_of(kept),
        limits=ENOUGH,
        judged_by=Linear().add(model.service).add(moved, model.service.unit * 10**6),
    )
    best = model.values_of(plan_of(model.variables, minimise(task).values.__getitem__))
    assert task.goal.value(best) < task.goal.value(task.hint)
    assert moved.value(best) > 0
    found = search(prover_of(task), replace(ENOUGH, work=3)).improved([best]).values
    assert broken_rows(model.model, found) == []
    assert moved.value(found) == 0


@pytest.mark.parametrize("quick", [0, windows_file.QUICK])
@pytest.mark.parametrize("at_once", [1, 2])
def test_the_same_seed_and_work_find_the_same(
    at_once: int, quick: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(windows_file, "QUICK", quick)
    task = scarce()
    prover = prover_of(task)
    limits = replace(ENOUGH, work=2)
    once, again = (search(prover, limits, at_once).improved([task.hint]) for _ in range(2))
    assert once == again
    assert task.goal.value(once.values) < task.goal.value(task.hint)
    assert broken_rows(task.model.model, once.values) == []


def test_without_work_or_when_stopped_the_best_start_is_the_result() -> None:
    task = service_task(small_workshop(IMPROVABLE))
    best = minimise(task).values
    prover, stop = prover_of(task), Event()
    assert search(prover, replace(ENOUGH, work=0)).improved([task.hint, best]).values == best
    assert search(prover, replace(ENOUGH, seconds=0)).improved([task.hint]).values == task.hint
    stop.set()
    assert search(prover, stop=stop).improved([task.hint]).values == task.hint


def with_batches(task: Task, batches: list[Batch]) -> dict[int, int]:
    plan = plan_of(task.model.variables, task.hint.__getitem__)
    underway = [batch for batch in plan.batches if batch.in_progress]
    return task.model.values_of(replace(plan, batches=(*underway, *batches)))


def planned(task: Task) -> list[Batch]:
    plan: Plan = plan_of(task.model.variables, task.hint.__getitem__)
    return [batch for batch in plan.batches if not batch.in_progress]


def test_what_a_window_made_of_an_earlier_assignment_goes_with_a_later_one() -> None:
    """The draft without its first and its last batch; one window puts back either."""
    task = scarce()
    batches = planned(task)
    base, first, last = (
        with_batches(task, part) for part in (batches[1:-1], batches[:-1], batches[1:])
    )
    found = search(prover_of(task))._better(first, base, last)
    assert pours(task, found) == pours(task, task.hint)
    assert task.goal.value(found) < min(task.goal.value(first), task.goal.value(last))


def test_what_cannot_go_together_does_not() -> None:
    """Twice the same batch on trays that take it once: the better of the two counts, alone."""
    task = scarce()
    batches = planned(task)
    base, full = with_batches(task, batches[1:]), with_batches(task, batches)
    twice = {column: 2 * full[column] - base[column] for column in base}
    assert broken_rows(task.model.model, twice)
    found = search(prover_of(task))._better(full, base, dict(full))
    assert broken_rows(task.model.model, found) == []
    assert task.goal.value(found) <= task.goal.value(full)


def test_two_windows_that_take_out_the_same_batch_do_not_go_together() -> None:
    """Its count would fall by two: the assignment stays if neither is better."""
    task = scarce()
    batches = planned(task)
    full, without = with_batches(task, batches), with_batches(task, batches[1:])
    searching = search(prover_of(task))
    fallen = {column: 2 * without[column] - full[column] for column in full}
    assert not searching._rises([fallen[column] for column in range(len(fallen))])
    assert searching._better(without, full, dict(without)) == without


@pytest.mark.parametrize("way", [NEAR, FULL])
def test_a_window_works_no_longer_than_it_may(way: Way) -> None:
    task = scarce()
    begun = Begun(window=Window(first=0, end=60), way=way, values=task.hint)
    replanned = search(prover_of(task))._planned_anew(begun, 0.01)
    assert replanned.work < 0.5
    assert not replanned.ended


@pytest.mark.parametrize(
    ("work", "seconds", "may_take"),
    [
        (100.0, 600.0, lambda _: windows_file.SHARE * 600),
        (1e9, 600.0, lambda size: windows_file.EACH * size),
        (1e9, 0.01, lambda _: windows_file.SHARE * 0.01),
    ],
)
def test_where_the_clock_ends_the_search_a_window_has_the_longer_the_larger_it_is(
    monkeypatch: pytest.MonkeyPatch, work: float, seconds: float, may_take: Callable[[int], float]
) -> None:
    """But never more than its share of all."""
    efforts: list[tuple[float, int]] = []

    def noted(program: Program, _: object, effort: Effort, *__: object) -> Proof:
        efforts.append((effort.seconds, program.rows + program.columns))
        return Proof(values=None, bound=None, optimal=False)

    monkeypatch.setattr(windows_file, "branched_apart", noted)
    monkeypatch.setattr(windows_file, "SHORTEST", 0.0)
    prover = prover_of(scarce())
    searching = search(prover, replace(ENOUGH, work=work, seconds=seconds))
    for end in (20, 60):
        window = Window(first=0, end=end)
        searching._planned_anew(Begun(window=window, way=FULL, values=prover.task.hint), work)
    (_, few), (_, many) = efforts
    assert few < many
    assert [taken for taken, _ in efforts] == pytest.approx([may_take(few), may_take(many)])


@pytest.mark.parametrize("at_once", [1, 2])
def test_no_more_work_is_done_than_there_is(monkeypatch: pytest.MonkeyPatch, at_once: int) -> None:
    """Nor less: what a window does not need of its share is there for the next ones."""
    task = service_task(small_workshop(IMPROVABLE))
    done: list[float] = []

    def plan_anew(_: WindowSearch, begun: Begun, work: float) -> windows_file.Replanned:
        done.append(max(0.25, work / 2))
        return windows_file.Replanned(values=None, ended=True, work=done[-1])

    monkeypatch.setattr(WindowSearch, "_planned_anew", plan_anew)
    search(prover_of(task), replace(ENOUGH, work=8), at_once).improved([task.hint])
    assert 8 * at_once <= sum(done) < 8 * at_once + 1


class InVain:
    """Stands for planning windows anew, each in a unit of work: how, and what they began from.

    Of the first ones it can be said what they find. The program counts as large.
    """

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.task = service_task(small_workshop(IMPROVABLE))
        self.best = minimise(self.task).values
        self.low, self.high = (self.task.goal.value(v) for v in (self.best, self.task.hint))
        self.turns: list[tuple[Way, int]] = []
        self.finds: list[dict[int, int] | None] = []
        monkeypatch.setattr(windows_file, "QUICK", 0)
        monkeypatch.setattr(WindowSearch, "_planned_anew", self._planned_anew)

    def _planned_anew(self, begun: Begun, work: float) -> windows_file.Replanned:
        self.turns.append((begun.way, self.task.goal.value(begun.values)))
        found = self.finds.pop(0) if self.finds else None
        return windows_file.Replanned(values=found, ended=True, work=1.0)

    def search(self, work: float) -> WindowSearch:
        return search(prover_of(self.task), replace(ENOUGH, work=work))


def test_of_each_plan_it_is_seen_what_is_near_then_the_best_goes_on(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The best first, and then the next one."""
    vain = InVain(monkeypatch)
    vain.search(8).improved([vain.task.hint, vain.best])
    assert vain.turns == [
        *[(NEAR, vain.low), (NEAR, vain.high)],
        *[(NEAR, vain.low), (FULL, vain.low), (FULL, vain.low)],
        *[(NEAR, vain.high), (FULL, vain.high), (FULL, vain.high)],
    ]


def test_no_more_windows_than_that_are_planned_to_see_what_is_near(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    vain = InVain(monkeypatch)
    monkeypatch.setattr(windows_file, "LOOKED_AT", 0)
    vain.search(2).improved([vain.task.hint, vain.best])
    assert vain.turns == [(NEAR, vain.low), (FULL, vain.low)]


def test_in_a_small_program_windows_are_planned_in_full_at_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    vain = InVain(monkeypatch)
    searching = vain.search(5)
    monkeypatch.setattr(searching, "_first", FULL)
    searching.improved([vain.task.hint, vain.best])
    lows, highs = [(FULL, vain.low)] * 2, [(FULL, vain.high)] * 2
    assert vain.turns == [*lows, *highs, (FULL, vain.low)]


def test_what_is_gained_makes_room_near_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is found near goes on near, and what a full window finds begins there anew."""
    vain = InVain(monkeypatch)
    vain.finds = [None, None, vain.best]
    vain.search(6).improved([vain.task.hint])
    near_high, full_high = (NEAR, vain.high), (FULL, vain.high)
    near_low, full_low = (NEAR, vain.low), (FULL, vain.low)
    assert vain.turns == [near_high, full_high, full_high, near_low, full_low, full_low]
    vain = InVain(monkeypatch)
    vain.finds = [vain.best]
    vain.search(3).improved([vain.task.hint])
    assert vain.turns == [near_high, near_low, full_low]


def test_further_starts_are_asked_for_only_where_nothing_is_gained_any_more(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The best of all goes on after them."""
    vain = InVain(monkeypatch)
    asked: list[int] = []

    def further() -> Iterator[dict[int, int]]:
        asked.append(len(vain.turns))
        yield vain.best

    found = vain.search(6).improved([vain.task.hint], further())
    full_high, full_low = (FULL, vain.high), (FULL, vain.low)
    assert vain.turns[:3] == [(NEAR, vain.high), full_high, full_high]
    assert vain.turns[3:] == [(NEAR, vain.low), full_low, full_low]
    assert asked == [3]
    assert vain.task.goal.value(found.values) == vain.low


def test_a_further_start_counts_though_no_work_is_left_for_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    vain = InVain(monkeypatch)
    found = vain.search(2).improved([vain.task.hint], iter([vain.best]))
    assert vain.turns == [(NEAR, vain.high), (FULL, vain.high)]
    assert vain.task.goal.value(found.values) == vain.low < vain.high


def test_where_nothing_is_lost_no_window_is_planned(monkeypatch: pytest.MonkeyPatch) -> None:
    vain = InVain(monkeypatch)
    searching = vain.search(2)
    monkeypatch.setattr(searching, "_value", lambda _: 0)
    searching.improved([vain.task.hint])
    assert vain.turns == []


def test_as_much_work_is_left_for_windows_as_is_spent_on_something_else() -> None:
    searching = search(prover_of(service_task(small_workshop(IMPROVABLE))), replace(ENOUGH, work=5))
    assert searching.spend(2)
    assert not searching.spend(2)
    assert searching.spend(1.5)
    assert not searching.spend(1)


def test_windows_come_to_every_day() -> None:
    """Soon, and to none that another comes to at the same time, while there is room."""
    searching = search(prover_of(service_task(LONG)))
    drawn = [searching._window(FULL, [])]
    for _ in range(8):
        drawn.append(searching._window(FULL, drawn[-1:]))
    days = Counter(day for window in drawn for day in range(window.first, window.end))
    assert all(days[day] for day in range(LONG.days))
    assert all(one.distance(other) >= 0 for one, other in pairwise(drawn))


def test_where_all_places_are_taken_windows_overlap_in_part() -> None:
    searching = search(prover_of(scarce()))
    taken = [Window(first=0, end=30), Window(first=35, end=60)]
    chosen = searching._window(FULL, taken)
    assert -20 < min(chosen.distance(window) for window in taken) < 0


def test_windows_grow_where_they_are_planned_to_the_end_and_shrink_where_not() -> None:
    task = service_task(LONG)
    searching = search(prover_of(task))
    widths = []
    for ended in (True, True, False, False, False, False, False):
        searching._resize(NEAR, ended)
        widths.append(searching._width[NEAR])
    assert widths[0] < widths[1] > widths[2] > widths[3]
    assert widths[-1] == windows_file.FEWEST_DAYS
    for _ in range(20):
        searching._resize(NEAR, True)
    assert searching._width == {NEAR: 90, FULL: windows_file.FIRST_DAYS}
