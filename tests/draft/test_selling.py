from dataclasses import replace

import pytest

from planner.draft.asking import askings_of
from planner.draft.choice import bars_by_product
from planner.draft.draft import ListScheduler
from planner.draft.offers import Span
from planner.draft.selling import Sold, loss_of, sell
from planner.draft.writing import batches_of, lots_of
from planner.plan import Plan, Promise
from planner.replay import replay
from planner.workshop import Demand, DemandKind
from tests.draft.pieces import span
from tests.workshop_parts import demand_row
from tests.workshops import Bottleneck, random_workshop, tiny

BAR = tiny().products["bar"]
LOST = 1_000_000  # a bar of 10.00 in thousandths of a cent


def sold(bars: list[Span], *rows: Demand) -> Sold:
    return sell(askings_of(tiny(demand=rows)), {"bar": bars})


def test_retail_sells_what_is_there() -> None:
    retail = demand_row(BAR, DemandKind.RETAIL, 7, 20)
    assert sold([span(0, 29, 10)], retail).loss == 0
    assert sold([span(22, 29, 10)], retail).loss == 2 * LOST
    assert sold([span(0, 29, 4)], retail).loss == 6 * LOST


def test_an_order_leaves_whole_and_retail_leaves_it_its_bars() -> None:
    order = demand_row(BAR, DemandKind.ORDER, 6, 25)
    result = sold([span(0, 29, 10)], demand_row(BAR, DemandKind.RETAIL, 7, 20), order)
    # retail may take 4 of its 10; all 10 are there but 6 are kept
    assert (result.promises[order.id], result.loss) == (25, 6 * LOST)


def test_an_order_that_waits_for_bars_costs_something_each_day() -> None:
    order = demand_row(BAR, DemandKind.ORDER, 6, 20)
    result = sold([span(0, 29, 4), span(23, 29, 4)], order)
    assert (result.promises[order.id], result.loss) == (23, 3 * order.weight)
    never = sold([span(0, 29, 4)], order)
    assert (never.promises[order.id], never.loss) == (None, 10 * order.weight + order.unmet)


def test_a_launch_needs_all_its_rows_and_starts_the_retail_sale() -> None:
    launch = demand_row(BAR, DemandKind.LAUNCH, 8, 10, launch="new")
    retail = demand_row(BAR, DemandKind.RETAIL, 7, 10)
    result = sold([span(0, 29, 4), span(15, 29, 30)], launch, retail)
    assert result.promises["new"] == 15
    assert result.loss == 5 * launch.weight + 5 * LOST


def test_a_launch_never_met_loses_all_retail() -> None:
    launch = demand_row(BAR, DemandKind.LAUNCH, 8, 10, launch="new")
    result = sold([span(0, 29, 7)], launch, demand_row(BAR, DemandKind.RETAIL, 7, 10))
    assert result.promises["new"] is None
    assert result.loss == 20 * launch.weight + launch.unmet + 20 * LOST


def test_bars_that_expire_cannot_be_promised() -> None:
    order = demand_row(BAR, DemandKind.ORDER, 6, 12)
    result = sold([span(0, 10, 6), span(14, 29, 6)], order)
    assert result.promises[order.id] == 14


def test_the_loss_of_one_product_with_launches_kept() -> None:
    launch = demand_row(BAR, DemandKind.LAUNCH, 8, 10, launch="new")
    asking = askings_of(tiny(demand=(launch,)))["bar"]
    assert loss_of(asking, [span(0, 29, 8)], {"new": 10}) == 0
    assert loss_of(asking, [span(0, 29, 7)], {"new": 10}) is None


def test_other_bars_of_one_product_move_a_launch_of_two() -> None:
    """What is known of the second product does not hold: it is launched and sold later now."""
    second = replace(BAR, id="second")
    launches = [
        demand_row(product, DemandKind.LAUNCH, 8, 10, launch="new") for product in (BAR, second)
    ]
    retail = demand_row(second, DemandKind.RETAIL, 7, 10)
    workshop = tiny(products={"bar": BAR, "second": second}, demand=(*launches, retail))
    askings = askings_of(workshop)
    early = {"bar": [span(0, 29, 8)], "second": [span(0, 29, 40)]}
    late = {**early, "bar": [span(15, 29, 8)]}
    known = sell(askings, early)
    result = sell(askings, late, known)
    assert (known.promises, known.loss) == ({"new": 10}, 0)
    assert result.promises == {"new": 15}
    assert result.losses == sell(askings, late).losses
    assert result.losses["second"] == 5 * launches[1].weight + 5 * LOST


def test_what_is_known_of_the_same_bars_is_not_counted_again() -> None:
    retail = demand_row(BAR, DemandKind.RETAIL, 7, 20)
    askings, bars = askings_of(tiny(demand=(retail,))), {"bar": [span(22, 29, 10)]}
    pretended = Sold(promises={}, losses={"bar": 7}, bars=bars)
    assert sell(askings, {"bar": [*bars["bar"]]}, pretended).loss == 7
    assert sell(askings, {"bar": [span(21, 29, 10)]}, pretended).loss == LOST


@pytest.mark.slow
@pytest.mark.parametrize("bottleneck", ["trays", "moulds", "hands", "drum"])
@pytest.mark.parametrize("seed", [0, 4])
def test_the_replay_finds_the_same_loss_and_the_same_promises(
    bottleneck: Bottleneck, seed: int
) -> None:
    workshop = random_workshop(seed=seed, products=4, days=75, bottleneck=bottleneck)
    scheduler = ListScheduler(workshop)
    scheduler.improve(rebuilds=3)
    start, choice = scheduler.start, scheduler.best
    result = sell(start.askings, bars_by_product(start, choice.schedule))
    promises = tuple(
        Promise(demand=name, day=day) for name, day in result.promises.items() if day is not None
    )
    batches = (*start.standing, *batches_of(choice.schedule))
    plan = Plan(
        batches=batches, preparations=lots_of(choice.schedule), promises=tuple(sorted(promises))
    )
    account = replay(workshop, plan)
    assert account.money.service == result.loss
    assert "promise" not in [fault.rule for fault in account.broken]
