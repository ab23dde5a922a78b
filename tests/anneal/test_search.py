"""Annealing as a whole: what it tells is judged by the replay."""

from collections.abc import Callable
from dataclasses import replace
from importlib import import_module
from time import time

import numpy as np
import pytest

from planner.anneal import annealed
from planner.anneal.annealing import BATCHES, LEAST, LOST, REACHED
from planner.anneal.search import COOL, HOTTEST, PARTS, Annealing
from planner.draft import REBUILDS, ListScheduler, draft
from planner.plan import Plan
from planner.replay import replay
from planner.staying import staying
from planner.workshop import Workshop
from tests.anneal.pieces import BOTTLENECKS, scarce
from tests.draft.twists import twisted
from tests.workshops import Bottleneck, random_workshop, tiny

search_file = import_module("planner.anneal.search")

NO_CLOCK: Callable[[], float] = lambda: 0.0  # noqa: E731


def told(
    workshop: Workshop, rebuilds: int, seed: int = 1, seconds: float = 60
) -> list[tuple[int, Plan | None]]:
    """What a search tells; each plan keeps every rule, and loses what it is said to, never more
    than before: unless budgets cannot pay for all of it."""
    pairs: list[tuple[int, Plan | None]] = []
    annealed(pairs.append, workshop, rebuilds, seed, time() + seconds)
    losses = [loss for loss, plan in pairs if plan is not None]
    assert losses == sorted(losses, reverse=True)
    for loss, plan in pairs:
        if plan is not None:
            account = replay(workshop, plan)
            assert account.broken == ()
            assert account.money.service == loss or workshop.budgets
    return pairs


def last(pairs: list[tuple[int, Plan | None]]) -> Plan:
    plan = pairs[-1][1]
    assert plan is not None
    return plan


@pytest.mark.slow
@pytest.mark.parametrize("bottleneck", BOTTLENECKS)
def test_a_search_never_loses_more_than_the_first_plan(bottleneck: Bottleneck) -> None:
    """And keeps every rule. With these moulds and that drum the first plan is the best already."""
    workshop = scarce(2, bottleneck)
    first = replay(workshop, draft(workshop)).money.service
    found = told(workshop, 2_000)[-1][0]
    assert found < first if bottleneck in ("trays", "hands") else found == first


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(24))
def test_twisted_workshops_keep_every_rule(seed: int) -> None:
    """Expiring goods, orders and launches, preparations of preparations, budgets, batches under
    way and closed days."""
    last(told(twisted(seed), 200))


@pytest.mark.slow
def test_what_a_search_tells_follows_from_its_seed() -> None:
    workshop = scarce(2, "trays")
    assert last(told(workshop, 400, seed=1)) == last(told(workshop, 400, seed=1))
    assert last(told(workshop, 400, seed=1)) != last(told(workshop, 400, seed=2))


