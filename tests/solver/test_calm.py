"""The calm stage: stay close to the stored plan, touch nothing in the frozen days, act early.

An order for ten bars is due on day 15; poured on day s they leave on s + 7. Capital costs
nothing, so money leaves the days open.
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.plan import Plan, Purchase, PurchaseLine
from planner.replay import replay
from planner.solver import stages as stages_file
from planner.solver.stages import Answer, Stages
from planner.workshop import Costs, Delivery, DemandKind, Underway, Workshop
from tests.replay.plans import batch, plan, underway
from tests.solver.rows import settled
from tests.solver.solving import LATE_DAY, LIMITS, bar, every_day
from tests.workshop_parts import demand_row
from tests.workshops import tiny

DUE = demand_row(bar(), DemandKind.ORDER, 10, 15)
FREE = Costs(capital=Fraction(0), safety=Fraction(0))


def workshop_of(frozen_days: int = 0, **changes: object) -> Workshop:
    fields: dict[str, object] = {"demand": (DUE,), "costs": replace(FREE, frozen_days=frozen_days)}
    return every_day(**{**fields, **changes})


def poured(day: int, pack: int | None = None) -> Plan:
    return plan(batch(day, day + 1, day + 6 if pack is None else pack))


def calm(workshop: Workshop, start: Plan, stored: Plan | None) -> Answer:
    """Money first, which holds the loss of `start`, then calm, which holds the money too."""
    stages = Stages(workshop, stored)
    money = stages.money(settled(workshop, start), LIMITS)
    answer = stages.calm(settled(workshop, money.plan), LIMITS)
    assert answer.stage.value == answer.stage.bound
    assert replay(workshop, settled(workshop, answer.plan)).certified
    return answer


def test_without_a_stored_plan_the_earliest_days_are_taken() -> None:
    """Poured on 0 and packed on 6: the days add up to 6."""
    answer = calm(workshop_of(), poured(8), None)
    assert answer.plan.batches == (batch(0, 1, 6),)
    assert answer.stage.value == 6


@pytest.mark.parametrize("day", [0, 3, 8])
def test_with_a_stored_plan_its_days_are_kept(day: int) -> None:
    """However early another day would be."""
    answer = calm(workshop_of(), poured(5), poured(day))
    assert answer.plan.batches == (batch(day, day + 1, day + 6),)
    assert answer.stage.value == day + day + 6


def test_changes_are_counted_and_days_are_not() -> None:
    """Late on day 10, the batch is poured and packed on other days: two days new, two without."""
    stage = calm(workshop_of(), poured(8), poured(10)).stage
    assert (stage.changes, stage.least_changes) == (4, 4)
    stage = calm(workshop_of(), poured(8), poured(3)).stage
    assert (stage.changes, stage.least_changes) == (0, 0)
    stage = calm(workshop_of(), poured(8), None).stage
    assert (stage.changes, stage.least_changes) == (None, None)


def test_what_is_not_in_the_stored_plan_comes_early() -> None:
    """Stored is one batch on day 4; the second of two orders is poured on day 0."""
    workshop = workshop_of(demand=(DUE, replace(DUE, id="second")))
    start = plan(batch(5, 6, 11), batch(6, 7, 12))
    answer = calm(workshop, start, poured(4))
    assert answer.plan.batches == (batch(0, 1, 6), batch(4, 5, 10))


def test_no_bar_is_late_for_the_sake_of_the_stored_plan() -> None:
    """Stored on day 10, two days too late: poured early instead, as a change."""
    answer = calm(workshop_of(), poured(8), poured(10))
    account = replay(workshop_of(), settled(workshop_of(), answer.plan))
    assert account.money.service == 0


def test_order_lines_are_kept_too() -> None:
    days = [Delivery(order=day, arrive=day + 1, usable=day + 2) for day in range(18)]
    offer = replace(tiny().offers["shop/base/1 kg"], deliveries=tuple(days))
    workshop = workshop_of(lots=(), offers={offer.id: offer})

    def bought(day: int) -> tuple[Purchase, ...]:
        line = PurchaseLine(offer=offer.id, packs=1)
        return (Purchase(order=day, supplier="shop", lines=(line,)),)

    start = replace(poured(8), purchases=bought(1))
    answer = calm(workshop, start, replace(poured(8), purchases=bought(5)))
    assert [order.order for order in answer.plan.purchases] == [5]
    free = calm(workshop, start, None)
    assert [order.order for order in free.plan.purchases] == [0]
    assert free.plan.batches == (batch(2, 3, 8),)


def test_a_batch_under_way_is_packed_as_soon_as_it_can_be() -> None:
    """Nothing asks for its bars and its parts cost nothing here, but nothing is gained by waiting.

    It is cured on day 3; left on its trays it would count as packed on day 20.
    """
    old = Underway(lot="old", product="bar", bars=10, pour=-3, unmould=-2, in_mould=False)
    workshop = workshop_of(demand=(), underway=(old,))
    for pack in (None, 9):
        answer = calm(workshop, plan(underway(pack)), None)
        assert answer.plan.batches == (underway(3),)
        assert answer.stage.value == 3


# Frozen days


def test_what_is_stored_in_the_frozen_days_is_done() -> None:
    """The batch of day 2 is poured, though it is not needed until later."""
    workshop = workshop_of(frozen_days=5)
    answer = Stages(workshop, poured(2)).service(settled(workshop, poured(2)), LIMITS)
    assert [made.pour for made in answer.plan.batches] == [2]


def test_nothing_else_is_done_in_the_frozen_days() -> None:
    """Due on 0, nothing stored: poured on 5 at the earliest, so twelve days late instead of 7."""
    due = replace(DUE, day=0)
    frozen = workshop_of(frozen_days=5, demand=(due,))
    free = workshop_of(demand=(due,))
    assert Stages(free, Plan()).service(Plan(), LIMITS).stage.value == 7 * LATE_DAY
    assert Stages(frozen, Plan()).service(Plan(), LIMITS).stage.value == 12 * LATE_DAY


def test_without_a_stored_plan_nothing_is_frozen() -> None:
    due = workshop_of(frozen_days=5, demand=(replace(DUE, day=0),))
    assert Stages(due).service(Plan(), LIMITS).stage.value == 7 * LATE_DAY


def test_packing_in_the_frozen_days_is_frozen_too() -> None:
    """Poured on 0, packed on 6 by the stored plan: with seven frozen days just so."""
    workshop = workshop_of(frozen_days=7)
    answer = Stages(workshop, poured(0)).service(poured(0), LIMITS)
    assert answer.plan.batches == (batch(0, 1, 6),)


@pytest.mark.parametrize(("start", "late_days"), [((2,), 9 + 12), ((), 7 + 9), ((3, 4), 7 + 7)])
def test_no_more_is_changed_in_the_frozen_days_than_in_the_start(
    start: tuple[int, ...], late_days: int
) -> None:
    """Two orders are due at once, and a batch is stored on day 2.

    If the start keeps just that, the next can be poured on day 5. One change is another pour on
    day 0 beside it. Three changes are two pours on day 0 in place of the stored one.
    """
    due = replace(DUE, day=0)
    workshop = workshop_of(frozen_days=5, demand=(due, replace(due, id="second")))
    begun = plan(*(batch(day, day + 1, day + 6) for day in start))
    answer = Stages(workshop, poured(2)).service(begun, LIMITS)
    assert answer.stage.value == answer.stage.bound == late_days * LATE_DAY


@pytest.mark.parametrize("frozen_days", [3, 9])
def test_a_frozen_day_that_became_a_closure(frozen_days: int) -> None:
    """The batch of day 2 waits for another day; its packing on day 8 stays if that is frozen.

    With three frozen days the next is day 3, and with nine the least change is another pour.
    """
    minutes = (480, 480, 0) + (480,) * 17
    workshop = workshop_of(frozen_days=frozen_days, minutes=minutes)
    answer = Stages(workshop, poured(2)).service(Plan(), LIMITS)
    (made,) = answer.plan.batches
    assert (answer.stage.value, answer.stage.bound) == (0, 0)
    if frozen_days == 3:
        assert made.pour >= 3
    else:
        assert made.pour < 2
        assert made.pack == 8


def test_a_stored_batch_that_nobody_wants_any_more_is_poured_in_the_frozen_days() -> None:
    """The order it was for is gone: no ceiling may shut it out."""
    workshop = workshop_of(frozen_days=5, demand=())
    for stage in (Stages.service, Stages.service_with_purchases):
        answer = stage(Stages(workshop, poured(2)), poured(2), LIMITS)
        assert [made.pour for made in answer.plan.batches] == [2]


# Nothing to change


def unchanged(workshop: Workshop, stored: Plan, monkeypatch: pytest.MonkeyPatch) -> Answer:
    """The calm stage from the stored plan itself, in which no search is allowed."""

    def search(*_: object) -> None:
        raise LookupError("a search")

    monkeypatch.setattr(stages_file, "minimise", search)
    return Stages(workshop, stored).calm(settled(workshop, stored), LIMITS)


@pytest.mark.parametrize("day", [0, 3, 8])
def test_a_plan_that_changes_nothing_is_kept_without_a_search(
    day: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    answer = unchanged(workshop_of(), poured(day), monkeypatch)
    assert answer.plan.batches == poured(day).batches
    assert answer.stage.value == answer.stage.bound == day + day + 6


@pytest.mark.parametrize(("pack", "sooner"), [(3, 0), (9, 6), (None, 17)])
def test_only_batches_under_way_could_then_be_packed_sooner(
    pack: int | None, sooner: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is cured on day 3; on its trays to the end it counts as packed on day 20."""
    old = Underway(lot="old", product="bar", bars=10, pour=-3, unmould=-2, in_mould=False)
    workshop = workshop_of(demand=(), underway=(old,))
    answer = unchanged(workshop, plan(underway(pack)), monkeypatch)
    assert answer.stage.value - answer.stage.bound == sooner
    assert answer.stage.bound == 3


def test_a_plan_that_changes_something_is_searched(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(stages_file, "minimise", lambda *_: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        Stages(workshop_of(), poured(3)).calm(settled(workshop_of(), poured(4)), LIMITS)
