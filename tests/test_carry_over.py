"""A plan carried over to a later day holds what is still to come, on the same dates."""

from planner.carry_over import carried_over
from planner.plan import Batch, Plan, PreparationLot, Promise, Purchase, PurchaseLine
from tests.reports.shop import plan

LINE = (PurchaseLine(offer="shop/base/1 kg", packs=1),)


def test_on_the_same_day_it_is_the_same_plan() -> None:
    assert carried_over(plan(), 0) == plan()


def test_what_lies_ahead_keeps_its_date_and_what_is_past_is_left_out() -> None:
    kept = Plan(
        batches=(
            Batch(pour=1, product="bar", bars=10, unmould=2, pack=9),
            Batch(pour=3, product="bar", bars=10, unmould=4, pack=11),
        ),
        preparations=(
            PreparationLot(make=2, preparation="tea"),
            PreparationLot(make=3, preparation="tea"),
        ),
        purchases=(
            Purchase(order=0, supplier="shop", lines=LINE),
            Purchase(order=5, supplier="shop", lines=LINE),
        ),
        promises=(Promise(demand="a", day=2), Promise(demand="b", day=3)),
    )
    assert carried_over(kept, 3) == Plan(
        batches=(Batch(pour=0, product="bar", bars=10, unmould=1, pack=8),),
        preparations=(PreparationLot(make=0, preparation="tea"),),
        purchases=(Purchase(order=2, supplier="shop", lines=LINE),),
        promises=(Promise(demand="b", day=0),),
    )


def test_batches_under_way_stay_until_they_are_packed() -> None:
    ready = Batch(pour=-10, product="bar", bars=10, unmould=-9, pack=2, lot="U-1")
    curing = Batch(pour=-4, product="bar", bars=10, unmould=-3, pack=None, lot="U-2")
    kept = Plan(batches=(ready, curing))
    assert [batch.lot for batch in carried_over(kept, 2).batches] == ["U-1", "U-2"]
    later = carried_over(kept, 3).batches
    assert later == (Batch(pour=-7, product="bar", bars=10, unmould=-6, pack=None, lot="U-2"),)


def test_a_first_day_before_it_moves_everything_later() -> None:
    moved = carried_over(plan(), -7)
    assert len(moved.batches) == len(plan().batches)
    assert moved.purchases[0].order == plan().purchases[0].order + 7
    assert moved.stages == ()
