"""Bounds that hold, stages that do not undo each other, and plans that come out again."""

import os
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, assume, given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from planner.draft.draft import draft
from planner.plan import Plan, Status
from planner.replay import replay
from planner.solver import neighbourhood
from planner.solver import stages as stages_file
from planner.solver.linear import LinearModel
from planner.solver.saving import MoneySearch
from planner.solver.stages import Limits, NoPlanFound, Searches, Stages
from planner.solver.task import Found
from planner.workshop import DemandKind, Lot, Tray, Underway, Workshop
from tests.solver.rows import broken_rows, settled
from tests.solver.small import plans, workshops
from tests.solver.solving import LIMITS, bar, every_day
from tests.workshop_parts import demand_row
from tests.workshops import random_workshop, tiny

SHORT = Limits(work=0.3, seconds=60, seed=1, workers=1)
LONGER = replace(SHORT, work=2.0, seed=7)


def _bound(workshop: Workshop, limits: Limits = LIMITS) -> int:
    start = settled(workshop, draft(workshop))
    return Stages(workshop).service(start, limits).stage.bound


def _loss(workshop: Workshop, plan: Plan) -> int:
    account = replay(workshop, settled(workshop, plan))
    assert account.certified, account.broken
    return account.money.service


# No certified plan is below a bound


def test_bars_past_their_date_spare_no_batch() -> None:
    """16 bars are asked for; 16 in stock that are spoiled, or come too late, serve none of them."""
    for lot in (
        Lot(item="bar", lot="old", amount=16, use_by=-1),
        Lot(item="bar", lot="late", amount=16, usable=28),
    ):
        workshop = tiny(lots=(*tiny().lots, lot))
        assert _bound(workshop) == _loss(workshop, draft(workshop)) == 0


def test_bars_that_spoil_soon_are_made_again_and_again() -> None:
    """A bar a week, batches of ten, good for four days: a batch for each of the eight bars."""
    quick = bar(set_days=0, cure_days=0, shelf_life_days=4)
    workshop = every_day(
        days=60,
        minutes=(480,) * 60,
        products={"bar": quick},
        demand=(demand_row(quick, DemandKind.RETAIL, 1, 0),),
    )
    assert _loss(workshop, draft(workshop)) == 0
    assert _bound(workshop) == 0


