"""What still holds of a stored plan: the most of it, the frozen days first, and no broken rule."""

from dataclasses import replace
from random import Random

import pytest

from planner.draft.draft import draft
from planner.frozen import frozen_changes
from planner.mending import mended
from planner.plan import Batch, Plan, PreparationLot
from planner.replay import earliest_promises, replay
from planner.workshop import Budget, Tray, Underway, Workshop
from tests.replay.plans import batch, buying, curing, plan, preparing, underway
from tests.replay.test_preparing import TEA
from tests.solver.solving import every_day
from tests.workshops import random_workshop, tiny


def pours(workshop: Workshop, stored: Plan) -> list[int]:
    """The pour days of what still holds of a plan, which must break no rule."""
    found = mended(workshop, stored)
    assert found is not None
    assert certified(workshop, found)
    return [batch.pour for batch in found.batches if not batch.in_progress]


def certified(workshop: Workshop, made: Plan) -> bool:
    settled = replace(made, promises=earliest_promises(workshop, made))
    return replay(workshop, settled).certified


def closed(*days: int, **changes: object) -> Workshop:
    """A workshop of twenty days with work on all days but these."""
    return every_day(minutes=tuple(0 if day in days else 480 for day in range(20)), **changes)


def kilos(number: int) -> Workshop:
    """A workshop with base for so many batches, and none to be had."""
    return every_day(lots=(replace(tiny().lots[0], amount=1_000_000 * number),))


def test_a_plan_that_holds_is_kept_whole() -> None:
    """Batches, lots of tea and an order; nine bars are no size, and alone are left out."""
    tea = replace(TEA, charge=1_000_000)
    workshop = tiny(lots=kilos(4).lots, preparations={"tea": tea})
    stored = replace(
        plan(batch(0, 1, 7), batch(3, 4, 14)),
        preparations=preparing(1, 8).preparations,
        purchases=buying(order=2).purchases,
    )
    assert mended(workshop, stored) == stored
    spoiled = replace(stored, batches=(*stored.batches, batch(2, 3, 7, bars=9)))
    assert mended(workshop, spoiled) == stored


def test_what_is_poured_on_a_day_that_was_closed_is_left_out() -> None:
    stored = plan(*(batch(day, day + 1, day + 6) for day in range(6)))
    assert pours(closed(3), stored) == [0, 1, 2, 4, 5]


def test_days_that_move_take_unmoulding_and_packing_with_them() -> None:
    """Poured on 1: unmoulded on 3 instead of 2, so cured on 8; packed on 6 before, day 9 if 8 is
    closed too."""
    stored = plan(batch(1, 2, 7))
    assert mended(closed(2), stored) == plan(batch(1, 3, 8))
    assert mended(closed(2, 8), stored) == plan(batch(1, 3, 9))


def test_packing_waits_for_hands() -> None:
    """Both were to be packed on day 6, which now has minutes for one, and day 7 for none."""
    minutes = (480,) * 6 + (10, 9) + (480,) * 12
    stored = plan(batch(0, 1, 6), batch(0, 1, 6))
    found = mended(every_day(minutes=minutes), stored)
    assert found is not None
    assert [one.pack for one in found.batches] == [6, 8]


@pytest.mark.parametrize(("frozen_days", "kept"), [(0, [0, 1]), (3, [0, 1])])
def test_as_much_as_the_stock_gives_is_kept(frozen_days: int, kept: list[int]) -> None:
    stored = plan(*(batch(day, day + 1, day + 6) for day in (0, 1, 3, 4)))
    workshop = kilos(2)
    workshop = replace(workshop, costs=replace(workshop.costs, frozen_days=frozen_days))
    assert pours(workshop, stored) == kept


def test_frozen_lots_come_before_later_batches() -> None:
    """There is base for a lot of tea or for a batch; the batch is poured later."""
    tea = replace(TEA, charge=1_000_000)
    workshop = every_day(lots=kilos(1).lots, preparations={"tea": tea})
    stored = replace(plan(batch(3, 4, 9)), preparations=preparing(1).preparations)
    frozen = replace(workshop, costs=replace(workshop.costs, frozen_days=3))
    found = mended(frozen, stored)
    assert found == preparing(1)
    assert frozen_changes(frozen, stored, found) == 0


