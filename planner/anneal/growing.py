"""A schedule that grows: batch after batch, each where it serves its need best.

As `planner.draft.schedule` does it, but that preparations are part of the rooms.
"""

import numpy as np

from planner.anneal.compiled import compiled, inlined
from planner.anneal.facts import (
    AHEAD,
    AMOUNT,
    CURED,
    DENSITY,
    DUE,
    HANDS,
    LATEST,
    UNMOULD,
    Facts,
)
from planner.anneal.openings import find_openings
from planner.anneal.shortages import Shortages, give_up, look_ahead, slip, wanted, wanted_late
from planner.anneal.state import State, put
from planner.draft.placing import TRIES

AS_GIVEN, SHUFFLED, SNUG, TIDY, KEPT = range(5)
"""Orders in which the days that fit are tried: see `planner.draft.preferring`."""


@compiled
def grow(
    facts: Facts,
    state: State,
    short: Shortages,
    rule: int,
    order: int,
    draw: np.random.Generator,
) -> None:
    """Place batches until nothing is short that can be served."""
    while True:
        product = _first(facts, short, rule)
        if product < 0:
            return
        if _in_time(facts, state, short, product, order, draw):
            look_ahead(facts, state, short, product)
        elif not _late(facts, state, short, product, order, draw):
            give_up(facts, state, short, product)


@inlined
def _first(facts: Facts, short: Shortages, rule: int) -> int:
    """The product that goes first by a rule; -1 if none is short."""
    found, least, most = -1, 0.0, 0.0
    for product in range(len(short.products)):
        if not short.products[product].open:
            continue
        value = short.products[product].value
        density = max(value, 1.0) / max(facts.rules[rule, product, AMOUNT], 1e-3)
        rank = facts.rules[rule, product, DUE] * short.products[product].due
        rank -= facts.rules[rule, product, AHEAD]
        rank -= facts.rules[rule, product, DENSITY] * density
        if found < 0 or rank < least or (rank == least and value > most):
            found, least, most = product, rank, value
    return found


@inlined
def _suited(facts: Facts, product: int, bars: float) -> int:
    """The largest size, or the smallest that covers what is wanted."""
    found: int = facts.products[product].job
    for job in range(found, facts.products[product + 1].job):
        if facts.jobs[job].good >= bars:
            found = job
    return found


@inlined
def _in_time(
    facts: Facts,
    state: State,
    short: Shortages,
    product: int,
    order: int,
    draw: np.random.Generator,
) -> bool:
    """Place a batch that can be sold on its due day, the latest one at best; False if none fits."""
    days, due = state.fitting, short.products[product].due
    first = _suited(facts, product, wanted(facts, short, product, due))
    for job in range(first, facts.products[product + 1].job):
        found = 0
        find_openings(facts, state, job)
        for pour in range(min(due, facts.steps[job, due, LATEST]) - 1, -1, -1):
            if pour + facts.jobs[job].keeps < due:
                break
            pack = state.openings[job, pour]
            if 0 <= pack < due:
                days[found, 0], days[found, 1] = pour, pack
                found += 1
                if order == AS_GIVEN or found == TRIES:
                    break
        if found:
            chosen = _chosen(facts, state, job, order, found, draw)
            put(facts, state, job, days[chosen, 0], days[chosen, 1])
            return True
    return False


@inlined
def _late(
    facts: Facts,
    state: State,
    short: Shortages,
    product: int,
    order: int,
    draw: np.random.Generator,
) -> bool:
    """Place a batch as early as can be after its due day; False if none of use fits."""
    days, due, length = state.fitting, short.products[product].due, len(facts.working)
    first = facts.products[product].job
    pack = _first_late(facts, state, first, due)
    if pack >= 0:
        first = _suited(facts, product, wanted_late(facts, short, product, pack + 1))
    for job in range(first, facts.products[product + 1].job):
        found, group, of = 0, 0, -1
        find_openings(facts, state, job)
        for pour in range(_first_pour(facts, state, job, due), length):
            if facts.steps[job, pour, CURED] >= length:
                break
            pack = state.openings[job, pour]
            if pack < due or pack >= length - 1:
                continue
            if pack != of:
                enough = found >= TRIES or (found > 0 and order == AS_GIVEN)
                if enough or not wanted_late(facts, short, product, pack + 1):
                    break
                group, of = found, pack
            if pour + facts.jobs[job].keeps <= pack or found == len(days):
                continue
            for place in range(found, group, -1):  # with the same pack day the last comes first
                days[place, 0], days[place, 1] = days[place - 1, 0], days[place - 1, 1]
            days[group, 0], days[group, 1] = pour, pack
            found += 1
        if found:
            chosen = _chosen(facts, state, job, order, min(found, TRIES), draw)
            pack = days[chosen, 1]
            put(facts, state, job, days[chosen, 0], pack)
            slip(facts, state, short, product, pack + 1)
            return True
    return False


@inlined
def _first_late(facts: Facts, state: State, job: int, due: int) -> int:
    """The first day from the due day on on which a batch can be packed; -1 if there is none."""
    length = len(facts.working)
    find_openings(facts, state, job)
    for pour in range(_first_pour(facts, state, job, due), length):
        pack: int = state.openings[job, pour]
        if due <= pack < length - 1:
            return pack
    return -1


@inlined
def _first_pour(facts: Facts, state: State, job: int, due: int) -> int:
    """The first pour day of batches that are not packed before a day: if cured, for want of hands
    or packaging. The job's openings have been found."""
    day = due - 1
    while day > 0 and state.packable[job, day] > day:
        day -= 1
    first: int = facts.steps[job, max(0, day), LATEST]
    return first


@inlined
def _chosen(
    facts: Facts,
    state: State,
    job: int,
    order: int,
    found: int,
    draw: np.random.Generator,
) -> int:
    """The place of those of the days that fit which an order has first."""
    days = state.fitting
    if order == SHUFFLED:
        return int(draw.random() * found)
    best, least = 0, 0
    if order != AS_GIVEN:
        for place in range(found):
            cost = cost_of(facts, state, job, order, days[place, 0], days[place, 1])
            if place == 0 or cost < least:
                best, least = place, cost
    return best


@inlined
def cost_of(facts: Facts, state: State, job: int, order: int, pour: int, pack: int) -> int:
    """By how much days come later in an order."""
    of, unmould = facts.jobs[job], facts.steps[job, pour, UNMOULD]
    if order == SNUG:  # trays left free beside it
        free: int = min(state.free[of.tray, pack], of.trays)
        if unmould > 0:
            free += min(state.free[of.tray, unmould - 1], of.trays)
        return free
    if order == TIDY:  # minutes wasted
        wasted = _wasted(facts, state, pack, of.packing)
        if unmould == pour:
            return wasted + _wasted(facts, state, pour, of.make + of.unmoulding)
        wasted += _wasted(facts, state, unmould, of.unmoulding)
        return wasted + _wasted(facts, state, pour, of.make)
    if order == KEPT:
        return 1 if state.poured[job, pour] >= facts.kept[job, pour] else 0
    return 0


@inlined
def _wasted(facts: Facts, state: State, day: int, minutes: int) -> int:
    """Minutes of a day that are wasted more if so many are taken."""
    left = max(0, state.free[HANDS, day])
    more: int = facts.wasted[max(left - minutes, 0)] - facts.wasted[left]
    return more
