"""The list scheduler as a whole; every plan is judged by the replay."""

import ast
from dataclasses import replace
from pathlib import Path

import pytest

import planner.draft
from planner.draft.draft import ListScheduler, draft
from planner.plan import Batch, Plan, Promise, Purchase, PurchaseLine, Status
from planner.replay import earliest_promises, replay
from planner.workshop import DemandKind, Underway, Workshop
from tests.draft.twists import BOTTLENECKS, twisted
from tests.workshop_parts import demand_row
from tests.workshops import Bottleneck, random_workshop, tiny

BAR = tiny().products["bar"]


def certified(workshop: Workshop, rebuilds: int = 4) -> Plan:
    plan = draft(workshop, rebuilds)
    assert replay(workshop, plan).broken == ()
    return plan


def test_the_tiny_plan_by_hand() -> None:
    plan = certified(tiny())
    # one bar a day from Monday 14 on: packed by 13, so cured by Friday 11 and unmoulded by Friday
    # 4; the next by day 24: packed on Wednesday 23, unmoulded by 18. Base for it, usable on
    # Thursday 17, is ordered on 15; the first batch takes what is in stock.
    assert plan.batches == (
        Batch(pour=3, product="bar", bars=10, unmould=4, pack=9),
        Batch(pour=17, product="bar", bars=10, unmould=18, pack=23),
    )
    assert plan.purchases == (
        Purchase(order=15, supplier="shop", lines=(PurchaseLine(offer="shop/base/1 kg", packs=1),)),
    )
    assert plan.promises == ()
    assert plan.status is Status.FEASIBLE
    assert replay(tiny(), plan).money.service == 0


def test_orders_and_launches_are_promised_on_the_day_they_can_be_kept() -> None:
    order = demand_row(BAR, DemandKind.ORDER, 10, 3)
    launch = demand_row(BAR, DemandKind.LAUNCH, 10, 20, launch="new")
    plan = certified(tiny(demand=(order, launch)))
    # the order's batch is poured on the first working day that has it packed soonest: Monday 7
    assert plan.promises == (Promise(demand="new", day=20), Promise(demand=order.id, day=8))


def test_a_launch_that_cannot_be_met_slips_whole() -> None:
    other = replace(BAR, id="other", cure_days=12)
    rows = [demand_row(product, DemandKind.LAUNCH, 10, 8, launch="new") for product in (BAR, other)]
    workshop = tiny(products={"bar": BAR, "other": other}, demand=tuple(rows))
    plan = certified(workshop)
    # base for one batch is in stock, more is usable from day 2; the other needs 12 days of cure:
    # poured on Tuesday 1, unmoulded on 2, packed on Monday 14, on sale on 15
    assert plan.promises == (Promise(demand="new", day=15),)


def test_nothing_asked_for_nothing_done() -> None:
    assert certified(tiny(demand=())) == Plan()


def test_products_that_fit_no_vessel_are_left_alone() -> None:
    pot = tiny().vessels["pot"]
    assert certified(tiny(vessels={"pot": replace(pot, capacity_mg=999_999)})) == Plan()


@pytest.mark.slow
@pytest.mark.parametrize("bottleneck", BOTTLENECKS)
@pytest.mark.parametrize("seed", range(4))
def test_random_workshops_keep_every_rule(bottleneck: Bottleneck, seed: int) -> None:
    workshop = random_workshop(seed=seed, products=3 + seed % 3, days=75, bottleneck=bottleneck)
    plan = certified(workshop)
    assert plan.batches
    assert plan.promises == earliest_promises(workshop, plan)


@pytest.mark.slow
@pytest.mark.parametrize("block", range(10))
def test_twisted_workshops_keep_every_rule(block: int) -> None:
    poured = 0
    for seed in range(6 * block, 6 * block + 6):
        workshop = twisted(seed)
        plan = certified(workshop, rebuilds=2)
        poured += len(plan.batches)
        assert plan.promises == earliest_promises(workshop, plan)
    assert poured


def test_ample_workshops_lose_next_to_nothing() -> None:
    for seed in range(3):
        workshop = random_workshop(seed=seed)
        assert replay(workshop, draft(workshop)).money.service == 0


