"""Pieces for the tests of the annealing: states of random workshops, and their list schedulers."""

from dataclasses import dataclass, replace

import numpy as np

from planner.anneal.facts import Facts, Ints
from planner.anneal.openings import find_openings
from planner.anneal.state import State, keep, put, state_of
from planner.anneal.tables import facts_of, places_of
from planner.draft.bench import Bench
from planner.draft.draft import ListScheduler
from planner.draft.jobs import Job
from planner.draft.keeping import NOTHING, Kept
from planner.workshop import Workshop
from tests.workshops import Bottleneck, random_workshop

BOTTLENECKS: tuple[Bottleneck, ...] = ("trays", "moulds", "hands", "drum")


@dataclass(frozen=True, kw_only=True)
class Both:
    """One schedule twice: on the list scheduler's bench, and as a state."""

    scheduler: ListScheduler
    bench: Bench
    facts: Facts
    jobs: list[Job]
    state: State

    @property
    def days(self) -> int:
        """The plan's length."""
        return self.scheduler.workshop.days

    @property
    def products(self) -> list[str]:
        """The products in the order of the state."""
        return list(self.scheduler.start.products)


def both(workshop: Workshop, made: bool = True, rebuilds: int = 5, kept: Kept = NOTHING) -> Both:
    """The best schedule after a few rebuilds; its lots of preparations are there if `made`."""
    scheduler = ListScheduler(workshop)
    scheduler.improve(rebuilds)
    bench = scheduler.bench(with_lots=made)
    facts, jobs, free, arrived = facts_of(
        scheduler.start, bench, made=made, rules=scheduler.rules, kept=kept
    )
    state = state_of(facts, free, arrived, 500)
    places = places_of(jobs)
    for one in scheduler.best.schedule.placed:
        job = places[one.job.product.id, one.job.recipe.bars]
        put(facts, state, job, one.pour, one.pack)
    keep(state)
    whole = scheduler.best.schedule.bench
    return Both(scheduler=scheduler, bench=whole, facts=facts, jobs=jobs, state=state)


def scarce(seed: int, bottleneck: Bottleneck = "hands", days: int = 75) -> Workshop:
    """A random workshop that has to lose something."""
    return random_workshop(seed, products=4, days=days, bottleneck=bottleneck)


def without_preparations(workshop: Workshop) -> Workshop:
    """The workshop, in which no formula has a preparation any more."""
    products = {
        name: replace(
            product,
            formula=tuple(part for part in product.formula if part.item in workshop.materials),
        )
        for name, product in workshop.products.items()
    }
    return replace(workshop, products=products)


def lasting(workshop: Workshop) -> Workshop:
    """The workshop, in which bars and lots never expire."""
    products = {
        name: replace(product, shelf_life_days=None) for name, product in workshop.products.items()
    }
    preparations = {
        name: replace(preparation, shelf_life_days=None)
        for name, preparation in workshop.preparations.items()
    }
    lots = tuple(replace(lot, use_by=None) for lot in workshop.lots)
    return replace(workshop, products=products, preparations=preparations, lots=lots)


def pack_day(facts: Facts, state: State, job: int, pour: int) -> int:
    """The first day on which a batch poured on a day can be packed; -1 if it does not fit."""
    find_openings(facts, state, job)
    return int(state.openings[job, pour])


def copied(state: State) -> dict[str, Ints]:
    """All that tells what a state is: batches in any order, and what follows from them."""
    size = state.counts[0]
    rows = state.batches[:size]
    return {
        "batches": rows[np.lexsort(rows.T)].copy(),
        "free": state.free.copy(),
        "arrived": state.arrived.copy(),
        "poured": state.poured.copy(),
        "counts": state.counts[[0, 2]].copy(),
    }


def same(one: dict[str, Ints], other: dict[str, Ints]) -> bool:
    """True if both tell the same."""
    return all(np.array_equal(one[name], other[name]) for name in one)