def test_orders_that_cannot_go_out_any_more_are_left_out() -> None:
    """The second batch has no base without the order of day 3; the offer is gone from day 2 on."""
    offer = tiny().offers["shop/base/1 kg"]
    short = replace(offer, deliveries=tuple(d for d in offer.deliveries if d.order < 2))
    workshop = tiny(offers={offer.id: short})
    stored = replace(plan(batch(0, 1, 7), batch(7, 8, 14)), purchases=buying(order=3).purchases)
    assert mended(workshop, stored) == plan(batch(0, 1, 7))
    assert mended(tiny(), stored) == stored


def test_a_budget_that_was_cut_keeps_the_orders_of_the_frozen_days() -> None:
    budget = Budget(month="all", first=0, last=99, amount=1000)
    workshop = tiny(budgets=(budget,))
    workshop = replace(workshop, costs=replace(workshop.costs, frozen_days=4))
    later, early = buying(order=8).purchases, buying(order=2).purchases
    assert mended(workshop, Plan(purchases=(*early, *later))) == Plan(purchases=early)


def test_batches_under_way_are_packed_as_stored_or_as_soon_as_can_be() -> None:
    """Cured on day 3; what the plan says of other lots is nothing to this workshop."""
    workshop = every_day(underway=(curing(),))
    assert mended(workshop, plan(underway(9))) == plan(underway(9))
    assert mended(workshop, plan(underway(2))) == plan(underway(3))
    assert mended(workshop, plan(underway(9, lot="gone"))) == plan(underway(3))
    late = every_day(underway=(curing(in_mould=True, unmould=15),))
    assert mended(late, Plan()) == plan(underway(None, unmould=15))


def test_batches_under_way_leave_their_trays_to_others() -> None:
    """On one tray: the old batch until day 3, the next from day 4 on."""
    one = {"tray": Tray(id="tray", count=1)}
    workshop = every_day(trays=one, underway=(curing(),))
    stored = plan(underway(3), batch(3, 4, 9))
    assert mended(workshop, stored) == stored
    two = every_day(
        trays=one, underway=(curing(), replace(curing(in_mould=True, unmould=4), lot="next"))
    )
    found = mended(two, Plan())
    assert found is not None
    assert [one.pack for one in found.batches] == [3, 9]


def test_batches_under_way_that_do_not_fit_leave_nothing_to_mend() -> None:
    """Two of them on one tray."""
    old = Underway(lot="b", product="bar", bars=10, pour=-3, unmould=-2, in_mould=False)
    workshop = every_day(
        trays={"tray": Tray(id="tray", count=1)}, underway=(old, replace(old, lot="a"))
    )
    assert mended(workshop, Plan()) is None


def test_when_time_is_up_the_rest_is_left_out() -> None:
    stored = plan(batch(0, 1, 6), batch(3, 4, 9))
    assert mended(every_day(), stored, lambda: False) == Plan()
    tries = iter([True])
    assert mended(every_day(), stored, lambda: next(tries, False)) == stored
    tries = iter([True, True])  # together they do not hold, and then only the first is tried
    assert mended(closed(3), stored, lambda: next(tries, False)) == plan(batch(0, 1, 6))


def test_products_and_preparations_that_are_gone_are_left_out() -> None:
    gone = Batch(pour=0, product="soap", bars=10, unmould=1, pack=7)
    stored = replace(
        plan(gone, batch(1, 2, 7)), preparations=(PreparationLot(make=0, preparation="x"),)
    )
    assert mended(every_day(), stored) == plan(batch(1, 2, 7))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(6))
def test_random_plans_hold_after_a_closure(seed: int) -> None:
    """A week is closed and half a lot is gone: what is left breaks no rule, and is most of it."""
    workshop = random_workshop(seed, products=3, days=60, bottleneck="trays")
    stored = draft(workshop)
    draw = Random(f"{seed}/closure")
    week = draw.randrange(5, 40)
    minutes = tuple(
        0 if week <= day < week + 5 else there for day, there in enumerate(workshop.minutes)
    )
    lots = list(workshop.lots)
    half = draw.randrange(len(lots))
    lots[half] = replace(lots[half], amount=lots[half].amount // 2)
    changed = replace(workshop, minutes=minutes, lots=tuple(lots))
    found = mended(changed, stored)
    assert found is not None
    assert certified(changed, found)
    assert len(found.batches) >= len(stored.batches) // 2
