"""The door to planning: stages in order, each kept only if it is no worse, and how to stop."""

from dataclasses import replace
from fractions import Fraction
from threading import Event
from time import monotonic

import pytest

from planner import planning as planning_file
from planner.candidate import reached
from planner.draft import draft
from planner.draft.keeping import kept_of
from planner.errors import PlanBroken
from planner.frozen import frozen_changes
from planner.plan import Plan, Stage, Status
from planner.planning import SECOND_SEED, Planning, make_plan
from planner.replay import earliest_promises, replay
from planner.settings import ProgressNote, Settings
from planner.solver import apart as apart_file
from planner.solver.stages import Answer, NoPlanFound, Stages
from planner.solver.task import Limits
from planner.staying import staying
from planner.workshop import (
    Budget,
    Delivery,
    DemandKind,
    Lot,
    Material,
    Packaging,
    Tray,
    Underway,
    Unit,
    Workshop,
)
from tests.replay.plans import batch, buying, plan
from tests.solver.solving import BAR, LATE_DAY, bar, every_day
from tests.workshop_parts import demand_row
from tests.workshops import random_workshop, tiny

BRIEF = Settings(work=0.3, seconds=60)
ORDER = demand_row(bar(), DemandKind.ORDER, 10, 0)


def goals(made: Plan) -> list[str]:
    return [stage.goal for stage in made.stages]


@pytest.mark.slow
def test_the_stages_come_in_their_order() -> None:
    """Poured on 0, gone on 7, seven days late; every stage is proven, so the plan is."""
    made, account = make_plan(every_day(demand=(ORDER,)), BRIEF)
    assert goals(made) == ["service", "money", "calm"]
    assert made.status is Status.OPTIMAL
    assert account.certified
    assert account.money.service == made.stages[0].value == made.stages[0].bound == 7 * LATE_DAY


def test_to_lose_nothing_needs_no_proof() -> None:
    made, account = make_plan(tiny(), BRIEF)
    assert account.money.service == 0
    assert made.stages[0].status is Status.OPTIMAL
    assert (made.stages[0].value, made.stages[0].bound) == (0, 0)


@pytest.mark.slow
def test_stage_values_are_those_of_the_replay() -> None:
    workshop = random_workshop(2, products=2, days=50, bottleneck="trays")
    made, account = make_plan(workshop, BRIEF)
    assert account == replay(workshop, made)
    values = {stage.goal: stage.value for stage in made.stages}
    assert values["service"] == account.money.service
    assert values["money"] == account.money.money
    assert all(stage.bound <= stage.value for stage in made.stages)
    assert all(
        (stage.status is Status.OPTIMAL) is (stage.bound == stage.value) for stage in made.stages
    )


@pytest.mark.slow
def test_promises_are_the_earliest_that_can_be_kept() -> None:
    workshop = random_workshop(3, products=2, days=50)
    made, _ = make_plan(workshop, BRIEF)
    assert earliest_promises(workshop, made) == made.promises


def test_a_workshop_without_demand_gets_an_empty_plan() -> None:
    made, account = make_plan(every_day(), BRIEF)
    assert (made.batches, made.purchases, made.promises) == ((), (), ())
    assert account.certified


def test_a_workshop_that_nobody_works_in_loses_everything() -> None:
    workshop = every_day(minutes=(0,) * 20, demand=(demand_row(bar(), DemandKind.RETAIL, 7, 0),))
    made, account = make_plan(workshop, BRIEF)
    assert made.batches == ()
    assert account.money.service == 20 * BAR
    assert made.stages[0].status is Status.OPTIMAL


def test_a_stage_says_what_the_final_plan_comes_to() -> None:
    """Whether later stages lost less, as much, or (calm) cost more than it found itself."""
    account = replay(tiny(), Plan())  # loses 16 bars
    found = Stage(goal="service", value=20 * BAR, bound=9 * BAR, seconds=1, status=Status.FEASIBLE)
    came_to = reached(found, account)
    assert (came_to.value, came_to.bound, came_to.status) == (16 * BAR, 9 * BAR, Status.FEASIBLE)
    proven = reached(replace(found, bound=16 * BAR), account)
    assert (proven.value, proven.bound, proven.status) == (16 * BAR, 16 * BAR, Status.OPTIMAL)
    optimal = replace(found, goal="money", value=5, bound=5, status=Status.OPTIMAL)
    dearer = reached(optimal, account)
    assert (dearer.value, dearer.bound) == (account.money.money, 5)
    assert dearer.status is Status.FEASIBLE
    calm = replace(found, goal="calm")
    assert reached(calm, account) == calm


