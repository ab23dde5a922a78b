"""A few batches of a schedule taken out and placed anew, as `planner.draft.improving` does it.

And in one more way: what is at both ends of a batch, poured or packed near to its pour day or its
pack day. One more batch needs room on both, and where hands are scarce these are weeks apart.
"""

import numpy as np

from planner.anneal.compiled import compiled, inlined
from planner.anneal.facts import CURED, Facts, Ints
from planner.anneal.growing import AS_GIVEN, KEPT, SHUFFLED, SNUG, TIDY, cost_of, grow
from planner.anneal.openings import find_openings
from planner.anneal.shortages import Shortages, begin, look_ahead
from planner.anneal.state import JOB, MISSING, PACK, POUR, SIZE, State, drop, put
from planner.draft.improving import (
    AS_KEPT,
    FEWEST,
    LARGEST,
    MOST,
    MOST_OF_A_SPAN,
    MOVED,
    OTHERS,
    SPANS,
    SPREAD,
)
from planner.draft.moving import NEAR, ONE_LEFT_OUT

WAYS = 4
"""Ways of taking batches out: twice around a day, of two products around a day, of a span."""

TWO_PRODUCTS, SPAN = 2, 3

BOTH_ENDS = 0.6
"""Share of the rebuilds in which what is at both ends of a batch is taken out instead."""

AROUND = 3
"""What is fewer days before or after than that is near."""

MOST_AT_ENDS = 0.6
"""The share of what is at both ends that is taken out."""

ANY_DAY = 0.5
"""Share of the times in which it is a batch that could be, poured on any day."""


@compiled
def rebuild(facts: Facts, state: State, short: Shortages, draw: np.random.Generator) -> None:
    """Take some batches out and place what is short then, by a rule and an order of chance."""
    count = _take_out(facts, state, draw)
    order, moving = (AS_GIVEN, SHUFFLED, SNUG, TIDY)[_below(draw, 4)], SNUG
    if facts.worth and state.counts[MISSING] and draw.random() < AS_KEPT:
        order = moving = KEPT
    if draw.random() < MOVED:
        _move(facts, state, count, moving, draw)
    begin(facts, short)
    _look_at(facts, state, short, count, draw)
    grow(facts, state, short, _below(draw, len(facts.rules)), order, draw)


@inlined
def _below(draw: np.random.Generator, stop: int) -> int:
    """Any of 0 ... stop - 1."""
    return int(draw.random() * stop)


@compiled
def _shuffle(places: Ints, count: int, draw: np.random.Generator) -> None:
    """The numbers from 0 on, so many of them, in any order."""
    for place in range(count):
        places[place] = place
    for last in range(count - 1, 0, -1):
        other = _below(draw, last + 1)
        places[last], places[other] = places[other], places[last]


@inlined
def _take_out(facts: Facts, state: State, draw: np.random.Generator) -> int:
    """Take out a few batches, and note their jobs and pour days; how many they are."""
    places, taken = state.places, state.taken
    way = _below(draw, WAYS)
    if draw.random() < BOTH_ENDS:
        count = _at_both_ends(facts, state, draw)
    elif way == SPAN:
        count = _in_a_span(state, draw)
    else:
        count = _around_a_day(facts, state, way == TWO_PRODUCTS, draw)
    for number in range(count):
        last = number  # those behind go first, since dropping one brings the last in its place
        for other in range(number, count):
            if places[other] > places[last]:
                last = other
        place, places[last] = places[last], places[number]
        taken[number, 0] = state.batches[place, JOB]
        taken[number, 1] = state.batches[place, POUR]
        drop(facts, state, place)
    return count


