"""Simulated annealing: rebuilds one after the other, of which worse ones stay ever less often."""

from math import log
from typing import NamedTuple

import numpy as np

from planner.anneal.compiled import compiled
from planner.anneal.facts import Facts, Ints
from planner.anneal.ruining import rebuild
from planner.anneal.sales import launch, loss_of
from planner.anneal.shortages import Shortages
from planner.anneal.state import MISSING, SIZE, State, keep, take_back, write

REACHED, LEAST, LOST, BATCHES = range(4)
"""Of a search: what its schedule is worth now, what the best one is worth and loses, its batches.
Worth is what is lost, and what counts for batches of a kept plan that are missing."""


class Aside(NamedTuple):
    """What is put aside, or to the test, while a rebuild is tried: see `State`, and the losses."""

    launched: Ints
    stocked: Ints
    losses: Ints


def room_aside(state: State) -> Aside:
    """Room for it."""
    return Aside(
        launched=state.launched.copy(),
        stocked=state.stocked.copy(),
        losses=np.zeros_like(state.dirty),
    )


@compiled
def settled(facts: Facts, state: State, losses: Ints, now: Ints) -> int:
    """What all products lose, in all and each one in `now`; `losses` holds where bars are as they
    were."""
    moved, total = launch(facts, state), 0
    for product in range(len(losses)):
        now[product] = losses[product]
        if moved or state.dirty[product]:
            now[product] = loss_of(facts, state, product)
        total += now[product]
    return total


@compiled
def anneal(
    facts: Facts,
    state: State,
    short: Shortages,
    aside: Aside,
    losses: Ints,
    reached: Ints,
    best: Ints,
    rebuilds: int,
    heat: float,
    draw: np.random.Generator,
) -> None:
    """So many rebuilds at a heat: what may typically be lost more, for each batch of the best.

    `losses` holds each product's loss, `reached` REACHED, ..., and `best` the batches of the best.
    """
    launched, stocked, now = aside.launched, aside.stocked, aside.losses
    for _ in range(rebuilds):
        if not reached[LOST] or not state.counts[SIZE]:
            return
        write(launched, state.launched)
        write(stocked, state.stocked)
        rebuild(facts, state, short, draw)
        lost = settled(facts, state, losses, now)
        value = lost + facts.worth * state.counts[MISSING]
        # 1 - random() is never 0, so that its logarithm exists.
        allowed = -heat * reached[LOST] / max(1, reached[BATCHES]) * log(1 - draw.random())
        if value > reached[REACHED] + allowed:
            take_back(facts, state)
            write(state.launched, launched)
            write(state.stocked, stocked)
            continue
        keep(state)
        write(losses, now)
        reached[REACHED] = value
        if value < reached[LEAST]:
            size = state.counts[SIZE]
            reached[LEAST], reached[LOST], reached[BATCHES] = value, lost, size
            for place in range(size):
                for part in range(best.shape[1]):
                    best[place, part] = state.batches[place, part]
