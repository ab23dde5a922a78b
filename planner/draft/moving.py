"""Batches taken out go back near to where they were, in another order and snugly beside others.

What is asked for next would mostly not fill the trays that became free as well as they did, so that
a batch is lost. Moved about they do, and leave room elsewhere.
"""

from collections.abc import Sequence
from random import Random

from planner.draft.bench import Bench
from planner.draft.placing import Openings, Placed, place
from planner.draft.preferring import Preference
from planner.draft.schedule import Start

NEAR = 10
"""Days by which a batch may move at most."""

ONE_LEFT_OUT = 0.5
"""How often one of them is left out, so that something else may come in its place."""


def moved(
    start: Start, bench: Bench, taken: Sequence[Placed], prefer: Preference, draw: Random
) -> list[Placed]:
    """The batches that found a place, one after the other; in half of the cases one is left out."""
    order = draw.sample(taken, len(taken))
    if draw.random() < ONE_LEFT_OUT:
        del order[0]
    found = [_moved(start, bench, one, prefer, draw) for one in order]
    return [one for one in found if one is not None]


def _moved(
    start: Start, bench: Bench, batch: Placed, prefer: Preference, draw: Random
) -> Placed | None:
    """The batch on a day that is preferred, of equals rather near than far."""
    job, found = batch.job, Openings(bench, start.jobs, batch.job)
    away = {
        pour: abs(pour - batch.pour) + NEAR * draw.random()
        for pour in found.all()
        if abs(pour - batch.pour) <= NEAR
        and found.pack(pour) < job.last_sale(pour, bench.workdays.days)
    }
    days = prefer(bench, start.jobs, job, found, sorted(away, key=away.__getitem__))
    return place(bench, start.jobs, job, found, days, batch.value)