# The stored plan


def stored_on(day: int) -> Plan:
    return plan(batch(day, day + 1, day + 6))


EARLY = tuple(Delivery(order=day, arrive=day + 1, usable=day + 2) for day in range(18))
"""Deliveries a day after each of the first days, usable on the day after."""


def with_frozen(days: int, **changes: object) -> Workshop:
    due = replace(ORDER, day=15)
    fields: dict[str, object] = {"demand": (due,), **changes}
    workshop = every_day(**fields)
    return replace(workshop, costs=replace(workshop.costs, frozen_days=days))


@pytest.mark.parametrize("day", [1, 4, 7])
def test_the_days_of_a_good_stored_plan_are_kept(day: int) -> None:
    """Base costs nothing here, so one day is as good as another."""
    made, account = make_plan(with_frozen(0), BRIEF, stored=stored_on(day))
    assert [one.pour for one in made.batches] == [day]
    assert account.money.service == 0


@pytest.mark.parametrize("day", [4, 7])
def test_a_lot_counted_lower_changes_purchases_and_no_batch(day: int) -> None:
    """A kilo is needed and 970 g are left, so that another is bought; the order is due on 15.

    Capital costs nothing, so that no other day is cheaper.
    """
    offer = replace(tiny().offers["shop/base/1 kg"], deliveries=EARLY)
    lots = (replace(tiny().lots[0], amount=970_000),)
    workshop = with_frozen(0, lots=lots, offers={offer.id: offer})
    workshop = replace(workshop, costs=replace(workshop.costs, capital=Fraction(0)))
    assert not replay(workshop, stored_on(day)).certified
    planning = Planning(workshop, BRIEF, stored_on(day), None, Event())
    assert planning._start().plan.batches == stored_on(day).batches
    assert planning.again
    made, account = make_plan(workshop, BRIEF, stored=stored_on(day))
    assert [(one.pour, one.pack) for one in made.batches] == [(day, day + 6)]
    assert len(made.purchases) == 1
    assert account.money.service == 0