@pytest.mark.slow
def test_a_search_tells_what_it_has_come_to_on_its_way(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever ends it early has that."""
    monkeypatch.setattr(search_file, "EVERY", 0.0)
    monkeypatch.setattr(search_file, "SIGN", 0.0)
    workshop = scarce(2, "trays")
    pairs = told(workshop, 2_000)
    plans = [plan for _, plan in pairs if plan is not None]
    assert len(pairs) > PARTS
    assert len(plans) > 3
    drafted = replay(workshop, draft(workshop)).money.service
    assert replay(workshop, plans[0]).money.service < drafted


def test_a_search_ends_with_its_seconds() -> None:
    """At once, though it has rebuilds for an hour."""
    workshop = scarce(2, "trays")
    assert last(told(workshop, 10**9, seconds=1e-9)) == draft(workshop)


@pytest.mark.parametrize(
    "workshop",
    [random_workshop(seed=3, products=4, days=90), tiny(minutes=(0,) * 30)],
    ids=["nothing lost", "nothing made"],
)
def test_where_there_is_nothing_to_search_the_first_plan_is_told(workshop: Workshop) -> None:
    assert told(workshop, 10**6) == [
        (replay(workshop, draft(workshop)).money.service, draft(workshop))
    ]


def test_near_a_kept_plan_more_of_its_batches_stay() -> None:
    workshop = scarce(2, "trays")
    kept = draft(workshop)
    stay = []
    for taken_up in ((kept, kept.batches), None):
        pairs: list[tuple[int, Plan | None]] = []
        annealed(pairs.append, workshop, 2_000, 1, time() + 60, taken_up)
        stay.append(staying(kept, last(pairs)).stay)
        assert pairs[-1][0] <= replay(workshop, kept).money.service
    assert stay[0] > stay[1]


def test_frozen_days_stay_as_they_are() -> None:
    workshop = scarce(2, "trays")
    workshop = replace(workshop, costs=replace(workshop.costs, frozen_days=14))
    kept = draft(workshop)
    pairs: list[tuple[int, Plan | None]] = []
    annealed(pairs.append, workshop, 1_000, 1, time() + 60, (kept, kept.batches))
    found = last(pairs)
    for plan in (kept, found):
        assert any(batch.pour < 14 for batch in plan.batches)
    early = [[batch for batch in plan.batches if batch.pour < 14] for plan in (kept, found)]
    assert early[0] == early[1]


def searching(workshop: Workshop, seed: int = 1) -> tuple[ListScheduler, Annealing]:
    scheduler = ListScheduler(workshop)
    scheduler.improve(REBUILDS)
    return scheduler, Annealing(scheduler, made=False, draw=np.random.default_rng(seed))


def test_what_it_finds_loses_what_it_says() -> None:
    scheduler, search = searching(scarce(3, "trays"))
    first = search.loss
    assert first == scheduler.loss
    search.run(1_000, HOTTEST, NO_CLOCK, lambda: None)
    assert search.loss < first
    size = int(search._reached[BATCHES])
    assert (
        len(search.found) == size == len({tuple(row) for row in search._best[:size]} | {0}) - 1
        or size
    )
    assert search._reached[LEAST] == search._reached[LOST] <= search._reached[REACHED]


def test_the_best_is_followed_only_if_it_is_better() -> None:
    scheduler, search = searching(scarce(3, "trays"))
    before = scheduler.best
    search._reached[BATCHES] = 0
    scheduler.take(search.followed())
    assert scheduler.best is before
    _, search = searching(scarce(3, "trays"))
    search.run(1_000, HOTTEST, NO_CLOCK, lambda: None)
    scheduler.take(search.followed())
    assert scheduler.loss < before.sold.loss


def test_no_heat_takes_no_loss_and_much_heat_takes_any() -> None:
    reached = []
    for heat in (0.0, 1e9):
        _, search = searching(scarce(3, "trays"))
        first = search.loss
        search.rebuild(200, heat)
        reached.append(int(search._reached[REACHED]) - first)
        assert search._reached[LEAST] <= min(first, search._reached[REACHED])
    assert reached[0] < 0 < reached[1]


def heats(
    monkeypatch: pytest.MonkeyPatch, rebuilds: int, hottest: float, clock: Callable[[], float]
) -> list[tuple[int, float]]:
    """Rebuilds and heat of each part of a search."""
    parts: list[tuple[int, float]] = []
    monkeypatch.setattr(search_file, "anneal", lambda *given: parts.append(given[7:9]))
    _, search = searching(scarce(3, "trays"))
    search.run(rebuilds, hottest, clock, lambda: None)
    return parts


def test_it_cools_down_with_the_rebuilds(monkeypatch: pytest.MonkeyPatch) -> None:
    """From the hottest where there are many for each batch, else cooler."""
    many = heats(monkeypatch, 10**6, HOTTEST, NO_CLOCK)
    assert sum(rebuilds for rebuilds, _ in many) == 10**6
    assert len(many) == PARTS
    assert many[0][1] == HOTTEST
    assert [heat for _, heat in many] == sorted((heat for _, heat in many), reverse=True)
    assert many[-1][1] == pytest.approx(search_file.COLDEST, rel=0.05)
    assert heats(monkeypatch, 100, HOTTEST, NO_CLOCK)[0][1] == COOL
    assert heats(monkeypatch, 10**6, COOL, NO_CLOCK)[0][1] == COOL


def test_with_the_clock_it_cools_down_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where that is ahead, as where only the clock ends it; hardly ahead it changes nothing."""
    hours = iter(np.linspace(0.0, 1.0, 11))
    parts = heats(monkeypatch, 10**9, HOTTEST, lambda: float(next(hours)))
    assert len(parts) == 10
    assert parts[5][1] < parts[0][1] / 10
    told = iter(np.minimum(0.999, np.arange(PARTS) / PARTS + 0.01))
    slow = heats(monkeypatch, 10**6, HOTTEST, lambda: float(next(told)))
    assert slow == heats(monkeypatch, 10**6, HOTTEST, NO_CLOCK)


def test_what_it_takes_to_compile_sets_no_pace(monkeypatch: pytest.MonkeyPatch) -> None:
    """The first run on a machine comes to the same plan as those after it."""
    workshop = scarce(2, "trays")
    usual = last(told(workshop, 400, seconds=60))
    now = [0.0]
    whole = Annealing.rebuild

    def compiling(search: Annealing, rebuilds: int, heat: float) -> None:
        now[0] = 40.0
        whole(search, rebuilds, heat)

    monkeypatch.setattr(Annealing, "rebuild", compiling)
    monkeypatch.setattr(search_file, "monotonic", lambda: now[0])
    assert last(told(workshop, 400, seconds=60)) == usual


@pytest.mark.slow
@pytest.mark.parametrize(
    ("plenty_of_work", "plenty_of_time", "runs"), [(3, 2, 2), (2, 3, 2), (3, 0, 1), (0, 3, 1)]
)
def test_a_search_begins_again_as_often_as_there_is_work_and_time_for(
    plenty_of_work: int, plenty_of_time: int, runs: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of plenty for one run; of what there is less of. Where preparations are made, plenty lets it
    settle the lots soon, and begin the second round of a run as hot as the first."""
    workshop = scarce(2, "hands")
    scheduler, _ = searching(workshop)
    assert scheduler.prepares
    plenty = search_file.ENOUGH * len(scheduler.best.schedule.placed)
    begun: list[tuple[int, float, bool]] = []

    def run(search: Annealing, rebuilds: int, hottest: float, *_: object) -> None:
        begun.append((rebuilds, hottest, search._made))

    monkeypatch.setattr(Annealing, "rebuilds_within", lambda *_: plenty * plenty_of_time + 0.5)
    monkeypatch.setattr(Annealing, "run", run)
    rebuilds = plenty * plenty_of_work + 100
    told(workshop, rebuilds)
    assert sum(each for each, _, _ in begun) == pytest.approx(rebuilds, abs=runs)
    share, hottest = (0.3, HOTTEST) if min(plenty_of_work, plenty_of_time) else (0.7, COOL)
    each = rebuilds // runs
    rounds = [(round(share * each), HOTTEST, False), (round((1 - share) * each), hottest, True)]
    assert begun == rounds * runs


def test_a_trial_tells_how_many_rebuilds_there_is_time_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each takes a tenth of a second of the processor's time here."""
    _, search = searching(scarce(3, "trays"))
    moments = iter([7.0, 7.0 + search_file.TRIAL * 0.1])
    monkeypatch.setattr(search_file, "process_time", lambda: next(moments))
    assert search.rebuilds_within(60.0) == pytest.approx(600)


def test_more_batches_than_changes_can_be_noted_are_taken_over(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(import_module("planner.anneal.state"), "CHANGES", 5)
    scheduler, search = searching(scarce(3, "trays"))
    assert len(scheduler.best.schedule.placed) > 5
    assert search.loss == scheduler.loss
    assert len(search._state.changes) == 5
