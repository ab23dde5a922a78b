"""Staying near a kept plan: what its batches count for, and that a search stays near."""

import pytest

from planner.draft.draft import ListScheduler
from planner.draft.keeping import NOTHING, SHARE, kept_of
from planner.plan import Batch
from planner.workshop import Underway
from tests.workshops import Bottleneck, random_workshop, tiny

POURED = Batch(pour=17, product="bar", bars=10, unmould=18, pack=23)


def test_all_batches_together_count_for_a_share_of_the_loss() -> None:
    again = Batch(pour=10, product="bar", bars=10, unmould=11, pack=16)
    under_way = Batch(pour=-2, product="bar", bars=10, unmould=-1, pack=4, lot="old")
    kept = kept_of([POURED, again, under_way], loss=1000 * SHARE)
    assert kept.pours == {("bar", 10, 17): 1, ("bar", 10, 10): 1}
    assert kept.worth == 500
    assert kept_of([], loss=1000).worth == 1000 // SHARE


def test_a_schedule_is_worth_less_with_each_kept_batch_that_it_does_not_have() -> None:
    scheduler = ListScheduler(tiny(offers={}))
    scheduler.take_up([POURED])
    choice = scheduler.best
    assert scheduler.kept.value(choice) == choice.sold.loss
    moved = Batch(pour=10, product="bar", bars=10, unmould=11, pack=16)
    twice = kept_of([POURED, POURED, moved], loss=3 * SHARE)
    assert twice.value(choice) == choice.sold.loss + 2
    assert NOTHING.value(choice) == choice.sold.loss


def test_what_is_missing_is_counted_as_often_as_it_is_kept() -> None:
    scheduler = ListScheduler(tiny(offers={}))
    scheduler.take_up([POURED])
    placed = scheduler.best.schedule.placed
    twice = kept_of([POURED, POURED], loss=0)
    assert [(one.job.product.id, one.job.recipe.bars, one.pour) for one in placed] == [
        ("bar", 10, 17)
    ]
    assert twice.missing(()) == {("bar", 10, 17): 2}
    assert twice.missing(placed) == {("bar", 10, 17): 1}
    assert not twice.missing((*placed, *placed, *placed))


def test_it_counts_from_what_is_taken_up_but_for_the_plan_that_is_kept() -> None:
    scheduler = ListScheduler(tiny(offers={}))
    assert scheduler.kept == NOTHING
    kept = [Batch(pour=11, product="bar", bars=10, unmould=14, pack=21)]
    scheduler.take_up([POURED], kept)
    assert scheduler.kept == kept_of(kept, scheduler.loss)


@pytest.mark.slow
@pytest.mark.parametrize("bottleneck", ["trays", "hands"])
def test_a_search_that_keeps_stays_nearer(bottleneck: Bottleneck) -> None:
    """Both begin with the same schedule, and it is never given up for nothing."""
    workshop = random_workshop(seed=3, products=4, days=90, bottleneck=bottleneck)
    stays: dict[bool, int] = {}
    for keeps in (True, False):
        scheduler = ListScheduler(workshop)
        scheduler.take_up(scheduler.plan().batches)
        kept, loss = scheduler.kept, scheduler.loss
        assert kept.value(scheduler.best) == loss
        if not keeps:
            scheduler.kept = NOTHING
        scheduler.improve(150)
        assert scheduler.loss <= loss
        assert not keeps or kept.value(scheduler.best) <= loss
        missing = (kept.value(scheduler.best) - scheduler.loss) // kept.worth
        stays[keeps] = kept.pours.total() - missing
    assert stays[True] > stays[False]


def test_what_is_under_way_is_not_poured_again() -> None:
    old = Underway(lot="old", product="bar", bars=10, pour=-3, unmould=-2, in_mould=False)
    scheduler = ListScheduler(tiny(underway=(old,)))
    scheduler.take_up(scheduler.plan().batches)
    assert scheduler.kept.value(scheduler.best) == scheduler.loss
