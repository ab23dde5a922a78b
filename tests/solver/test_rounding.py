"""Batches from a relaxation: its own where it is whole, else those of its alpha points, by hand."""

from collections.abc import Mapping

import numpy as np
import pytest

from planner.plan import Batch
from planner.solver.exchange import batches_of
from planner.solver.rounding import ALPHAS, rounded
from planner.workshop import DemandKind
from tests.solver.pools import service_task, small_workshop
from tests.solver.solving import bar, every_day
from tests.workshop_parts import demand_row

WANTED = (demand_row(bar(), DemandKind.RETAIL, 7, 8),)


def followed(pours: Mapping[int, float], packs: Mapping[int, float]) -> list[tuple[Batch, ...]]:
    """What a relaxation rounds to whose counts of the only product are such from these days on."""
    task = service_task(every_day(demand=WANTED))
    variables = task.model.variables
    ((key, poured),) = variables.poured.items()
    values = np.zeros(len(task.hint))
    for staircase, heights in ((poured, pours), (variables.packed[key], packs)):
        for step, day in zip(staircase.steps, staircase.days, strict=True):
            reached = [height for first, height in heights.items() if first <= day]
            values[step.index] = reached[-1] if reached else 0.0
    return rounded(variables, values)


@pytest.mark.parametrize("seed", range(4))
def test_whole_values_round_to_their_own_batches(seed: int) -> None:
    task = service_task(small_workshop(seed))
    values = np.array([task.hint[column] for column in range(len(task.hint))], float)
    own = tuple(batches_of(task.model.variables, task.hint.__getitem__))
    assert own
    assert rounded(task.model.variables, values) == [own] * len(ALPHAS)


def test_a_batch_begins_where_the_relaxation_is_far_enough() -> None:
    """1.4 batches, from day 0 on 0.2, from day 1 on 0.6, from day 2 on 1.4; packed from day 6 on.

    At k - 0.1 the first is there on day 2, at k - 0.5 on day 1, at k - 0.9 on day 0 and a second,
    which 1.1 make, on day 2.
    """
    found = followed(pours={0: 0.2, 1: 0.6, 2: 1.4}, packs={6: 0.2, 7: 0.6, 8: 1.4})
    assert [[batch.pour for batch in batches] for batches in found] == [
        [2],
        [2],
        [1],
        [1, 2],
        [0, 2],
    ]
    assert [[batch.pack for batch in batches] for batches in found] == [
        [8],
        [8],
        [7],
        [7, 8],
        [6, 8],
    ]


def test_what_is_poured_and_not_packed_is_no_batch() -> None:
    assert followed(pours={0: 1.0}, packs={}) == [()] * len(ALPHAS)


def test_a_relaxation_that_is_not_exact_still_rounds_to_batches() -> None:
    """It falls below nothing and below what it was: a batch that was poured stays poured."""
    falling = followed(pours={0: -1.2, 1: 1.0, 2: 0.2, 3: 1.0}, packs={7: 1.0, 8: -0.3, 9: 1.0})
    for batches in falling:
        assert [(batch.pour, batch.pack) for batch in batches] == [(1, 7)]