def test_the_same_workshop_gives_the_same_plan() -> None:
    workshop = random_workshop(seed=2, products=4, days=75, bottleneck="moulds")
    assert draft(workshop) == draft(workshop)


# Step by step


def scarce() -> Workshop:
    return random_workshop(seed=2, products=4, days=75, bottleneck="hands")


def test_the_draft_is_the_plan_of_a_scheduler_after_so_many_tries() -> None:
    scheduler = ListScheduler(scarce())
    none = scheduler.plan()
    assert none == draft(scarce(), 0)
    scheduler.improve(6)
    assert scheduler.plan() == draft(scarce(), 6) != none


def test_to_improve_never_loses_more_and_the_plan_loses_what_was_said() -> None:
    scheduler = ListScheduler(scarce())
    losses = [scheduler.loss]
    for seed in range(3):
        scheduler.improve(10, seed)
        losses.append(scheduler.loss)
    assert losses == sorted(losses, reverse=True)
    assert losses[-1] < losses[0]
    account = replay(scarce(), scheduler.plan())
    assert account.certified
    assert account.money.service == scheduler.loss


def test_the_seed_decides_between_schedules() -> None:
    def improved(seed: int) -> Plan:
        scheduler = ListScheduler(scarce())
        scheduler.improve(30, seed)
        return scheduler.plan()

    assert improved(1) == improved(1) != improved(2)


def test_to_make_a_plan_leaves_the_scheduler_as_it_was() -> None:
    plain, asked = ListScheduler(scarce()), ListScheduler(scarce())
    assert asked.plan() == asked.plan()
    for scheduler in (plain, asked):
        scheduler.improve(10)
    assert plain.plan() == asked.plan()


def test_improving_can_be_ended() -> None:
    scheduler = ListScheduler(scarce())
    best = scheduler.best
    scheduler.improve(10**9, clock=lambda loss: float(loss == scheduler.loss))
    assert scheduler.best is best


def test_a_schedule_taken_up_is_gone_on_from() -> None:
    good, other = ListScheduler(scarce()), ListScheduler(scarce())
    good.improve(40)
    other.take_up(good.plan().batches)
    assert other.loss <= good.loss
    other.improve(10)
    assert other.loss <= good.loss
    assert replay(scarce(), other.plan()).certified


def test_a_schedule_taken_up_may_lose_more_than_the_best() -> None:
    # base for ten of the 16 bars; packed on 23, only the last six days are served
    workshop = tiny(offers={})
    scheduler = ListScheduler(workshop)
    bar_lost = 1_000_000
    assert scheduler.loss == 6 * bar_lost
    scheduler.take_up([Batch(pour=17, product="bar", bars=10, unmould=18, pack=23)])
    assert scheduler.loss == 10 * bar_lost
    assert replay(workshop, scheduler.plan()).money.service == 10 * bar_lost
    scheduler.improve(10)
    assert scheduler.loss == 6 * bar_lost


def test_the_pack_days_of_batches_under_way_can_be_given() -> None:
    old = Underway(lot="old", product="bar", bars=10, pour=-3, unmould=-2, in_mould=False)
    workshop = tiny(underway=(old,))
    for packed, day in (({"old": 7}, 7), ({"old": None}, None), (None, 3)):
        plan = ListScheduler(workshop, packed).plan()
        assert [one.pack for one in plan.batches if one.in_progress] == [day]


def test_the_plan_has_no_batch_without_which_nothing_more_is_lost() -> None:
    # neither of two batches could serve the 25 bars of the order
    order = demand_row(BAR, DemandKind.ORDER, 25, 28)
    scheduler = ListScheduler(tiny(demand=(order,), offers={}))
    assert scheduler.best.schedule.placed
    assert scheduler.plan() == Plan()
    assert scheduler.best.schedule.placed


@pytest.mark.slow
def test_a_workshop_of_sixty_products_for_a_year() -> None:
    workshop = random_workshop(seed=1, products=60, days=365, bottleneck="trays", materials=200)
    assert len(certified(workshop).batches) > 1000


def test_the_draft_knows_neither_solver_nor_replay() -> None:
    for file in sorted(Path(planner.draft.__path__[0]).glob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            names = [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            names += [name.name for name in node.names] if isinstance(node, ast.Import) else []
            assert not [
                name for name in names if name.startswith(("planner.solver", "planner.replay"))
            ]
