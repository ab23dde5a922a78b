"""What a state loses is what the list scheduler counts for the same bars."""

from random import Random

import numpy as np
import pytest

from planner.anneal.annealing import settled
from planner.anneal.state import SIZE, drop, put
from planner.draft.offers import Span
from planner.draft.selling import sell
from tests.anneal.pieces import BOTTLENECKS, Both, both, lasting, scarce
from tests.demo import demo_workshop
from tests.workshops import Bottleneck


def spans(one: Both) -> dict[str, list[Span]]:
    """Opening stock, and the bars of the state's batches."""
    found = {name: list(asking.opening) for name, asking in one.scheduler.start.askings.items()}
    for job, pour, pack in one.state.batches[: one.state.counts[SIZE]].tolist():
        made = one.jobs[job]
        found[made.product.id].append(made.bars(pour, pack, one.days))
    return found


def changed(one: Both, draw: Random) -> None:
    """Some batches less and some more, whether they fit or not."""
    for _ in range(draw.randrange(1, 12)):
        if draw.random() < 0.6 and one.state.counts[SIZE]:
            drop(one.facts, one.state, draw.randrange(int(one.state.counts[SIZE])))
        else:
            job, pour = draw.randrange(len(one.jobs)), draw.randrange(one.days)
            cured = int(one.facts.steps[job, pour, 1])
            if cured < one.days - 1:
                put(one.facts, one.state, job, pour, draw.randrange(cured, one.days - 1))


def agrees(one: Both, draw: Random) -> None:
    losses = np.zeros(len(one.products), np.int64)
    now = losses.copy()
    one.state.dirty[:] = 1
    for _ in range(6):
        total = settled(one.facts, one.state, losses, now)
        sold = sell(one.scheduler.start.askings, spans(one))
        wanted = [sold.losses[product] for product in one.products]
        assert now.tolist() == wanted
        assert total == sum(wanted)
        days = [None if day < 0 else day for day in one.state.launched.tolist()]
        assert days == [sold.promises[name] for name in one.scheduler.start.launch_days]
        losses[:] = now
        one.state.dirty[:] = 0
        changed(one, draw)


@pytest.mark.slow
@pytest.mark.parametrize("bottleneck", BOTTLENECKS)
@pytest.mark.parametrize("seed", range(4))
def test_losses_and_launches_are_those_of_the_list_scheduler(
    seed: int, bottleneck: Bottleneck
) -> None:
    """Also where only the products are counted anew whose bars have changed."""
    agrees(both(lasting(scarce(seed, bottleneck, days=90))), Random(seed))


@pytest.mark.parametrize("seed", range(3))
def test_the_same_in_the_demo_workshop(seed: int) -> None:
    agrees(both(lasting(demo_workshop())), Random(seed))