@inlined
def _at_both_ends(facts: Facts, state: State, draw: np.random.Generator) -> int:
    """Some of the batches poured or packed near to the pour day or the pack day of one; maybe none.

    That one is in the schedule, or could be, poured on any day and packed once it is cured.
    """
    places, size = state.places, state.counts[SIZE]
    one = _below(draw, size)
    first, last = state.batches[one, POUR], state.batches[one, PACK]
    if draw.random() < ANY_DAY:
        first = _below(draw, len(facts.working))
        last = facts.steps[state.batches[one, JOB], first, CURED]
    before, after = _below(draw, AROUND), _below(draw, AROUND)
    begin, count = _below(draw, size), 0  # so that not always the same ones are left out
    for number in range(size):
        place = (begin + number) % size
        near = False
        for day in (state.batches[place, POUR], state.batches[place, PACK]):
            near = near or -before <= day - first <= after or -before <= day - last <= after
        if near and count < LARGEST and draw.random() < MOST_AT_ENDS:
            places[count] = place
            count += 1
    return count


@inlined
def _in_a_span(state: State, draw: np.random.Generator) -> int:
    """A batch and most of those poured within a span of days from it on."""
    places, size = state.places, state.counts[SIZE]
    places[0] = _below(draw, size)
    first = state.batches[places[0], POUR]
    last = first + SPANS[0] + _below(draw, SPANS[1] - SPANS[0] + 1)
    count = 1
    for place in range(size):
        among = first <= state.batches[place, POUR] <= last and place != places[0]
        if among and count < LARGEST and draw.random() < MOST_OF_A_SPAN:
            places[count] = place
            count += 1
    return count


@inlined
def _around_a_day(facts: Facts, state: State, of_two: bool, draw: np.random.Generator) -> int:
    """A few batches, of any or of two products, poured nearest to the day of one of them."""
    batches, places, near, size = state.batches, state.places, state.away, state.counts[SIZE]
    one, two = _below(draw, size), _below(draw, size)
    products = facts.jobs[batches[one, JOB]].product, facts.jobs[batches[two, JOB]].product
    few = FEWEST + _below(draw, MOST - FEWEST + 1)
    count = 0
    for place in range(size):
        product = facts.jobs[batches[place, JOB]].product
        if of_two and product != products[0] and product != products[1]:
            continue
        away = abs(batches[place, POUR] - batches[one, POUR]) + SPREAD * draw.random()
        if count == few and away >= near[count - 1]:
            continue
        at = min(count, few - 1)
        while at > 0 and near[at - 1] > away:
            near[at], places[at] = near[at - 1], places[at - 1]
            at -= 1
        near[at], places[at] = away, place
        count = min(count + 1, few)
    return count


@inlined
def _move(facts: Facts, state: State, count: int, order: int, draw: np.random.Generator) -> None:
    """Batches go back near to where they were, in any order; in half of the cases all but one."""
    days, taken, places = len(facts.working), state.taken, state.places
    _shuffle(places, count, draw)
    first = 1 if draw.random() < ONE_LEFT_OUT else 0
    for number in range(first, count):
        place = places[number]
        job, day = taken[place, 0], taken[place, 1]
        find_openings(facts, state, job)
        best, packed, least, nearest = -1, -1, 0, 0.0
        for pour in range(max(0, day - NEAR), min(days, day + NEAR + 1)):
            pack = state.openings[job, pour]
            if pack < 0 or pack >= min(days - 1, pour + facts.jobs[job].keeps):
                continue
            away = abs(pour - day) + NEAR * draw.random()
            cost = cost_of(facts, state, job, order, pour, pack)
            if best < 0 or cost < least or (cost == least and away < nearest):
                best, packed, least, nearest = pour, pack, cost, away
        if best >= 0:
            put(facts, state, job, best, packed)


@inlined
def _look_at(
    facts: Facts,
    state: State,
    short: Shortages,
    count: int,
    draw: np.random.Generator,
) -> None:
    """What the products of the batches taken out, and a few others, are short of."""
    looked_at, products, others = state.chosen, state.order, len(short.products)
    for product in range(others):
        looked_at[product] = 0
    for number in range(count):
        looked_at[facts.jobs[state.taken[number, 0]].product] = 1
    _shuffle(products, others, draw)
    for product in range(len(looked_at)):
        others -= looked_at[product]
    more = _below(draw, min(OTHERS, others) + 1)
    for other in products:
        if more and not looked_at[other]:
            looked_at[other] = 1
            more -= 1
    for product in range(len(looked_at)):
        if looked_at[product]:
            look_ahead(facts, state, short, product)
