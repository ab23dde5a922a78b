"""Where one more batch fits: the first pack day of each pour day, found once for all pour days.

As `planner.draft.placing` has it, but that preparations are part of the rooms.
"""

from planner.anneal.compiled import inlined
from planner.anneal.facts import CURED, HANDS, RELEASE, UNMOULD, Facts
from planner.anneal.state import CHANGED, CHANGES_IN_ALL, SIZE, State, is_free

WITHOUT = 0
"""The line of the first day from each on without trays."""


@inlined
def find_openings(facts: Facts, state: State, job: int) -> None:
    """Note for each pour day the first day to pack a batch on, -1 where it does not fit; and for
    each day the first one from it on with hands and packaging for that, else the plan's length.

    They hold until a batch is put or dropped. Where the state has no room to note one more, none
    fits: nothing checks that later.
    """
    if state.opened[job] == state.counts[CHANGES_IN_ALL]:
        return
    days, of = len(facts.working), facts.jobs[job]
    full = state.counts[SIZE] == len(state.batches) or state.counts[CHANGED] == len(state.changes)
    state.opened[job] = -1 if full else state.counts[CHANGES_IN_ALL]
    first = days if full else _supplied(facts, state, job, of.moulds, of.materials)
    packable, without = state.packable[job], state.lines[WITHOUT]
    _look_ahead(facts, state, job)
    for pour in range(days):
        state.openings[job, pour] = -1
        if pour < first or state.free[HANDS, pour] < of.make or not facts.working[pour]:
            continue
        unmould, cured = facts.steps[job, pour, UNMOULD], facts.steps[job, pour, CURED]
        if cured >= days or without[unmould] < cured or not _is_made(facts, state, job, pour):
            continue
        pack = packable[cured]
        if pack == unmould:
            minutes = of.packing + of.unmoulding + (of.make if unmould == pour else 0)
            if state.free[HANDS, pack] < minutes:
                pack = packable[pack + 1] if pack + 1 < days else days
        if pack < days and without[cured] >= pack:
            state.openings[job, pour] = pack


@inlined
def _is_made(facts: Facts, state: State, job: int, pour: int) -> bool:
    """True if hands, what is held on the pour day, and moulds are there to make a batch."""
    of, unmould = facts.jobs[job], facts.steps[job, pour, UNMOULD]
    at_once = of.make if unmould == pour else 0
    if state.free[HANDS, unmould] < at_once + of.unmoulding:
        return False
    for part in range(of.moulds):
        room, amount = facts.parts[job, part, 0], facts.parts[job, part, 1]
        stop = pour + 1 if part < of.on_day else facts.steps[job, pour, RELEASE]
        if not is_free(state, room, pour, stop, amount):
            return False
    return True


@inlined
def _supplied(facts: Facts, state: State, job: int, first: int, stop: int) -> int:
    """The first day from which on there is enough of some of the parts on every day."""
    earliest = 0
    for part in range(first, stop):
        room, amount = facts.parts[job, part, 0], facts.parts[job, part, 1]
        day = facts.until[room]
        while day > earliest and state.free[room, day - 1] >= amount:
            day -= 1
        earliest = max(earliest, day)
    return earliest


@inlined
def _look_ahead(facts: Facts, state: State, job: int) -> None:
    """The first day from each on with hands and packaging to pack a batch, and the first one on
    which trays for it are missing; else the plan's length.
    """
    of, days = facts.jobs[job], len(facts.working)
    first = _supplied(facts, state, job, of.materials, of.packaging)
    pack, want = days, days
    for day in range(days - 1, -1, -1):
        if day >= first and facts.working[day] and state.free[HANDS, day] >= of.packing:
            pack = day
        if state.free[of.tray, day] < of.trays:
            want = day
        state.packable[job, day], state.lines[WITHOUT, day] = pack, want
