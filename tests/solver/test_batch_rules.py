"""A batch cures long enough, is packed within the plan, and days have caps."""

from dataclasses import replace

from planner.plan import Plan
from planner.solver.model import PlanModel
from planner.workshop import DemandKind, Underway
from tests.replay.plans import batch, plan, underway
from tests.solver.rows import NOT_HELD, broken_rows
from tests.solver.solving import LATE_DAY, allows, bar, every_day, least_loss, refusals
from tests.workshop_parts import demand_row
from tests.workshops import tiny

TEN_BARS = demand_row(bar(), DemandKind.ORDER, 10, 0)
TWENTY_BARS = (TEN_BARS, replace(TEN_BARS, id="second"))


def test_a_batch_cures_at_least_its_days() -> None:
    """Poured on 0, unmoulded on 1, cured for 5 days: packed on 6 at the earliest."""
    workshop = every_day(demand=TWENTY_BARS)
    assert allows(workshop, plan(batch(pack=6)))
    assert NOT_HELD in refusals(workshop, plan(batch(pack=5)))
    assert "cure of packed bar x 10" in refusals(workshop, plan(batch(), batch(2, 3, 7)))
    assert allows(workshop, plan(batch(), batch(2, 3, 8)))


def test_a_cure_may_last_longer() -> None:
    workshop = every_day(demand=(TEN_BARS,))
    assert allows(workshop, plan(batch(pack=19)))


def test_ten_bars_leave_the_day_after_their_cure() -> None:
    """Packed on 6, gone on 7: seven days late."""
    assert least_loss(every_day(demand=(TEN_BARS,))) == 7 * LATE_DAY


def test_bars_wait_for_a_working_day_to_be_packed() -> None:
    """Cured on day 6, a Sunday: packed on 7, gone on 8."""
    assert least_loss(tiny(demand=(TEN_BARS,))) == 8 * LATE_DAY


def test_unmoulding_waits_for_a_working_day_too() -> None:
    """Poured on Monday for five nights: out on Monday 7, cured on 12, packed on Monday 14."""
    workshop = tiny(products={"bar": bar(set_days=5)}, demand=(TEN_BARS,))
    assert least_loss(workshop) == 15 * LATE_DAY


def test_every_batch_is_packed_by_the_end() -> None:
    workshop = every_day(demand=TWENTY_BARS)
    model = PlanModel(workshop, True)
    values = model.values_of(plan(batch(), batch(1, 2, 8)))
    packed = model.variables.packed["bar", 10].steps
    fewer = {step.index: 1 for step in packed if values[step.index] == 2}
    assert "packed bar x 10 by the end" in broken_rows(model.model, {**values, **fewer})


def test_nothing_is_poured_too_late_to_be_packed() -> None:
    """20 days: what is poured on 13 is packed on 19, the last day; on 14 nothing can be poured."""
    workshop = every_day(demand=(TEN_BARS,))
    assert PlanModel(workshop, True).variables.poured["bar", 10].days[-1] == 13
    assert allows(workshop, plan(batch(13, 14, 19)))


def test_a_batch_under_way_is_packed_once_it_is_cured_or_never() -> None:
    """Unmoulded on -2, cured on 3; the last day is 19."""
    old = Underway(lot="old", product="bar", bars=10, pour=-3, unmould=-2, in_mould=False)
    workshop = every_day(underway=(old,))
    assert allows(workshop, Plan(batches=(underway(3),)))
    assert allows(workshop, Plan(batches=(underway(19),)))
    assert refusals(workshop, Plan(batches=(underway(2),))) == {NOT_HELD}
    assert allows(workshop, Plan(batches=(underway(None),)))
    served = replace(workshop, demand=(TEN_BARS,))
    assert least_loss(served) == 4 * LATE_DAY  # packed on 3, gone on 4


def test_a_batch_under_way_that_cures_beyond_the_plan_stays_unpacked() -> None:
    old = Underway(lot="old", product="bar", bars=10, pour=-3, unmould=15, in_mould=True)
    workshop = every_day(underway=(old,))
    assert allows(workshop, Plan(batches=(underway(None, unmould=15),)))


def test_a_product_has_its_cap_of_batches_in_a_day() -> None:
    """One a day: the second ten bars are poured, packed and gone one day later, on 8."""
    capped = every_day(products={"bar": bar(max_batches_per_day=1)}, demand=TWENTY_BARS)
    assert "batches a day of bar" in refusals(capped, plan(batch(pack=6), batch(pack=6)))
    assert allows(capped, plan(batch(pack=6), batch(1, 2, 7)))
    assert least_loss(capped) == (7 + 8) * LATE_DAY


def test_without_a_cap_both_are_poured_at_once() -> None:
    workshop = every_day(demand=TWENTY_BARS)
    assert allows(workshop, plan(batch(pack=6), batch(pack=6)))
    assert least_loss(workshop) == (7 + 7) * LATE_DAY
