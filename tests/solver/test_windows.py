"""Windows planned anew: the rest stays, every row holds, and what is found goes together."""

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise
from threading import Event
from time import monotonic

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
from planner.solver.tying import Tied
from planner.solver.windows import Window, WindowSearch, tied_outside
from tests.solver.pools import ENOUGH, service_task, small_workshop
from tests.solver.rows import broken_rows, settled
from tests.workshops import random_workshop

IMPROVABLE = 20
LONG = random_workshop(6, products=2, days=90, bottleneck="trays")


def prover_of(task: Task) -> Prover:
    """Its relaxation is solved, so that its program is the tight one."""
    prover = Prover(task=task, until=monotonic() + 120, progress=lambda _: None, stop=Event())
    prover.relaxation_bound()
    return prover


def search(
    prover: Prover, limits: Limits = ENOUGH, at_once: int = 1, stop: Event | None = None
) -> WindowSearch:
    return WindowSearch(prover, limits, at_once, stop or Event())


def tied(prover: Prover, window: Window) -> Tied:
    """The hint's tight program but for a window."""
    task = prover.task
    return tied_outside(task.model.variables, prover.branching.program, task.hint, window)


def scarce() -> Task:
    """Three products for two months, which need more trays than there are."""
    return service_task(random_workshop(6, products=3, days=60, bottleneck="trays"))


def pours(task: Task, values: dict[int, int]) -> Counter[tuple[str, int, int]]:
    plan = plan_of(task.model.variables, values.__getitem__)
    return Counter((b.product, b.bars, b.pour) for b in plan.batches if not b.in_progress)


@pytest.mark.parametrize("first", [-10, 0, 20, 50])
def test_what_is_planned_fits_into_every_window(first: int) -> None:
    """And comes out as it was: the smaller program costs as much and keeps its rows."""
    task = scarce()
    prover = prover_of(task)
    some = tied(prover, Window(first=first, end=first + 20))
    whole = prover.branching.completed(task.hint)
    inside = some.narrowed(whole)
    assert some.program.columns < prover.branching.program.columns
    assert some.program.holds([inside[column] for column in range(len(inside))])
    widened = some.widened([inside[column] for column in range(len(inside))])
    assert dict(enumerate(widened)) == whole


def test_a_window_over_the_whole_plan_ties_nothing() -> None:
    task = scarce()
    prover = prover_of(task)
    some = tied(prover, Window(first=-60, end=120))
    assert some.program.columns == prover.branching.program.columns


def test_outside_of_a_window_the_same_is_poured() -> None:
    task = scarce()
    window = Window(first=10, end=40)
    found = search(prover_of(task))._planned_anew(task.hint, window, 6.0).values
    assert found is not None
    assert broken_rows(task.model.model, found) == []
    before, after = pours(task, task.hint), pours(task, found)
    changed = (before - after) + (after - before)
    assert changed
    assert all(window.first <= day < window.end for _, _, day in changed)
    assert task.goal.value(found) < task.goal.value(task.hint)


def test_the_optimum_of_a_small_workshop_is_found() -> None:
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


@pytest.mark.parametrize("at_once", [1, 2])
def test_the_same_seed_and_work_find_the_same(at_once: int) -> None:
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


def test_a_window_works_no_longer_than_it_may() -> None:
    task = scarce()
    replanned = search(prover_of(task))._planned_anew(task.hint, Window(first=0, end=60), 0.01)
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
        searching._planned_anew(prover.task.hint, Window(first=0, end=end), work)
    (_, few), (_, many) = efforts
    assert few < many
    assert [taken for taken, _ in efforts] == pytest.approx([may_take(few), may_take(many)])


