"""How many batches a pool of trays can take: own derivation, the textbook argument of a pool."""

import pytest

from planner.plan import Plan, Status
from planner.planning import make_plan
from planner.replay import replay
from planner.settings import Settings
from planner.solver.stages import Limits, Stages
from tests.known.pools import Pool, pool_workshop

LIMITS = Limits(work=5, seconds=60, seed=1, workers=1)

# (C trays, u per batch, held L days, T start days) -> most batches, and with one a day at the most.
POOLS = [
    ((240, 48, 28, 60), 15, 14),
    ((10, 3, 4, 11), 9, 9),
    ((8, 1, 3, 10), 32, 10),
    ((7, 7, 5, 12), 3, 3),
    ((12, 5, 1, 6), 12, 6),
    ((20, 4, 10, 7), 5, 5),
    ((18, 6, 21, 90), 15, 15),
    ((9, 2, 6, 19), 16, 13),
    ((6, 6, 4, 8), 2, 2),
    ((6, 6, 4, 9), 3, 3),
    ((5, 6, 3, 9), 0, 0),
]
ALL = [
    (Pool(trays=c, per_batch=u, held=days, starts=t, one_a_day=one), (most, most_one)[one])
    for (c, u, days, t), most, most_one in POOLS
    for one in (False, True)
]


@pytest.mark.parametrize(("pool", "most"), ALL)
def test_the_numbers_follow_from_the_derivation(pool: Pool, most: int) -> None:
    assert pool.most == most


@pytest.mark.parametrize(("pool", "most"), ALL)
def test_the_proven_service_is_all_that_the_pool_can_take(pool: Pool, most: int) -> None:
    workshop = pool_workshop(pool)
    answer = Stages(workshop).service(Plan(), LIMITS)
    account = replay(workshop, answer.plan)
    missing = 3 * pool.per_batch
    assert account.certified, account.broken
    assert account.service[0].served == most * pool.per_batch
    assert answer.stage.status is Status.OPTIMAL
    assert answer.stage.bound == answer.stage.value == account.money.service
    assert account.money.service == missing * workshop.demand[0].weight


@pytest.mark.slow
@pytest.mark.parametrize(("pool", "most"), ALL[:2])
def test_the_whole_plan_keeps_all_of_it(pool: Pool, most: int) -> None:
    plan, account = make_plan(pool_workshop(pool), Settings(work=2, seconds=60))
    service = plan.stages[0]
    assert account.certified, account.broken
    assert account.service[0].served == most * pool.per_batch
    assert service.goal == "service"
    assert service.bound == service.value == account.money.service
    for stage in plan.stages:
        assert stage.bound <= stage.value
