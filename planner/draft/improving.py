"""A schedule improved step by step: a few batches are taken out and placed anew by another rule.

Ruin and recreate with the acceptance of simulated annealing: a schedule that loses a little more is
kept now and then, so that the search gets out of dead ends, and less and less often towards the
end. All draws follow from the seed.
"""

from collections.abc import Callable, Container, Sequence
from math import log
from random import Random

from planner.draft.choice import Choice, judged
from planner.draft.keeping import NOTHING, Kept
from planner.draft.moving import moved
from planner.draft.placing import Placed
from planner.draft.preferring import Preference, as_given, as_kept, shuffled, snuggest, tidiest
from planner.draft.ranking import Rule
from planner.draft.schedule import Pass, Start

FEWEST, MOST = 3, 11
"""Batches placed anew at a time."""

SPREAD = 10
"""Days by which chance may bring a batch nearer than it is."""

SPANS = 2, 12
"""Days of which most batches are placed anew."""

MOST_OF_A_SPAN, LARGEST = 0.8, 18
"""The share of a span's batches that is taken out, and how many at the most."""

OTHERS = 8
"""Products at most, beside those of the batches taken out, that may get what becomes free."""

HOTTEST, COLDEST = 0.1, 0.003
"""What a schedule may typically lose more, at first and in the end, in shares of the best one's
loss for each of its batches."""

MOVED = 0.33
"""Share of the rebuilds in which the batches taken out are first moved about."""

AS_KEPT = 0.5
"""Share of the rebuilds near a kept plan in which its batches go where it has them."""

Clock = Callable[[Choice], float]
"""Hears the best so far and tells which share of the time is over; 1 ends the search."""


def improved(
    start: Start,
    choice: Choice,
    rules: Sequence[Rule],
    rebuilds: int,
    seed: int = 0,
    clock: Clock = lambda _: 0.0,
    kept: Kept = NOTHING,
) -> Choice:
    """The best of so many rebuilds one after the other, from a choice on, near a kept plan."""
    draw = Random(seed)
    best = current = choice
    least = reached = kept.value(choice)
    for number in range(rebuilds):
        if not best.sold.loss or not current.schedule.placed or clock(best) >= 1:
            break
        rebuilt = rebuild(start, current, draw.choice(rules), draw, kept)
        value = kept.value(rebuilt)
        heat = HOTTEST * (COLDEST / HOTTEST) ** (number / rebuilds)
        each = best.sold.loss / max(1, len(best.schedule.placed))
        # 1 - random() is never 0, so that its logarithm exists.
        if value <= reached - heat * each * log(1 - draw.random()):
            current, reached = rebuilt, value
        if value < least:
            best, least = rebuilt, value
    return best


def rebuild(start: Start, choice: Choice, rule: Rule, draw: Random, near: Kept = NOTHING) -> Choice:
    """The schedule of a choice with some batches placed anew, maybe where a kept plan has them."""
    batches = choice.schedule.placed
    taken = draw.choice(WAYS)(batches, draw)
    bench = choice.schedule.bench.copy()
    for place in taken:
        bench.undo(batches[place].task)
    kept = [placed for place, placed in enumerate(batches) if place not in taken]
    prefer: Preference = draw.choice((as_given, tidiest, snuggest, shuffled(draw)))
    moving: Preference = snuggest
    if near.worth and draw.random() < AS_KEPT:
        prefer = moving = as_kept(near.missing(kept))
    if draw.random() < MOVED:
        kept += moved(start, bench, [batches[place] for place in taken], moving, draw)
    growing = Pass(start, bench, kept, prefer)
    products = {batches[place].job.product.id for place in taken}
    growing.set_aside(_all_but_some(growing, products, draw))
    return judged(start, growing.run(rule), choice)


def _all_but_some(growing: Pass, products: Container[str], draw: Random) -> list[str]:
    """Products that are to wait: all but those of the batches taken out and a few others."""
    others = [product for product in growing.needs if product not in products]
    waiting = draw.randint(max(0, len(others) - OTHERS), len(others))
    return draw.sample(others, waiting)


def around_a_day(batches: Sequence[Placed], draw: Random) -> list[int]:
    """Positions of a few batches that are poured around the same day."""
    return _nearest(batches, range(len(batches)), draw)


def of_two_products(batches: Sequence[Placed], draw: Random) -> list[int]:
    """Positions of a few batches of two products around a day, which may then change places."""
    products = sorted({placed.job.product.id for placed in batches})
    some = draw.sample(products, min(2, len(products)))
    return _nearest(
        batches, [n for n, placed in enumerate(batches) if placed.job.product.id in some], draw
    )


def in_a_span(batches: Sequence[Placed], draw: Random) -> list[int]:
    """Positions of a batch and most of those poured within a span of days from it on."""
    one = draw.randrange(len(batches))
    first = batches[one].pour
    span = range(first, first + draw.randint(*SPANS) + 1)
    others = [n for n, placed in enumerate(batches) if placed.pour in span and n != one]
    return [one, *(n for n in others if draw.random() < MOST_OF_A_SPAN)][:LARGEST]


WAYS = (around_a_day, around_a_day, of_two_products, in_a_span)
"""The ways of taking batches out; each time one is drawn, the first as often as both others."""


def _nearest(batches: Sequence[Placed], among: Sequence[int], draw: Random) -> list[int]:
    """A few of the positions, those whose batches are poured nearest to the day of a batch."""
    day = draw.choice(batches).pour
    nearest = sorted(among, key=lambda n: abs(batches[n].pour - day) + SPREAD * draw.random())
    return nearest[: draw.randint(FEWEST, MOST)]
