"""Schedules that follow pours from elsewhere; those of a good plan come exactly as they were."""

from dataclasses import replace

import pytest

from planner.draft.draft import draft
from planner.draft.following import following
from planner.draft.schedule import start_of
from planner.plan import Batch, Plan
from planner.replay import replay
from planner.workshop import DemandKind, Workshop
from tests.draft.pieces import with_bar
from tests.workshop_parts import demand_row
from tests.workshops import Bottleneck, random_workshop, tiny

BAR = tiny().products["bar"]


Key = tuple[int, str, int]


def planned(plan: Plan) -> list[Batch]:
    return [one for one in plan.batches if not one.in_progress]


def followed(workshop: Workshop, *batches: Batch) -> list[Key]:
    """What is poured in the end, by day."""
    choice = following(start_of(workshop), batches)
    return sorted(
        (one.pour, one.job.product.id, one.job.recipe.bars) for one in choice.schedule.placed
    )


def keys(*batches: Batch) -> list[Key]:
    return sorted((one.pour, one.product, one.bars) for one in batches)


def on(day: int, product: str = "bar", bars: int = 10) -> Batch:
    """A batch without a pack day: packed as soon as can be."""
    return Batch(pour=day, product=product, bars=bars, unmould=day, pack=None)


def ample(**changes: object) -> Workshop:
    """One batch is all that is wanted, so that none is added; it and more fit on all days."""
    order = demand_row(BAR, DemandKind.ORDER, 10, 29)
    return tiny(**{"demand": (order,), **changes})


@pytest.mark.parametrize("bottleneck", ["none", "trays", "moulds", "hands"])
def test_the_pours_of_a_plan_come_exactly(bottleneck: Bottleneck) -> None:
    workshop = random_workshop(seed=6, products=4, days=75, bottleneck=bottleneck)
    plan = draft(workshop, 5)
    batches = planned(plan)
    assert batches
    choice = following(start_of(workshop), plan.batches)
    found = [
        (one.pour, one.job.product.id, one.job.recipe.bars, one.pack)
        for one in choice.schedule.placed
    ]
    # batches may be added that are of no use, but none is moved
    expected = [(one.pour, one.product, one.bars, one.pack) for one in batches]
    assert sorted(found[: len(batches)]) == sorted(expected)
    assert choice.sold.loss <= replay(workshop, plan).money.service


def test_a_pour_that_fits_stands_on_its_day() -> None:
    for day in (4, 9, 16):
        assert followed(ample(), on(day)) == keys(on(day))


def test_pours_in_any_order_give_the_same() -> None:
    pours = [on(16), on(4), on(9)]
    assert followed(ample(), *pours) == followed(ample(), *reversed(pours)) == keys(*pours)


def test_the_earlier_pour_claims_its_day_first() -> None:
    # base for one batch only, and none to buy
    scarce = ample(offers={})
    assert followed(scarce, on(16), on(4)) == followed(scarce, on(4), on(16)) == keys(on(4))


def test_a_blocked_pour_goes_to_the_nearest_day_of_two_the_earlier() -> None:
    # day 5 is a Saturday: Friday is nearer than Monday; from Sunday Monday is nearer
    assert followed(ample(), on(5)) == keys(on(4))
    assert followed(ample(), on(6)) == keys(on(7))
    # a Wednesday off lies as near to Tuesday as to Thursday
    minutes = (*tiny().minutes[:9], 0, *tiny().minutes[10:])
    assert followed(ample(minutes=minutes), on(9)) == keys(on(8))


def test_of_two_on_one_day_that_holds_one_the_second_makes_way() -> None:
    one_a_day = {"bar": replace(BAR, max_batches_per_day=1)}
    assert followed(ample(products=one_a_day), on(9), on(9)) == keys(on(8), on(9))


def test_a_batch_waits_for_its_pack_day() -> None:
    def packed(*pours: Batch) -> list[tuple[int, int]]:
        placed = following(start_of(ample()), pours).schedule.placed
        return [(one.pour, one.pack) for one in placed]

    # cured on Wednesday 9
    assert packed(on(3)) == [(3, 9)]
    assert packed(replace(on(3), pack=9)) == [(3, 9)]
    assert packed(replace(on(3), pack=15)) == [(3, 15)]
    # too early and on a Saturday: the first day from then on; from Saturday 5, the nearest day
    assert packed(replace(on(3), pack=2)) == [(3, 9)]
    assert packed(replace(on(3), pack=12)) == [(3, 14)]
    assert packed(replace(on(5), pack=15)) == [(4, 14)]


def test_a_batch_that_waited_is_of_the_same_job_as_others() -> None:
    start = start_of(ample())
    placed = following(start, [replace(on(3), pack=15)]).schedule.placed
    assert placed[0].job is start.jobs.batches["bar"][0]


def test_a_pour_that_fits_nowhere_is_left_out() -> None:
    # base for one batch only, and none to buy
    assert followed(ample(offers={}), on(9), on(11)) == keys(on(9))


def test_a_pour_too_late_to_be_sold_comes_as_late_as_it_can_be() -> None:
    # packed on Monday 28, on sale on 29: unmoulded by Wednesday 23, which is poured on 22
    assert followed(ample(), on(29)) == keys(on(22))


def test_a_pour_whose_bars_spoil_before_they_can_be_sold_is_moved() -> None:
    # keeping 7 days, bars can be sold on one day if packed 6 days after: unmoulding on a Friday,
    # say, five days of cure end on Wednesday, while those of a Monday end on Saturday
    workshop = with_bar(shelf_life_days=7).changed(demand=ample().demand)
    start = start_of(workshop)
    for day in range(22):
        for placed in following(start, [on(day)]).schedule.placed:
            assert placed.pack < placed.pour + 7


def test_a_product_or_a_size_that_does_not_exist_is_left_out() -> None:
    assert followed(ample(), on(4, "none"), on(4, bars=11), on(9)) == keys(on(9))


def test_a_product_that_nobody_asks_for_is_left_out() -> None:
    products = {"bar": BAR, "other": replace(BAR, id="other")}
    assert followed(ample(products=products), on(4, "other"), on(9)) == keys(on(9))


def test_what_is_still_short_is_added() -> None:
    # 16 bars are asked for in all: see the tiny plan by hand
    assert followed(tiny(), on(3)) == keys(on(3), on(17))
    assert followed(tiny()) == keys(on(3), on(17))
