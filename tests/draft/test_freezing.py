"""The frozen days of a plan stand: nothing of them is moved, and nothing is added to them."""

from dataclasses import replace

import pytest

from planner.draft import ListScheduler, draft, resumed
from planner.draft.freezing import frozen_start
from planner.draft.schedule import start_of
from planner.frozen import frozen_changes
from planner.plan import Batch, Plan
from planner.replay import earliest_promises, replay
from planner.workshop import Workshop
from tests.demo import demo_workshop
from tests.replay.plans import batch, buying, plan
from tests.workshops import Bottleneck, random_workshop, tiny


def frozen(workshop: Workshop, days: int) -> Workshop:
    return replace(workshop, costs=replace(workshop.costs, frozen_days=days))


def settled(workshop: Workshop, made: Plan) -> Plan:
    return replace(made, promises=earliest_promises(workshop, made))


def searched(workshop: Workshop, kept: Plan, rebuilds: int) -> Plan:
    scheduler = resumed(workshop, kept, kept.batches)
    scheduler.improve(rebuilds)
    return settled(workshop, scheduler.plan())


def test_what_is_poured_and_ordered_before_a_day_stands() -> None:
    """One batch is poured before day 9, from a kilo ordered on day 4; a second one waits."""
    kept = replace(plan(batch(pour=8), batch(pour=14)), purchases=buying(order=4).purchases)
    start = frozen_start(start_of(tiny()), kept, 9)
    assert [one.pour for one in start.standing] == [8]
    assert [order.order for order in start.orders] == [4]
    assert start.askings["bar"].opening[-1].amount == 10
    assert not start.bench.lots
    works = start.bench.workdays.works
    assert works & ((1 << 9) - 1) == 0
    assert works == start_of(tiny()).bench.workdays.works >> 9 << 9


def test_the_start_that_is_frozen_leaves_the_one_given_as_it_was() -> None:
    start = start_of(tiny())
    free = {resource: list(amounts.amounts) for resource, amounts in start.bench.free.items()}
    frozen_start(start, plan(batch(pour=8)), 9)
    assert {key: amounts.amounts for key, amounts in start.bench.free.items()} == free
    assert start.standing == ()
    assert start.askings["bar"].opening == start_of(tiny()).askings["bar"].opening


def test_without_frozen_days_nothing_of_a_plan_stands() -> None:
    scheduler = ListScheduler(tiny(), frozen=plan(batch(pour=8)))
    assert scheduler.start.standing == ()
    assert scheduler.first == 0


@pytest.mark.slow
@pytest.mark.parametrize("bottleneck", ["trays", "hands", "drum"])
@pytest.mark.parametrize("days", [1, 20, 45])
def test_a_search_from_a_frozen_plan_changes_nothing_in_its_frozen_days(
    bottleneck: Bottleneck, days: int
) -> None:
    """It loses no more, and the plan keeps every rule."""
    workshop = random_workshop(seed=4, products=4, days=75, bottleneck=bottleneck)
    kept = settled(workshop, draft(workshop, rebuilds=0))
    twin = frozen(workshop, days)
    found = searched(twin, kept, 60)
    account = replay(twin, found)
    assert account.certified, account.broken
    assert frozen_changes(twin, kept, found) == 0
    assert account.money.service <= replay(workshop, kept).money.service


def test_after_the_frozen_days_the_search_goes_on() -> None:
    workshop = random_workshop(seed=4, products=4, days=75, bottleneck="trays")
    kept = settled(workshop, draft(workshop, rebuilds=0))
    twin = frozen(workshop, 10)
    found = searched(twin, kept, 100)
    assert replay(twin, found).money.service < replay(workshop, kept).money.service
    freely = searched(workshop, kept, 100)
    assert frozen_changes(twin, kept, freely) > 0 == frozen_changes(twin, kept, found)


def test_lots_of_the_frozen_days_stand_with_their_batches() -> None:
    """Of the demo's infusion some are made in them, for batches in them and after them."""
    workshop = frozen(demo_workshop(drum_on_time=True, trays=18), 40)
    kept = settled(workshop, draft(workshop))
    early = [lot for lot in kept.preparations if lot.make < 40]
    assert early
    found = searched(workshop, kept, 60)
    assert [lot for lot in found.preparations if lot.make < 40] == early
    assert frozen_changes(workshop, kept, found) == 0
    assert replay(workshop, found).certified


def under_way(workshop: Workshop) -> tuple[Batch, ...]:
    """What the list scheduler does with the batches under way."""
    return tuple(one for one in draft(workshop).batches if one.in_progress)


@pytest.mark.slow
def test_a_lot_that_stands_is_not_left_out_though_nothing_needs_it() -> None:
    workshop = frozen(demo_workshop(drum_on_time=True, trays=18), 40)
    lot = replace(draft(workshop).preparations[0], make=1)
    idle = settled(workshop, Plan(batches=under_way(workshop), preparations=(lot,)))
    assert replay(workshop, idle).certified
    found = searched(workshop, idle, 5)
    assert lot in found.preparations
    assert min(one.pour for one in found.batches if not one.in_progress) >= 40
    assert replay(workshop, found).certified


def test_a_batch_under_way_is_packed_when_the_frozen_plan_packs_it() -> None:
    workshop = frozen(demo_workshop(drum_on_time=True, trays=18), 10)
    first, *others = under_way(workshop)
    assert first.pack is not None
    later = replace(first, pack=workshop.first_working_day(first.pack + 1))
    waiting = settled(workshop, Plan(batches=(later, *others)))
    assert replay(workshop, waiting).certified
    assert later in resumed(workshop, waiting, waiting.batches).plan().batches
