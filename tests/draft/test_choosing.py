from dataclasses import replace

import pytest

from planner.draft.choosing import best_schedule, judged
from planner.draft.ranking import due_day
from planner.draft.schedule import Pass, start_of
from planner.workshop import DemandKind
from tests.draft.test_preparing import preparation, workshop_with
from tests.workshop_parts import demand_row
from tests.workshops import Bottleneck, random_workshop, tiny

BAR = tiny().products["bar"]


@pytest.mark.parametrize("bottleneck", ["trays", "hands"])
def test_more_tries_never_lose_more(bottleneck: Bottleneck) -> None:
    workshop = random_workshop(seed=3, products=4, days=90, bottleneck=bottleneck)
    start = start_of(workshop)
    first = judged(start, Pass(start).run(due_day)).sold.loss
    few, many = (best_schedule(start, rebuilds=tries).sold.loss for tries in (0, 30))
    assert first >= few > many > 0


def test_nothing_more_is_tried_once_nothing_is_lost() -> None:
    start = start_of(random_workshop(seed=3, products=4, days=90))
    assert best_schedule(start, rebuilds=10**9).sold.loss == 0


def test_a_batch_without_which_nothing_more_is_lost_is_dropped() -> None:
    # no plan can serve the 25 bars of the order, so no batch is of use
    order = demand_row(BAR, DemandKind.ORDER, 25, 28)
    workshop = tiny(demand=(order,), offers={})
    start = start_of(workshop)
    assert Pass(start).run(due_day).placed
    choice = best_schedule(start)
    assert choice.schedule.placed == ()
    assert choice.sold.promises[order.id] is None


def test_a_dropped_batch_takes_its_preparations_with_it() -> None:
    order = demand_row(BAR, DemandKind.ORDER, 25, 28)
    workshop = workshop_with(preparation("oil", "plant", 3)).changed(demand=(order,), offers={})
    choice = best_schedule(start_of(workshop))
    assert choice.schedule.placed == ()
    assert not any(choice.schedule.bench.lots.values())
    kept = replace(order, quantity=10)
    assert any(
        best_schedule(start_of(workshop.changed(demand=(kept,)))).schedule.bench.lots.values()
    )
