"""A state follows what the list scheduler's bench has: what is free, and where a batch fits."""

from dataclasses import replace
from random import Random

import numpy as np
import pytest

from planner.anneal.state import (
    CHANGED,
    CHANGES_IN_ALL,
    JOB,
    PACK,
    POUR,
    SIZE,
    drop,
    keep,
    put,
    take_back,
)
from planner.draft.placing import Openings
from planner.workshop import Workshop
from tests.anneal.pieces import BOTTLENECKS, both, copied, lasting, pack_day, same, scarce
from tests.workshops import Bottleneck


@pytest.mark.slow
@pytest.mark.parametrize("bottleneck", BOTTLENECKS)
@pytest.mark.parametrize("seed", range(3))
def test_what_is_free_is_what_the_bench_has_free(seed: int, bottleneck: Bottleneck) -> None:
    one = both(scarce(seed, bottleneck))
    free = [list(amounts.amounts) for amounts in one.bench.free.values()]
    assert one.state.free[: len(free)].tolist() == free


def cured_at_once(workshop: Workshop) -> Workshop:
    """The workshop, whose bars can be packed on the day on which they are unmoulded."""
    products = {name: replace(product, cure_days=0) for name, product in workshop.products.items()}
    return replace(workshop, products=products)


@pytest.mark.slow
@pytest.mark.parametrize("at_once", [False, True])
@pytest.mark.parametrize("bottleneck", BOTTLENECKS)
@pytest.mark.parametrize("seed", range(3))
def test_a_batch_fits_where_the_list_scheduler_has_an_opening(
    seed: int, bottleneck: Bottleneck, at_once: bool
) -> None:
    """With the same first pack day, once every other batch is taken out. Goods do not expire here,
    and lots of preparations are made."""
    workshop = lasting(scarce(seed, bottleneck))
    one = both(cured_at_once(workshop) if at_once else workshop)
    for place, placed in list(enumerate(one.scheduler.best.schedule.placed))[::-2]:
        drop(one.facts, one.state, place)
        one.bench.undo(placed.task)
    fitted = 0
    for place, job in enumerate(one.jobs):
        openings = Openings(one.bench, one.scheduler.start.jobs, job)
        preparations = one.scheduler.start.jobs.made(job.preparations)
        makes = [one.bench.pantry.enough(row, amount) for row, amount in preparations]
        expected = {
            pour: openings.pack(pour)
            for pour in openings.all()
            if all(days >> pour & 1 for days in makes)
        }
        packs = {pour: pack_day(one.facts, one.state, place, pour) for pour in range(one.days)}
        assert {pour: pack for pour, pack in packs.items() if pack >= 0} == expected
        fitted += len(expected)
    assert fitted


@pytest.mark.parametrize("seed", range(3))
def test_changes_are_taken_back(seed: int) -> None:
    """Whatever was put and dropped since the last that stay."""
    one = both(scarce(seed))
    draw = Random(seed)
    before = copied(one.state)
    for _ in range(5):
        for _ in range(draw.randrange(1, 9)):
            if draw.random() < 0.5:
                drop(one.facts, one.state, draw.randrange(int(one.state.counts[SIZE])))
            else:
                job = draw.randrange(len(one.jobs))
                pour = draw.randrange(one.days // 2)
                put(one.facts, one.state, job, pour, int(one.facts.steps[job, pour, 1]))
        assert not same(copied(one.state), before)
        take_back(one.facts, one.state)
        assert same(copied(one.state), before)
        assert not one.state.dirty.any()


def test_changes_that_stay_are_not_taken_back() -> None:
    one = both(scarce(1))
    drop(one.facts, one.state, 0)
    keep(one.state)
    after = copied(one.state)
    drop(one.facts, one.state, 0)
    take_back(one.facts, one.state)
    assert same(copied(one.state), after)


def test_openings_are_those_of_the_schedule_as_it_is() -> None:
    """Where a batch has taken the last hands of a day no other one fits, until it is taken back."""
    one = both(scarce(1))
    job = int(one.state.batches[0, JOB])
    drop(one.facts, one.state, 0)
    keep(one.state)
    pour = next(day for day in range(one.days) if pack_day(one.facts, one.state, job, day) >= 0)
    pack = pack_day(one.facts, one.state, job, pour)
    while pack_day(one.facts, one.state, job, pour) == pack:
        put(one.facts, one.state, job, pour, pack)
    assert (one.state.free >= 0).all()
    take_back(one.facts, one.state)
    assert pack_day(one.facts, one.state, job, pour) == pack


def test_what_is_put_and_dropped_leaves_nothing_behind() -> None:
    one = both(scarce(2))
    before = copied(one.state)
    put(one.facts, one.state, 0, 3, 40)
    last = int(one.state.counts[SIZE]) - 1
    assert one.state.batches[last, [JOB, POUR, PACK]].tolist() == [0, 3, 40]
    drop(one.facts, one.state, last)
    assert same(copied(one.state), before)
    assert np.count_nonzero(one.state.dirty) == 1


def test_without_room_to_note_it_no_batch_fits() -> None:
    """Compiled code would write beyond the end of the array."""
    one = both(scarce(2))
    drop(one.facts, one.state, 0)
    fitting = [
        (job, pour)
        for job in range(len(one.jobs))
        for pour in range(one.days)
        if pack_day(one.facts, one.state, job, pour) >= 0
    ]
    assert fitting
    for place, most in ((SIZE, len(one.state.batches)), (CHANGED, len(one.state.changes))):
        before = int(one.state.counts[place])
        one.state.counts[place] = most
        one.state.counts[CHANGES_IN_ALL] += 1
        assert {pack_day(one.facts, one.state, *where) for where in fitting} == {-1}
        one.state.counts[place] = before
        assert -1 not in {pack_day(one.facts, one.state, *where) for where in fitting}
