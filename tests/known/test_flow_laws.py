"""Laws of flow on solved plans: Hopp and Spearman, Factory Physics, chapter 7.

Little's law, WIP = throughput x cycle time, holds exactly over days 0 .. H-1 if everything that
comes within them also goes within them: both sides are then the same sum, taken day by day or
piece by piece.
"""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from functools import cache

import pytest

from planner.account import Account, Load
from planner.draft.draft import draft
from planner.plan import Plan
from planner.replay import earliest_promises, replay
from planner.solver.stages import Limits, Stages
from planner.workshop import Workshop
from tests.known.pools import Pool, pool_workshop
from tests.workshops import random_workshop, tiny

LIMITS = Limits(work=0.3, seconds=60, seed=1, workers=1)

WORKSHOPS: dict[str, Callable[[], Workshop]] = {
    "tiny": tiny,
    "pool": lambda: pool_workshop(Pool(trays=18, per_batch=6, held=21, starts=60)),
    "random 3": lambda: random_workshop(3, products=2, days=50),
    "scarce trays": lambda: random_workshop(5, products=2, days=40, bottleneck="trays"),
}


@cache
def solved(name: str) -> tuple[Workshop, Account]:
    workshop = WORKSHOPS[name]()
    plan = Stages(workshop).service_with_purchases(draft(workshop), LIMITS).plan
    account = replay(workshop, replace(plan, promises=earliest_promises(workshop, plan)))
    assert account.certified, account.broken
    return workshop, account


def trays_of(account: Account) -> Load:
    return next(load for load in account.loads if load.kind == "tray")


def stays_on_trays(workshop: Workshop, account: Account) -> list[tuple[int, int]]:
    """(trays, days within the plan) of each batch: from its unmould day up to its pack day."""
    stays = []
    for batch in account.batches:
        end = workshop.days if batch.pack is None else batch.pack
        stays.append((batch.trays, max(0, end - max(0, batch.unmould))))
    return stays


@pytest.mark.slow
# Hopp and Spearman, Factory Physics, chapter 7: Little's law, in exact finite-horizon form.
@pytest.mark.parametrize("name", WORKSHOPS)
def test_littles_law_of_trays(name: str) -> None:
    workshop, account = solved(name)
    stays = stays_on_trays(workshop, account)
    trays = sum(count for count, _ in stays)
    assert trays > 0
    in_process = Fraction(sum(trays_of(account).used), workshop.days)
    throughput = Fraction(trays, workshop.days)
    cycle_time = Fraction(sum(count * days for count, days in stays), trays)
    assert in_process == throughput * cycle_time


# Hopp and Spearman, Factory Physics, chapter 7: Little's law on stock that waits to be used. Day by
# day it is what is on hand at the end of each day; piece by piece, what waited from the day on
# which it came to the day on which a batch, a customer or its use-by date took it, or to the end.
@pytest.mark.parametrize("name", WORKSHOPS)
def test_littles_law_of_stock(name: str) -> None:
    workshop, account = solved(name)
    for item, flow in account.flows.items():
        pieces = [(lot.amount, 0) for lot in workshop.lots if lot.item == item and not lot.usable]
        pieces += [(amount, day) for day, amount in enumerate(flow.arrived)]
        pieces += [(-peg.amount, peg.day) for peg in account.pegs if peg.item == item]
        pieces += [(-lot.amount, lot.day) for lot in account.waste if lot.item == item]
        waited = sum(amount * (workshop.days - day) for amount, day in pieces)
        assert sum(flow.on_hand) == waited, item


# Hopp and Spearman, Factory Physics, chapter 7, Penny Fab One: four stations of two hours each,
# bottleneck rate 1/2 an hour, raw process time 8 hours. Best-case throughput with w pennies in
# process: min(w / 8, 1 / 2) an hour. Here two hours are a day, a penny is a batch that lies on
# trays for four days, w is how many batches the trays hold, and one batch a day can be started.
@pytest.mark.parametrize(
    ("pennies", "an_hour"),
    [
        (1, Fraction(1, 8)),
        (2, Fraction(1, 4)),
        (3, Fraction(3, 8)),
        (4, Fraction(1, 2)),
        (6, Fraction(1, 2)),
    ],
)
def test_best_case_of_penny_fab_one(pennies: int, an_hour: Fraction) -> None:
    pool = Pool(trays=3 * pennies, per_batch=3, held=4, starts=20, one_a_day=True)
    workshop = pool_workshop(pool)
    limits = Limits(work=5, seconds=60, seed=1, workers=1)
    answer = Stages(workshop).service(Plan(), limits)
    account = replay(workshop, answer.plan)
    assert account.certified, account.broken
    assert answer.stage.bound == answer.stage.value
    batches = Fraction(account.service[0].served, pool.per_batch)
    assert batches / (2 * pool.starts) == an_hour


# Hopp and Spearman, Factory Physics, chapter 7: throughput is at most WIP / raw process time. Of
# trays: no plan puts more on them than the trays there are, times the days, over the cure.
@pytest.mark.parametrize("name", WORKSHOPS)
def test_throughput_stays_below_trays_over_cure(name: str) -> None:
    workshop, account = solved(name)
    tray = trays_of(account)
    cured = sum(
        batch.trays * workshop.products[batch.product].cure_days
        for batch in account.batches
        if batch.pack is not None and not batch.in_progress
    )
    assert cured <= sum(tray.used) <= sum(tray.capacity)
