from planner.plan import Batch, Plan
from planner.staying import Staying, staying


def batch(pour: int, pack: int, lot: str = "") -> Batch:
    return Batch(pour=pour, product="bar", bars=10, unmould=pour + 1, pack=pack, lot=lot)


def test_a_batch_stays_only_on_its_days() -> None:
    before = Plan(batches=(batch(3, 9), batch(4, 10), batch(5, 11)))
    now = Plan(batches=(batch(3, 9), batch(4, 12), batch(6, 13)))
    assert staying(before, now) == Staying(batches=3, stay=1)


def test_each_of_several_equal_batches_counts() -> None:
    before = Plan(batches=(batch(3, 9), batch(3, 9)))
    assert staying(before, Plan(batches=(batch(3, 9),))) == Staying(batches=2, stay=1)


def test_batches_under_way_are_not_counted() -> None:
    under_way = Plan(batches=(batch(-3, 9, "lot-1"),))
    assert staying(under_way, under_way) == Staying(batches=0, stay=0)
