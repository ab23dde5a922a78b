"""Where a batch fits, found for all days at once, against each day looked at by itself."""

from itertools import pairwise

import pytest

from planner.draft.bench import Bench
from planner.draft.capacity import HANDS
from planner.draft.jobs import Job
from planner.draft.placing import Openings
from planner.draft.ranking import due_day
from planner.draft.schedule import Pass, start_of
from planner.workshop import Workshop
from tests.draft.twists import twisted
from tests.workshops import random_workshop

MANY = range(24)


def loaded(workshop: Workshop) -> Pass:
    """The workshop after a pass, with every fourth of its batches taken back."""
    made = Pass(start_of(workshop))
    made.run(due_day)
    for placed in made.placed[::4]:
        made.bench.undo(placed.task)
    return made


def pack_day(bench: Bench, job: Job, pour: int) -> int | None:
    """The first day on which a batch poured on a day can be packed; None if it does not fit.

    Preparations are left aside.
    """
    unmould, recipe = job.unmould[pour], job.recipe
    for pack in range(job.cured[pour], bench.workdays.days):
        minutes = dict.fromkeys((pour, unmould, pack), 0)
        minutes[pour] += recipe.make_minutes
        minutes[unmould] += recipe.unmould_minutes
        minutes[pack] += recipe.pack_minutes
        packed = enough(
            bench, HANDS, pack, minutes[pack] if pack == unmould else recipe.pack_minutes
        )
        packed &= all(bench.pantry.room(row)[pack] >= amount for row, amount in job.packaging)
        if packed and bench.workdays.works >> pack & 1:
            held = [(job.tray, unmould, pack), *((one, pour, pour + 1) for one in job.pour_day)]
            held += [(one, pour, job.release[pour]) for one in job.moulds]
            fits = all(
                enough(bench, one.resource, day, one.amount)
                for one, first, stop in held
                for day in range(first, stop)
            )
            fits &= all(enough(bench, HANDS, day, minutes[day]) for day in minutes)
            fits &= all(bench.pantry.room(row)[pour] >= amount for row, amount in job.materials)
            return pack if fits and bench.workdays.works >> pour & 1 else None
    return None


def enough(bench: Bench, resource: str, day: int, amount: int) -> bool:
    return bench.free[resource].amounts[day] >= amount


def jobs_without_preparations(made: Pass) -> list[Job]:
    jobs = [job for sizes in made.jobs.batches.values() for job in sizes]
    return [job for job in jobs if not job.preparations]


@pytest.mark.parametrize("seed", MANY)
def test_each_pour_day_and_its_pack_day(seed: int) -> None:
    made = loaded(twisted(seed))
    for job in jobs_without_preparations(made):
        found = Openings(made.bench, made.jobs, job)
        days = {day: pack_day(made.bench, job, day) for day in range(made.days)}
        fitting = {day: pack for day, pack in days.items() if pack is not None}
        assert {day: found.pack(day) for day in found.all()} == fitting


def test_some_of_these_workshops_are_full_and_some_are_not() -> None:
    fitting = []
    for seed in MANY:
        made = loaded(twisted(seed))
        jobs = jobs_without_preparations(made)
        fitting += [len(Openings(made.bench, made.jobs, job).all()) for job in jobs]
    assert fitting.count(0) >= 5
    assert sum(count > 0 for count in fitting) >= 20


@pytest.mark.parametrize("due", [0, 20, 41, 75])
def test_before_and_after_a_due_day(due: int) -> None:
    """Before it the last pour day first; from it on the earliest pack day, with its last pour."""
    made = loaded(random_workshop(3, products=4, days=75, bottleneck="hands"))
    for job in jobs_without_preparations(made):
        found = Openings(made.bench, made.jobs, job)
        days = {day: found.pack(day) for day in found.all()}
        before = [day for day, pack in days.items() if pack < due]
        assert list(found.packed_before(due)) == sorted(before, reverse=True)
        after = list(found.packed_from(due))
        assert sorted(after) == sorted((pack, day) for day, pack in days.items() if pack >= due)
        assert all(a[0] < b[0] or (a[0] == b[0] and a[1] > b[1]) for a, b in pairwise(after))


def test_the_openings_of_a_full_bench_are_none() -> None:
    made = loaded(random_workshop(3, products=4, days=75))
    made.bench.free[HANDS].take(0, 75, 10_000)
    for job in jobs_without_preparations(made):
        found = Openings(made.bench, made.jobs, job)
        assert (found.all(), list(found.packed_from(0))) == ([], [])
        assert list(found.packed_before(75)) == []