@pytest.mark.parametrize("at_once", [1, 2])
def test_no_more_work_is_done_than_there_is(monkeypatch: pytest.MonkeyPatch, at_once: int) -> None:
    """Nor less: what a window does not need of its share is there for the next ones."""
    task = service_task(small_workshop(IMPROVABLE))
    done: list[float] = []

    def plan_anew(
        _: WindowSearch, values: dict[int, int], window: Window, work: float
    ) -> windows_file.Replanned:
        done.append(max(0.25, work / 2))
        return windows_file.Replanned(values=None, ended=True, work=done[-1])

    monkeypatch.setattr(WindowSearch, "_planned_anew", plan_anew)
    search(prover_of(task), replace(ENOUGH, work=8), at_once).improved([task.hint])
    assert 8 * at_once <= sum(done) < 8 * at_once + 1


class InVain:
    """Stands for planning windows anew, each in a unit of work: what they began from."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.task = service_task(small_workshop(IMPROVABLE))
        self.best = minimise(self.task).values
        self.low, self.high = (self.task.goal.value(v) for v in (self.best, self.task.hint))
        self.turns: list[int] = []
        monkeypatch.setattr(WindowSearch, "_planned_anew", self._planned_anew)

    def _planned_anew(
        self, values: dict[int, int], window: Window, work: float
    ) -> windows_file.Replanned:
        self.turns.append(self.task.goal.value(values))
        return windows_file.Replanned(values=None, ended=True, work=1.0)

    def search(self, work: float) -> WindowSearch:
        return search(prover_of(self.task), replace(ENOUGH, work=work))


def test_where_nothing_is_gained_it_is_the_next_plans_turn(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The best first; the best of all that came of them goes on in the end."""
    vain = InVain(monkeypatch)
    vain.search(5).improved([vain.task.hint, vain.best])
    assert vain.turns == [vain.low, vain.low, vain.high, vain.high, vain.low]


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
    assert vain.turns == [vain.high, vain.high, *[vain.low] * 4]
    assert asked == [2]
    assert vain.task.goal.value(found.values) == vain.low


def test_a_further_start_counts_though_no_work_is_left_for_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    vain = InVain(monkeypatch)
    found = vain.search(1).improved([vain.task.hint], iter([vain.best]))
    assert vain.turns == [vain.high]
    assert vain.task.goal.value(found.values) == vain.low < vain.high


def test_as_much_work_is_left_for_windows_as_is_spent_on_something_else() -> None:
    searching = search(prover_of(service_task(small_workshop(IMPROVABLE))), replace(ENOUGH, work=5))
    assert searching.spend(2)
    assert not searching.spend(2)
    assert searching.spend(1.5)
    assert not searching.spend(1)


def test_windows_come_to_every_day() -> None:
    """Soon, and to none that another comes to at the same time, while there is room."""
    searching = search(prover_of(service_task(LONG)))
    drawn = [searching._window([])]
    for _ in range(8):
        drawn.append(searching._window(drawn[-1:]))
    days = Counter(day for window in drawn for day in range(window.first, window.end))
    assert all(days[day] for day in range(LONG.days))
    assert all(one.distance(other) >= 0 for one, other in pairwise(drawn))


def test_where_all_places_are_taken_windows_overlap_in_part() -> None:
    searching = search(prover_of(scarce()))
    taken = [Window(first=0, end=30), Window(first=35, end=60)]
    chosen = searching._window(taken)
    assert -20 < min(chosen.distance(window) for window in taken) < 0


@pytest.mark.parametrize(
    ("one", "other", "days"),
    [((0, 10), (15, 20), 5), ((15, 20), (0, 10), 5), ((0, 10), (10, 20), 0), ((0, 10), (8, 9), -2)],
)
def test_days_between_windows(one: tuple[int, int], other: tuple[int, int], days: int) -> None:
    first, second = (Window(first=each[0], end=each[1]) for each in (one, other))
    assert first.distance(second) == days


def test_windows_grow_where_they_are_planned_to_the_end_and_shrink_where_not() -> None:
    task = service_task(LONG)
    searching = search(prover_of(task))
    widths = []
    for ended in (True, True, False, False, False, False, False):
        searching._resize(ended)
        widths.append(searching._width)
    assert widths[0] < widths[1] > widths[2] > widths[3]
    assert widths[-1] == windows_file.FEWEST_DAYS
    for _ in range(20):
        searching._resize(True)
    assert searching._width == 90