@pytest.mark.slow
@hypothesis_settings(
    max_examples=40,
    phases=(Phase.generate,),
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
@given(st.data())
def test_no_certified_plan_loses_less_than_the_bound(data: st.DataObject) -> None:
    workshop = data.draw(workshops())
    bound = _bound(workshop)
    assert bound <= _loss(workshop, draft(workshop))
    plan = settled(workshop, data.draw(plans(workshop)))
    assume(replay(workshop, plan).certified)
    assert bound <= _loss(workshop, plan)


@pytest.mark.slow
@pytest.mark.parametrize("bottleneck", ["trays", "moulds", "hands", "drum"])
def test_a_second_solve_does_not_contradict_the_first(bottleneck: str) -> None:
    """Neither solve's plan is below the other's bound, whatever seed and work."""
    workshop = random_workshop(5, products=3, days=50, bottleneck=bottleneck)  # type: ignore[arg-type]
    start = settled(workshop, draft(workshop))
    answers = [Stages(workshop).service(start, limits).stage for limits in (SHORT, LONGER)]
    assert max(stage.bound for stage in answers) <= min(stage.value for stage in answers)
    assert max(stage.bound for stage in answers) <= _loss(workshop, start)


# Stages


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_money_loses_no_more_and_calm_spends_no_more(seed: int) -> None:
    workshop = random_workshop(seed, products=1, days=40)
    stages = Stages(workshop)
    start = settled(workshop, draft(workshop))
    service = stages.service_with_purchases(start, SHORT)
    money = stages.money(settled(workshop, service.plan), SHORT)
    calm = stages.calm(settled(workshop, money.plan), SHORT)
    assert _loss(workshop, service.plan) <= _loss(workshop, start)
    assert _loss(workshop, money.plan) <= _loss(workshop, service.plan)
    assert _loss(workshop, calm.plan) <= _loss(workshop, service.plan)
    for answer in (service, money, calm):
        assert answer.stage.bound <= answer.stage.value
        proven = answer.stage.bound == answer.stage.value
        assert (answer.stage.status is Status.OPTIMAL) is proven


@pytest.mark.parametrize("more", [-1, 0, 1])
def test_money_counts_on_no_less_lost_than_is_proven(
    more: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the days of purchases and in all; a plan that loses just so much keeps the row."""
    models: list[LinearModel] = []

    def run(search: MoneySearch) -> Found:
        assert search.in_all is not None
        models.extend((search.task.model.model, search.in_all.task.model.model))
        hints.extend((search.task.hint, search.in_all.task.hint))
        return Found(search.task.hint, None)

    hints: list[dict[int, int]] = []
    monkeypatch.setattr(MoneySearch, "run", run)
    workshop = random_workshop(3, products=2, days=30, bottleneck="trays")
    start = settled(workshop, draft(workshop))
    loss = _loss(workshop, start)
    assert loss > 0
    Stages(workshop).money(start, SHORT, buy=lambda _: [], least=loss + more)
    for model, hint in zip(models, hints, strict=True):
        assert bool(broken_rows(model, hint)) is (more > 0)
    assert len(models) == 2


def test_no_plan_is_told_apart_from_none_found() -> None:
    """Two batches under way need two trays and there is one: proven, no plan exists."""
    old = [
        Underway(lot=lot, product="bar", bars=10, pour=-3, unmould=-2, in_mould=False)
        for lot in ("a", "b")
    ]
    workshop = every_day(
        trays={"tray": Tray(id="tray", count=1)},
        underway=tuple(old),
        demand=(demand_row(bar(), DemandKind.ORDER, 10, 0),),
    )
    with pytest.raises(NoPlanFound, match="no plan exists") as caught:
        Stages(workshop).service(Plan(), LIMITS)
    assert caught.value.proven


def test_several_workers_prove_the_same() -> None:
    workshop = every_day(demand=(demand_row(bar(), DemandKind.ORDER, 10, 0),))
    start = settled(workshop, draft(workshop))
    one = Stages(workshop).service(start, LIMITS).stage
    two = Stages(workshop).service(start, replace(LIMITS, workers=2)).stage
    assert (one.value, one.bound) == (two.value, two.bound)


# Repeating


@pytest.mark.slow
def test_the_same_seed_and_work_give_the_same_plan() -> None:
    workshop = random_workshop(6, products=2, days=50, bottleneck="moulds")
    start = settled(workshop, draft(workshop))
    limits = replace(SHORT, work=0.1)
    first, second = (Stages(workshop).service(start, limits) for _ in range(2))
    assert first.plan == second.plan
    assert replace(first.stage, seconds=0) == replace(second.stage, seconds=0)


SCRIPT = """
import sys
from dataclasses import replace
from planner.planning import make_plan
from planner.settings import Settings
from planner.solver import cheapest, neighbourhood, partition, serving, stages, windows
from tests.workshops import random_workshop
steps = []
for owner, name in ((serving.Prover, "relaxation_bound"), (partition.PartSearch, "closed"),
                    (neighbourhood.NeighbourhoodSearch, "improve"),
                    (windows.WindowSearch, "improved"), (cheapest.CheapestInAll, "proven"),
                    (serving.ServiceSearch, "_sought"), (serving.ServiceSearch, "_sought_beside"),
                    (stages, "calmed")):
    def noted(*arguments, own=getattr(owner, name), name=name):
        steps.append(name)
        return own(*arguments)
    setattr(owner, name, noted)
serving.SMALL, serving.BRANCHED = int(sys.argv[1]), int(sys.argv[2])
workshop = random_workshop(2, products=2, days=45, bottleneck="moulds")
plan, account = make_plan(workshop, Settings(work=1, seconds=240))
print(*sorted(steps))
print([replace(stage, seconds=0) for stage in plan.stages])
print(replace(plan, stages=()))
print(account.money)
steps.clear()
stages.AT_ONCE = 0
lots = tuple(replace(lot, amount=lot.amount * 9 // 10) for lot in workshop.lots)
again, account = make_plan(replace(workshop, lots=lots), Settings(work=4, seconds=240), plan)
print(*sorted(steps))
print([replace(stage, seconds=0) for stage in again.stages])
print(replace(again, stages=()))
"""

WAYS = {
    "part by part": ("8000", "10000", ["_sought", "closed"]),
    "window by window": ("8000", "-1", ["_sought", "improved"]),
    "not small": ("0", "10000", ["improved"]),
}
"""How small a model is, how small its program is to be closed, and the steps that others lack."""

ALWAYS = ["_sought", "_sought_beside", "improve", "improved", "proven", "relaxation_bound"]
"""The steps that all have; money is improved window by window and part by part, and proven."""


@pytest.mark.slow
@pytest.mark.parametrize("way", WAYS)
def test_the_order_of_hashes_changes_no_plan(way: str) -> None:
    """Two processes with their own hash seeds print the same steps, plan, stages and money.

    And the same again near that plan, when a tenth of the stock has gone.
    """
    small, branched, own = WAYS[way]
    root = Path(__file__).parents[2]

    def printed(hash_seed: str) -> str:
        environment = {**os.environ, "PYTHONHASHSEED": hash_seed, "PYTHONPATH": str(root)}
        done = subprocess.run(
            [sys.executable, "-c", SCRIPT, small, branched],
            env=environment,
            cwd=root,
            capture_output=True,
            text=True,
            check=True,
        )
        return done.stdout

    first = printed("1")
    assert first.splitlines()[0].split() == sorted([*ALWAYS, *own])
    assert "calmed" in first.splitlines()[4].split()
    assert first.count("Plan(batches=(Batch(") == 2
    assert first == printed("2")


def test_without_any_proof_the_money_bound_is_what_the_domains_allow(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Nothing would be too much to claim: what is left may be worth more than what was bought."""
    monkeypatch.setattr(MoneySearch, "run", lambda self: Found(self.task.hint, None))
    workshop = random_workshop(3, products=2, days=30)
    stage = Stages(workshop).money(settled(workshop, draft(workshop)), SHORT).stage
    assert stage.bound < 0 < stage.value
    assert stage.status is Status.FEASIBLE


# In all


@pytest.mark.parametrize(
    ("frozen", "largest", "asks"), [(0, 10**9, True), (5, 10**9, False), (0, 0, False)]
)
def test_what_is_bought_in_all_is_asked_first_but_for_large_models_and_frozen_days(
    frozen: int, largest: int, asks: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[bool] = []

    def run(search: MoneySearch) -> Found:
        asked.append(search.in_all is not None)
        return Found(search.task.hint, None)

    monkeypatch.setattr(MoneySearch, "run", run)
    monkeypatch.setattr(stages_file, "LARGEST_IN_PARTS", largest)
    workshop = random_workshop(3, products=2, days=30)
    workshop = workshop.changed(costs=replace(workshop.costs, frozen_days=frozen))
    kept = settled(workshop, draft(workshop))
    Stages(workshop, stored=kept).money(kept, SHORT, buy=lambda _: [])
    assert asked == [asks]


def test_the_covers_that_proved_the_loss_are_told_to_the_money_stage(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """None before a service stage; those of its relaxation after it."""
    told: list[Sequence[int] | None] = []

    def run(search: MoneySearch) -> Found:
        assert search.in_all is not None
        told.append(search.in_all.covers)
        return Found(search.task.hint, None)

    monkeypatch.setattr(MoneySearch, "run", run)
    workshop = random_workshop(3, products=2, days=30)
    first = settled(workshop, draft(workshop))
    searches = Searches(first=lambda *_: first)
    stages = Stages(workshop)
    stages.money(first, SHORT, buy=lambda _: [])
    stages.service(first, SHORT, searches)
    stages.money(first, SHORT, buy=lambda _: [])
    none, covers = told
    assert none is None
    assert covers
    assert list(covers) == sorted(set(covers))


# Part by part


@pytest.mark.slow
@pytest.mark.parametrize("most", [0, 10**9])
def test_a_calm_goal_too_large_to_search_at_once_is_improved_in_parts_if_they_are_not_too_large(
    most: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(stages_file, "AT_ONCE", 0)
    monkeypatch.setattr(neighbourhood, "LARGEST_IN_PARTS", most)
    monkeypatch.setattr(stages_file, "minimise", lambda *_: 1 / 0)
    workshop = random_workshop(3, products=3, days=60)
    start = settled(workshop, draft(workshop))
    answer = Stages(workshop).calm(start, SHORT)
    unmoved = Stages(workshop).calm(start, replace(SHORT, work=0))
    assert answer.stage.bound == 0
    if most:
        assert answer.stage.value < unmoved.stage.value
        assert replay(workshop, settled(workshop, answer.plan)).certified
    else:
        assert answer.stage.value == unmoved.stage.value