@pytest.mark.parametrize("pieces", [True, False])
def test_what_is_nearest_to_a_stored_plan_is_gone_on_from(
    pieces: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Three batches are stored, on days 1, 4 and 7; day 4 is closed now, and that one moves.

    Where no pieces of it hold together, a schedule that follows its batches does as well.
    """
    if not pieces:
        monkeypatch.setattr(planning_file, "mended", lambda *_: None)
    minutes = (480,) * 4 + (0,) + (480,) * 15
    due = replace(ORDER, day=15)
    demand = (due, replace(due, id="second"), replace(due, id="third"))
    workshop = with_frozen(0, minutes=minutes, demand=demand)
    stored = plan(batch(1, 2, 7), batch(4, 5, 10), batch(7, 8, 13))
    kept = Planning(workshop, BRIEF, stored, None, Event())._kept(stored)
    assert len(kept) == 1 + pieces
    assert {1, 7} <= {one.pour for one in kept[-1].plan.batches}
    made, account = make_plan(workshop, BRIEF, stored=stored)
    pours = [one.pour for one in made.batches]
    assert len(pours) == 3
    assert {1, 7} <= set(pours)
    assert account.money.service == 0


def test_frozen_days_are_kept_though_another_day_would_be_better() -> None:
    """The order was for day 15 when the batch was planned for 5; now it is due at once."""
    workshop = with_frozen(6, demand=(ORDER,))
    made, account = make_plan(workshop, BRIEF, stored=stored_on(5))
    assert [one.pour for one in made.batches] == [5]
    assert account.money.service == 12 * LATE_DAY


@pytest.mark.slow
def test_nothing_new_is_done_in_the_frozen_days() -> None:
    """Stored is a batch on day 8 for the second order; the first, due at once, waits for day 6."""
    workshop = with_frozen(6, demand=(ORDER, replace(ORDER, id="later", day=15)))
    made, account = make_plan(workshop, BRIEF, stored=stored_on(8))
    assert min(one.pour for one in made.batches) == 6
    assert account.money.service == 13 * LATE_DAY


@pytest.mark.slow
def test_the_search_goes_on_after_the_frozen_days() -> None:
    """It need not find by chance what changes nothing in them."""
    workshop = random_workshop(seed=2, products=4, days=75, bottleneck="trays")
    stored = draft(workshop, rebuilds=0)
    stored = replace(stored, promises=earliest_promises(workshop, stored))
    frozen = replace(workshop, costs=replace(workshop.costs, frozen_days=10))
    planning = Planning(frozen, BRIEF, stored, None, Event())
    best = planning._start()
    assert planning.again
    limits = Limits(work=0.1, seconds=60, seed=1, workers=1)
    for higher in (0, SECOND_SEED):
        made = planning._search(best, limits, lambda _: None, planning.stop, higher)
        assert frozen_changes(frozen, stored, made) == 0
        assert replay(frozen, made).money.service < best.account.money.service


@pytest.mark.slow
def test_orders_of_the_frozen_days_stand_while_more_is_made() -> None:
    """Stored is a kilo ordered on day 3 for a batch on day 8; now two orders are due at once.

    The second kilo is ordered when the six frozen days are over, and poured two days later.
    """
    offer = replace(tiny().offers["shop/base/1 kg"], deliveries=EARLY)
    two = (ORDER, replace(ORDER, id="second"))
    workshop = with_frozen(6, lots=(), offers={offer.id: offer}, demand=two)
    stored = replace(stored_on(8), purchases=buying(order=3).purchases)
    made, account = make_plan(workshop, BRIEF, stored=stored)
    assert frozen_changes(workshop, stored, made) == 0
    assert [(order.order, order.lines[0].packs) for order in made.purchases] == [(3, 1), (6, 1)]
    assert account.money.service == (13 + 15) * LATE_DAY


def test_a_frozen_day_that_became_a_closure_changes_as_little_as_can_be() -> None:
    """Two batches are stored on days 1 and 2 for two orders; now day 2 is closed."""
    minutes = (480, 480, 0) + (480,) * 17
    due = replace(ORDER, day=15)
    two = (due, replace(due, id="second"))
    workshop = with_frozen(5, minutes=minutes, demand=two)
    stored = plan(batch(1, 2, 7), batch(2, 3, 8))
    made, account = make_plan(workshop, BRIEF, stored=stored)
    assert account.certified
    assert account.money.service == 0
    assert made.batches[0].pour == 1
    assert made.batches[1].pour >= 5
    assert frozen_changes(workshop, stored, made) == 1


def test_a_frozen_batch_that_nobody_wants_any_more_is_poured_all_the_same() -> None:
    """The stored plan loses nothing, and the rest is planned with room for it."""
    workshop = with_frozen(5, demand=(replace(ORDER, day=15),))
    stored = plan(batch(1, 2, 7), batch(2, 3, 8), batch(2, 3, 8))
    made, _ = make_plan(workshop, BRIEF, stored=stored)
    assert frozen_changes(workshop, stored, made) == 0
    assert goals(made) == ["service", "money", "calm"]


def test_a_stored_plan_that_breaks_a_rule_does_not_stop_planning() -> None:
    """It pours on a day on which nobody works any more."""
    workshop = with_frozen(0, minutes=(480,) * 7 + (0,) + (480,) * 12)
    made, account = make_plan(workshop, BRIEF, stored=stored_on(7))
    assert account.certified
    assert [one.pour for one in made.batches] != [7]
    assert account.money.service == 0


# Batches under way


@pytest.mark.slow
@pytest.mark.parametrize(
    ("boxes", "amount", "packed"),
    [
        (10, 0, True),  # there are enough
        (0, None, True),  # ten more cost 10.00
        (0, 1000, True),
        (0, 999, False),  # which the budget cannot pay
        (9, 999, False),
    ],
)
def test_a_batch_under_way_is_packed_if_there_can_be_boxes(
    boxes: int, amount: int | None, packed: bool
) -> None:
    """Nobody asks for its bars."""
    box = Material(id="box", kind="packaging", unit=Unit.PIECE)
    base = replace(tiny().offers["shop/base/1 kg"], deliveries=EARLY)
    offer = replace(base, id="boxes", material="box", amount=10)
    old = Underway(lot="old", product="bar", bars=10, pour=-3, unmould=-2, in_mould=False)
    workshop = every_day(
        materials={**tiny().materials, "box": box},
        products={"bar": bar(packaging=(Packaging(material="box", per_bar=Fraction(1)),))},
        offers={offer.id: offer, base.id: base},
        lots=(Lot(item="box", lot="b", amount=boxes),),
        underway=(old,),
        budgets=() if amount is None else (Budget(month="all", first=0, last=99, amount=amount),),
    )
    made, account = make_plan(workshop, BRIEF)
    assert account.certified
    assert (made.batches[0].pack is not None) is packed
    assert sum(order.cost for order in account.purchases) == (1000 if packed and not boxes else 0)


@pytest.mark.slow
def test_boxes_that_nobody_sells_leave_a_batch_on_its_trays_and_the_rest_goes_on() -> None:
    """The order for ten bars without a box is met from another batch."""
    boxed = bar(id="boxed", packaging=(Packaging(material="box", per_bar=Fraction(1)),))
    old = Underway(lot="old", product="boxed", bars=10, pour=-3, unmould=-2, in_mould=False)
    workshop = every_day(
        materials={
            **tiny().materials,
            "box": Material(id="box", kind="packaging", unit=Unit.PIECE),
        },
        products={"bar": bar(), "boxed": boxed},
        underway=(old,),
        demand=(ORDER,),
    )
    made, account = make_plan(workshop, BRIEF)
    assert account.certified
    assert [one.pack for one in made.batches if one.in_progress] == [None]
    assert account.money.service == 7 * LATE_DAY


# Stopping and telling


def test_stopped_at_once_the_draft_is_the_plan() -> None:
    stop = Event()
    stop.set()
    workshop = random_workshop(2, products=3, days=60, bottleneck="trays")
    made, account = make_plan(workshop, BRIEF, stop=stop)
    assert made.stages == ()
    assert made.status is Status.FEASIBLE
    assert account.certified
    assert made.batches


@pytest.mark.slow
@pytest.mark.parametrize(
    ("slow", "begun"), [("SET_UP", ["money", "calm"]), ("SET_UP_TO_BUY", ["service"])]
)
def test_a_stage_whose_setting_up_would_take_its_time_is_not_begun(
    slow: str, begun: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A quarter of an hour for each product and day is too much, unless there are years."""
    monkeypatch.setattr(planning_file, slow, 900.0)
    workshop = every_day(demand=(ORDER,))
    made, account = make_plan(workshop, BRIEF)
    assert account.certified
    assert goals(made) == begun
    patient, _ = make_plan(workshop, replace(BRIEF, seconds=10**8))
    assert goals(patient) == ["service", "money", "calm"]


@pytest.mark.slow
def test_stopped_while_searching_the_best_plan_so_far_is_given() -> None:
    """The first word of a stage sets the stop: long before the work is done."""
    stop = Event()

    def tell(note: ProgressNote) -> None:
        if note.stage != "draft":
            stop.set()

    workshop = random_workshop(1, products=3, days=60, bottleneck="hands")
    started = monotonic()
    made, account = make_plan(workshop, Settings(work=500, seconds=500), progress=tell, stop=stop)
    assert monotonic() - started < 250
    assert account.certified
    assert len(made.stages) <= 1


def second_of(planning: Planning, seconds: float = 60) -> tuple[Plan, Plan]:
    """The plan that the planning has drafted, and what its second search comes to from there."""
    best = planning._drafted()
    limits = Limits(work=0.05, seconds=seconds, seed=1, workers=1)
    found = planning._search(best, limits, lambda _: None, planning.stop, SECOND_SEED)
    return best.plan, found


@pytest.mark.parametrize(("frozen", "stored", "least"), [(0, True, 7), (5, False, 7), (5, True, 0)])
def test_what_is_proven_of_the_loss_holds_in_the_money_stage_but_for_frozen_days(
    frozen: int, stored: bool, least: int
) -> None:
    """Where other orders may be in them, less may be lost."""
    workshop = random_workshop(2, products=2, days=30)
    kept = draft(workshop) if stored else None
    workshop = workshop.changed(costs=replace(workshop.costs, frozen_days=frozen))
    planning = Planning(workshop, BRIEF, kept, None, Event())
    assert planning._least_lost == 0
    stage = Stage(goal="service", value=9, bound=7, seconds=0.0, status=Status.FEASIBLE)
    planning.stages.append(stage)
    assert planning._least_lost == least


def test_a_second_search_finds_a_plan_of_its_own() -> None:
    workshop = random_workshop(2, products=4, days=75, bottleneck="trays")
    planning = Planning(workshop, BRIEF, None, None, Event())
    drafted, second = second_of(planning)
    loss = [replay(workshop, made).money.service for made in (drafted, second)]
    assert loss[1] < loss[0]
    planning.scheduler.improve(30, BRIEF.seed)
    assert planning.scheduler.plan().batches != second.batches


@pytest.mark.slow
def test_planning_again_the_second_search_too_stays_near_the_kept_plan() -> None:
    """Of its batches more stay than by a search that knows nothing of it, from the same seed."""
    workshop = random_workshop(2, products=4, days=75, bottleneck="trays")
    kept = Planning(workshop, BRIEF, None, None, Event())._drafted().plan
    near, free = (Planning(workshop, BRIEF, stored, None, Event()) for stored in (kept, None))
    limits = Limits(work=0.05, seconds=60, seed=1, workers=1)
    found = [
        planning._search(planning._start(), limits, lambda _: None, planning.stop, SECOND_SEED)
        for planning in (near, free)
    ]
    losses = [replay(workshop, plan).money.service for plan in (kept, found[0])]
    assert losses[1] < losses[0]
    assert staying(kept, found[0]).stay > staying(kept, found[1]).stay


@pytest.mark.parametrize(("worth", "day"), [(LATE_DAY - 1, 2), (LATE_DAY + 1, 3)])
def test_of_what_is_found_near_a_kept_plan_a_day_s_loss_is_weighed_against_a_batch_that_moves(
    worth: int, day: int
) -> None:
    """The order is late. The kept plan pours on day 3; on day 2 it would leave a day sooner."""
    workshop = with_frozen(0, demand=(replace(ORDER, day=5),))
    planning = Planning(workshop, BRIEF, stored_on(3), None, Event())
    planning.scheduler.kept = replace(kept_of(stored_on(3).batches, 0), worth=worth)
    stage = Stage(goal="service", value=0, bound=0, seconds=1, status=Status.FEASIBLE)
    for answer, near in ((2, 3), (3, 2)):
        planning.near = {1: stored_on(near)}
        found = planning._bought(Answer(plan=stored_on(answer), stage=stage), stored_on(3))
        assert found is not None
        assert [one.pour for one in found.plan.batches] == [day]


def test_where_a_search_near_a_kept_plan_comes_to_nothing_the_start_is_weighed_too() -> None:
    """The solver's answer may then lose a little less, and have moved what would have stayed."""
    workshop = with_frozen(0)
    stopped = Event()
    stopped.set()
    planning = Planning(workshop, BRIEF, stored_on(3), None, stopped)
    best, limits = planning._start(), Limits(work=0.05, seconds=60, seed=1, workers=1)
    assert planning.again
    for higher in (0, SECOND_SEED):
        planning.near.clear()
        assert planning._search(best, limits, lambda _: None, stopped, higher) == best.plan
        assert list(planning.near.values()) == [best.plan]


@pytest.mark.parametrize("stored", [None, stored_on(0)])
def test_near_a_kept_plan_the_solver_weighs_what_moves_as_the_search_does(
    stored: Plan | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The order is late, so that something is lost; without a kept plan nothing has moved."""
    workshop = with_frozen(0, demand=(replace(ORDER, day=5),))
    worths: list[int] = []

    def service(*_: object, worth: int, **__: object) -> Answer:
        worths.append(worth)
        raise NoPlanFound(proven=False)

    monkeypatch.setattr(Stages, "service", service)
    planning = Planning(workshop, BRIEF, stored, None, Event())
    planning.run()
    assert worths == [planning.scheduler.kept.worth]
    assert (worths[0] > 0) is (stored is not None)


def test_for_a_calmer_plan_what_was_bought_before_may_do() -> None:
    """What is bought for it anew, what the start buys, and what the kept plan bought."""
    workshop = with_frozen(0)
    stored = replace(stored_on(3), purchases=buying(packs=2, order=1).purchases)
    start = replace(stored_on(2), purchases=buying(packs=3, order=0).purchases)
    moved = stored_on(4)
    near = Planning(workshop, BRIEF, stored, None, Event())
    free = Planning(workshop, BRIEF, None, None, Event())
    anew = near._supplied(moved, start)
    assert anew is not None
    ways = [replace(moved, purchases=other.purchases) for other in (anew, start, stored)]
    assert list(near._supplied_near(moved, start)) == ways
    assert list(free._supplied_near(moved, start)) == ways[:2]


@pytest.mark.slow
def test_a_second_search_that_comes_to_nothing_leaves_the_best_plan() -> None:
    """Stopped, or without the time in which to tell a plan."""
    workshop = random_workshop(2, products=4, days=75, bottleneck="trays")
    stopped = Event()
    stopped.set()
    for stop, seconds in ((stopped, 60.0), (Event(), 0.01)):
        drafted, second = second_of(Planning(workshop, BRIEF, None, None, stop), seconds)
        assert second == drafted


def test_of_a_second_search_the_last_plan_that_it_told_counts(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Whether it came to its end or was stopped; what it has come to is told on."""
    workshop = random_workshop(2, products=4, days=75, bottleneck="trays")
    planning = Planning(workshop, BRIEF, None, None, Event())
    best = planning._drafted()
    planning.scheduler.improve(30, 7)
    told = [(3, best.plan), (2, planning.scheduler.plan()), (1, None)]
    monkeypatch.setattr(apart_file, "apart", lambda *_, **__: iter(told))
    notes: list[ProgressNote] = []
    limits = Limits(work=0.05, seconds=60, seed=1, workers=1)
    found = planning._search(best, limits, notes.append, planning.stop)
    assert found.batches == planning.scheduler.plan().batches != best.plan.batches
    assert [(note.stage, note.value) for note in notes] == [("service", loss) for loss in (3, 2, 1)]


def test_rebuilds_follow_from_the_work_as_long_as_there_are_seconds() -> None:

    def limits(work: float, seconds: float) -> Limits:
        return Limits(work=work, seconds=seconds, seed=1, workers=1)

    planning = Planning(tiny(), BRIEF, None, None, Event())
    few, many = (planning._rebuilds(limits(work, 600)) for work in (1, 2))
    assert many == pytest.approx(2 * few, abs=1)
    assert planning._rebuilds(limits(10**9, planning_file.QUICKEST)) == few
    assert planning._rebuilds(limits(10**9, 10**9)) == planning_file.MOST_REBUILDS


@pytest.mark.slow
def test_progress_begins_with_the_draft_and_names_the_stage() -> None:
    notes: list[ProgressNote] = []
    workshop = random_workshop(1, products=3, days=40, bottleneck="hands")
    _, account = make_plan(workshop, Settings(work=0.3, seconds=60), progress=notes.append)
    assert notes[0].stage == "draft"
    assert {note.stage for note in notes} <= {"draft", "service", "money", "calm"}
    assert notes[0].value is not None
    assert notes[0].value >= account.money.service
    assert all(0 <= note.seconds_left <= 60 for note in notes)
    for note in notes:
        if note.stage == "service" and note.bound is not None:
            assert note.bound <= account.money.service


def test_a_plan_that_cannot_keep_the_rules_is_said_to_be_a_fault() -> None:
    """Two batches under way on one tray: the tables contradict themselves."""
    old = [
        Underway(lot=lot, product="bar", bars=10, pour=-3, unmould=-2, in_mould=False)
        for lot in ("a", "b")
    ]
    workshop = every_day(trays={"tray": Tray(id="tray", count=1)}, underway=tuple(old))
    with pytest.raises(PlanBroken, match=r"a fault of this program: Mon 31 Aug, trays"):
        make_plan(workshop, BRIEF)


@pytest.mark.slow
def test_the_same_settings_give_the_same_plan() -> None:
    workshop = random_workshop(4, products=2, days=40, bottleneck="moulds")
    first, _ = make_plan(workshop, Settings(work=0.1, seconds=60, seed=3))
    second, _ = make_plan(workshop, Settings(work=0.1, seconds=60, seed=3))
    assert replace(first, stages=()) == replace(second, stages=())
    assert [(s.value, s.bound) for s in first.stages] == [(s.value, s.bound) for s in second.stages]


@pytest.mark.slow
def test_before_the_money_stage_what_is_bought_is_thought_over() -> None:
    """The list scheduler loses nothing, and buys quickly; the solver has no time for more."""
    workshop = random_workshop(1, products=12, days=180)
    quick = replay(workshop, draft(workshop)).money
    _, account = make_plan(workshop, Settings(work=1e-3, seconds=60))
    assert (quick.service, account.money.service) == (0, 0)
    assert account.money.money < 0.998 * quick.money
