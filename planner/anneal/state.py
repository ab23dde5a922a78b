"""A schedule in arrays: batches are put and dropped, and that can be taken back."""

from typing import NamedTuple

import numpy as np

from planner.anneal.compiled import compiled, inlined
from planner.anneal.facts import HANDS, RELEASE, UNMOULD, Facts, Floats, Ints

JOB, POUR, PACK = range(3)
"""Of a batch."""

PUT, DROPPED = 1, 0

CHANGES = 4096
"""How many can be taken back at once."""

SIZE, CHANGED, MISSING, CHANGES_IN_ALL = range(4)
"""Of the counts: batches, changes since the last that stay, batches of a kept plan missing, and all
changes, taken back or not."""

LINES = 3
"""Arrays of days to count in."""

ROOM = 64
"""For some of the days that fit and of the batches taken out: more than are looked at at once."""


class State(NamedTuple):
    """What changes with each batch.

    free        room, day -> what is free
    arrived     product, day -> bars that can first be sold
    batches     place -> JOB, POUR, PACK
    poured      job, day -> batches
    counts      SIZE, ...
    changes     number -> PUT or DROPPED, place, job, pour day, pack day
    dirty       product -> 1 where bars have changed since the last changes that stay
    launched    launch -> its day, -1 if it does not happen
    stocked     row of launches -> the first day with enough bars for it, -1 if there is none
    openings    job, pour day -> the first day to pack a batch on, -1 where it does not fit
    packable    job, day -> the first day from it on with hands and packaging to pack a batch on
    opened      job -> all changes when both were found
    lines       room to count in
    fitting     room for pour and pack days that fit
    taken       room for the jobs and pour days of batches taken out
    places      room for places of batches in an order
    away        room for how far away they are
    order       room for the products in an order
    chosen      room for the products that are chosen
    """

    free: Ints
    arrived: Ints
    batches: Ints
    poured: Ints
    counts: Ints
    changes: Ints
    dirty: Ints
    launched: Ints
    stocked: Ints
    openings: Ints
    packable: Ints
    opened: Ints
    lines: Ints
    fitting: Ints
    taken: Ints
    places: Ints
    away: Floats
    order: Ints
    chosen: Ints


def state_of(facts: Facts, free: Ints, arrived: Ints, most: int) -> State:
    """No batches yet, and room for so many; rooms and bars as they are before them."""
    return State(
        free=free.copy(),
        arrived=arrived.copy(),
        batches=np.zeros((most, 3), np.int64),
        poured=np.zeros_like(facts.kept),
        counts=np.array([0, 0, facts.kept.sum(), 0], np.int64),
        changes=np.zeros((CHANGES, 5), np.int64),
        dirty=np.ones(len(facts.asked), np.int64),
        launched=facts.wanted.copy(),
        stocked=np.full(len(facts.launches), -1, np.int64),
        openings=np.full_like(facts.kept, -1),
        packable=np.full_like(facts.kept, -1),
        opened=np.full(len(facts.jobs), -1, np.int64),
        lines=np.zeros((LINES, len(facts.working)), np.int64),
        fitting=np.zeros((ROOM, 2), np.int64),
        taken=np.zeros((ROOM, 2), np.int64),
        places=np.zeros(ROOM, np.int64),
        away=np.zeros(ROOM),
        order=np.zeros(len(facts.asked), np.int64),
        chosen=np.zeros(len(facts.asked), np.int64),
    )


@inlined
def put(facts: Facts, state: State, job: int, pour: int, pack: int) -> None:
    """One more batch."""
    place = state.counts[SIZE]
    _write(state, place, job, pour, pack)
    state.counts[SIZE] = place + 1
    _count(facts, state, job, pour, pack, 1)
    _note(state, PUT, place, job, pour, pack)


@inlined
def drop(facts: Facts, state: State, place: int) -> None:
    """One batch less; the last one comes in its place."""
    batches, last = state.batches, state.counts[SIZE] - 1
    job, pour, pack = batches[place, JOB], batches[place, POUR], batches[place, PACK]
    _write(state, place, batches[last, JOB], batches[last, POUR], batches[last, PACK])
    state.counts[SIZE] = last
    _count(facts, state, job, pour, pack, -1)
    _note(state, DROPPED, place, job, pour, pack)


@compiled
def keep(state: State) -> None:
    """What has changed stays."""
    state.counts[CHANGED] = 0
    for product in range(len(state.dirty)):
        state.dirty[product] = 0


@compiled
def take_back(facts: Facts, state: State) -> None:
    """As it was before all changes since the last that stay."""
    for number in range(state.counts[CHANGED] - 1, -1, -1):
        kind, place = state.changes[number, 0], state.changes[number, 1]
        job, pour, pack = (
            state.changes[number, 2],
            state.changes[number, 3],
            state.changes[number, 4],
        )
        size = state.counts[SIZE]
        if kind == PUT:
            state.counts[SIZE] = size - 1
            _count(facts, state, job, pour, pack, -1)
        else:
            batches = state.batches
            _write(state, size, batches[place, JOB], batches[place, POUR], batches[place, PACK])
            _write(state, place, job, pour, pack)
            state.counts[SIZE] = size + 1
            _count(facts, state, job, pour, pack, 1)
    keep(state)


@inlined
def write(array: Ints, values: Ints) -> None:
    """Write values into an array one by one: numba compiles that ten times as soon as a slice."""
    for place in range(len(array)):
        array[place] = values[place]


@inlined
def _write(state: State, place: int, job: int, pour: int, pack: int) -> None:
    state.batches[place, JOB] = job
    state.batches[place, POUR] = pour
    state.batches[place, PACK] = pack


@inlined
def _note(state: State, kind: int, place: int, job: int, pour: int, pack: int) -> None:
    number = state.counts[CHANGED]
    state.changes[number, 0] = kind
    state.changes[number, 1] = place
    state.changes[number, 2] = job
    state.changes[number, 3] = pour
    state.changes[number, 4] = pack
    state.counts[CHANGED] = number + 1


@inlined
def _count(facts: Facts, state: State, job: int, pour: int, pack: int, sign: int) -> None:
    """What a batch takes and brings (sign 1), or gives back and takes along (sign -1)."""
    state.counts[CHANGES_IN_ALL] += 1
    of = facts.jobs[job]
    unmould = facts.steps[job, pour, UNMOULD]
    state.free[HANDS, pour] -= sign * of.make
    state.free[HANDS, unmould] -= sign * of.unmoulding
    state.free[HANDS, pack] -= sign * of.packing
    _hold(state, of.tray, unmould, pack, sign * of.trays)
    for part in range(of.packaging):
        room, amount = facts.parts[job, part, 0], sign * facts.parts[job, part, 1]
        if part < of.on_day:
            state.free[room, pour] -= amount
        elif part < of.moulds:
            _hold(state, room, pour, facts.steps[job, pour, RELEASE], amount)
        elif part < of.materials:
            _hold(state, room, pour, facts.until[room], amount)
        else:
            _hold(state, room, pack, facts.until[room], amount)
    if pack + 1 < len(facts.working):
        state.arrived[of.product, pack + 1] += sign * of.good
    state.dirty[of.product] = 1
    before = max(0, facts.kept[job, pour] - state.poured[job, pour])
    state.poured[job, pour] += sign
    state.counts[MISSING] += max(0, facts.kept[job, pour] - state.poured[job, pour]) - before


@inlined
def _hold(state: State, room: int, first: int, stop: int, amount: int) -> None:
    for day in range(first, stop):
        state.free[room, day] -= amount


@inlined
def is_free(state: State, room: int, first: int, stop: int, amount: int) -> bool:
    """True if a room has so much on each of some days."""
    for day in range(first, stop):  # noqa: SIM110 - a loop compiles, a generator does not
        if state.free[room, day] < amount:
            return False
    return True
