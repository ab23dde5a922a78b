"""Orders leave whole, launches move as one, the shop sells what is spare, levels are kept.

In `every_day` ten bars poured on day 0 are packed on 6 and can leave from day 7 on. A late day of
an order for them loses 2 % of 100.00, a bar the shop cannot sell 10.00, a late day of a launch the
whole value of its stock, a bar missing below a level 1 % of 10.00 each day.
"""

from dataclasses import replace

import pytest

from planner.plan import Plan, Promise
from planner.workshop import Demand, DemandKind, Lot, Workshop
from tests.replay.plans import batch
from tests.solver.rows import refused_by
from tests.solver.solving import BAR, LATE_DAY, bar, every_day, least_loss
from tests.workshop_parts import demand_row

LEVEL = 10_000
"""A bar and day below a level."""

NOT_MET = 20 * LATE_DAY + 10 * BAR
"""An order for ten bars, due on day 0, that the 20 days do not see."""


def order(quantity: int = 10, day: int = 0, **more: object) -> Demand:
    return demand_row(bar(), DemandKind.ORDER, quantity, day, **more)


def retail(quantity: int = 7, day: int = 0, **more: object) -> Demand:
    return demand_row(bar(), DemandKind.RETAIL, quantity, day, **more)


def launch(quantity: int = 10, day: int = 0, **more: object) -> Demand:
    return demand_row(bar(), DemandKind.LAUNCH, quantity, day, launch="spring", **more)


def level(quantity: int, day: int = 0, **more: object) -> Demand:
    return demand_row(bar(), DemandKind.RESTOCK, quantity, day, **more)


def bars(amount: int, **more: object) -> Lot:
    return Lot(**{"item": "bar", "lot": f"bar {more}", "amount": amount, **more})  # type: ignore[arg-type]


def selling(*demand: Demand, lots: tuple[Lot, ...] = (), batches: int = 10) -> Workshop:
    """Base for so many batches, some bars, some demand."""
    base = replace(every_day().lots[0], amount=1_000_000 * batches)
    return every_day(lots=(base, *lots), demand=demand)


def stocked(*demand: Demand, lots: tuple[Lot, ...]) -> Workshop:
    """Nothing can be made: only what is there can be sold."""
    return selling(*demand, lots=lots, batches=0)


def promising(**days: int) -> tuple[Promise, ...]:
    return tuple(Promise(demand=name, day=day) for name, day in days.items())


# Orders


def test_an_order_leaves_when_all_its_bars_are_there() -> None:
    """Six bars in stock, ten wanted: it waits for the batch of day 7 and then leaves whole."""
    assert least_loss(selling(order(), lots=(bars(6),))) == 7 * LATE_DAY


def test_an_order_does_not_leave_before_its_day() -> None:
    workshop = stocked(order(day=5, id="A"), lots=(bars(10),))
    assert refused_by(workshop, Plan(promises=promising(A=5))) == []
    assert refused_by(workshop, Plan(promises=promising(A=4))) != []
    assert least_loss(workshop) == 0


def test_an_overdue_order_is_late_from_its_own_day() -> None:
    assert least_loss(stocked(order(day=-3), lots=(bars(10),))) == 3 * LATE_DAY


def test_an_order_that_is_never_met_loses_its_value_too() -> None:
    assert least_loss(stocked(order(), lots=(bars(9),))) == NOT_MET


def test_the_order_that_weighs_more_leaves_first() -> None:
    """Bars for one of two on day 7: the heavier leaves then, the other never."""
    heavy = replace(order(), id="heavy", weight=2 * LATE_DAY)
    assert least_loss(selling(order(), heavy, batches=1)) == 7 * 2 * LATE_DAY + NOT_MET


def test_bars_leave_the_day_after_they_are_packed() -> None:
    workshop = selling(order(id="A"))
    made = (batch(pack=6),)
    assert refused_by(workshop, Plan(batches=made, promises=promising(A=7))) == []
    too_soon = Plan(batches=made, promises=promising(A=6))
    assert refused_by(workshop, too_soon) == ["bars of bar for orders"]


# Launches


def test_a_launch_slips_until_its_stock_is_there() -> None:
    """Seven days at 100.00 each."""
    assert least_loss(selling(launch())) == 7 * 10 * BAR


def test_a_launch_takes_no_stock() -> None:
    """Ten bars for the launch of day 0 then serve the shop for ten days."""
    workshop = stocked(launch(), retail(day=0, last_day=9), lots=(bars(10),))
    assert least_loss(workshop) == 0


def test_all_rows_of_a_launch_move_together() -> None:
    """The puck is there on day 0, the bar on day 7: both rows are seven days late."""
    puck = bar(id="puck")
    workshop = replace(
        selling(launch(), lots=(Lot(item="puck", lot="puck-1", amount=10),)),
        products={"bar": bar(), "puck": puck},
    )
    rows = (launch(), demand_row(puck, DemandKind.LAUNCH, 10, 0, launch="spring"))
    assert least_loss(replace(workshop, demand=rows)) == 2 * 7 * 10 * BAR


def test_orders_of_the_day_leave_before_a_launch_is_judged() -> None:
    """Ten bars in stock, an order for four, a launch of ten on the same day: one of them waits.

    The order waits a day (2 % of 40.00); the launch would wait for the next batch.
    """
    four = order(4)
    assert least_loss(stocked(launch(), four, lots=(bars(10),))) == four.weight
    assert least_loss(stocked(launch(6), four, lots=(bars(10),))) == 0


def test_the_shop_sells_nothing_before_the_launch() -> None:
    """One bar a day from day 0, ten bars for the launch of day 7: seven bars are lost."""
    workshop = selling(launch(day=7), retail(), lots=(bars(3),))
    assert least_loss(workshop) == 7 * BAR


def test_the_shop_sells_on_the_day_of_the_launch() -> None:
    workshop = stocked(launch(day=3), retail(day=3, last_day=3), lots=(bars(10),))
    assert least_loss(workshop) == 0


def test_a_launch_that_never_happens_opens_no_shop() -> None:
    """Late for 20 days and never met; all 20 bars asked for are lost, though nine are there."""
    workshop = stocked(launch(), retail(), lots=(bars(9),))
    assert least_loss(workshop) == 20 * 10 * BAR + 10 * BAR + 20 * BAR


# The shop


def test_what_is_asked_before_bars_come_is_lost() -> None:
    """One bar a day: those of days 0 to 6 are lost, never made up."""
    assert least_loss(selling(retail())) == 7 * BAR


def test_one_batch_serves_ten_days() -> None:
    """Days 7 to 16 are served, 0 to 6 and 17 to 19 not."""
    assert least_loss(selling(retail(), batches=1)) == 10 * BAR


@pytest.mark.parametrize(("last", "lost"), [(6, 7), (8, 7), (0, 1), (None, 7)])
def test_a_row_ends_on_its_last_day(last: int | None, lost: int) -> None:
    assert least_loss(selling(retail(last_day=last))) == lost * BAR


@pytest.mark.parametrize(("first", "asked"), [(0, 1), (-1, 2), (-4, 1)])
def test_weeks_count_from_the_first_day_of_a_row(first: int, asked: int) -> None:
    """Two bars a week fall on days 3 and 6 of the row's week: on days 0 to 5 so many."""
    row = retail(2, first, last_day=5)
    assert least_loss(stocked(row, lots=())) == asked * BAR


def test_the_shop_refuses_no_bar_to_spare_it_for_a_dearer_row() -> None:
    """Ten bars, two rows of a bar a day each for a week: sold out after five days, two lost each.

    To keep bars for the row that weighs twice as much would lose only four light ones.
    """
    light = retail(last_day=6, id="light")
    heavy = replace(light, id="heavy", weight=2 * BAR)
    assert least_loss(stocked(light, heavy, lots=(bars(10),))) == 2 * BAR + 2 * 2 * BAR


def test_of_two_rows_on_one_day_the_dearer_is_served() -> None:
    """Five bars, two asked on each of five days: one each day goes to the dearer row."""
    light = retail(last_day=4, id="light")
    heavy = replace(light, id="heavy", weight=2 * BAR)
    one_a_day = tuple(bars(1, usable=day, lot=f"lot {day}") for day in range(5))
    assert least_loss(stocked(light, heavy, lots=one_a_day)) == 5 * BAR


def test_an_order_that_is_kept_holds_bars_back_from_the_shop() -> None:
    """Ten bars, one a day asked for ten days, an order of ten on day 10 at the same price.

    Kept, it costs the shop ten bars; not kept, ten late days and its value.
    """
    workshop = stocked(order(day=10), retail(last_day=9), lots=(bars(10),))
    assert least_loss(workshop) == 10 * BAR


def test_only_so_many_bars_are_held_back_as_are_needed() -> None:
    """A batch of ten comes on day 7, before the order of ten on day 10: the shop sells on."""
    workshop = selling(order(day=10), retail(last_day=6), lots=(bars(7),), batches=1)
    assert least_loss(workshop) == 0


def test_an_order_that_can_leave_is_not_kept_waiting() -> None:
    """Ten bars are there for an order of ten, due on 2; one bar fewer, and it may wait."""
    row, shop = order(day=2, id="A"), retail(day=10)
    late = Plan(promises=promising(A=8))
    assert refused_by(stocked(row, shop, lots=(bars(10),)), late) == ["order A leaves"]
    nine = (bars(9), bars(1, usable=8))
    assert refused_by(stocked(row, shop, lots=nine), late) == []


# Use-by dates of bars


def test_bars_can_be_sold_up_to_their_date() -> None:
    """Seven bars good to day 4: five are sold, two spoil, and three days sell nothing."""
    workshop = stocked(retail(last_day=7), lots=(bars(7, use_by=4),))
    assert least_loss(workshop) == 3 * BAR


def test_bars_that_expire_first_leave_first() -> None:
    """Five bars good to day 4 are sold on days 0 to 4, the others on 5 to 9."""
    workshop = stocked(retail(last_day=9), lots=(bars(5), bars(5, use_by=4)))
    assert least_loss(workshop) == 0


def test_bars_keep_from_the_day_they_were_poured() -> None:
    """One batch, good for nine days: poured on 0 it is sold on 7 to 9, on 1 on 8 to 10, of 7 to 10.

    Good for ten days it is sold on all four.
    """
    workshop = selling(retail(day=7, last_day=10), batches=1)
    assert least_loss(replace(workshop, products={"bar": bar(shelf_life_days=9)})) == BAR
    assert least_loss(replace(workshop, products={"bar": bar(shelf_life_days=10)})) == 0


def test_spoiled_bars_meet_no_order() -> None:
    early, late = order(day=4), order(day=5)
    assert least_loss(stocked(early, lots=(bars(10, use_by=4),))) == 0
    assert least_loss(stocked(late, lots=(bars(10, use_by=4),))) == NOT_MET - 5 * LATE_DAY


# Levels


def test_each_bar_and_day_below_a_level_counts() -> None:
    """Five bars are missing on days 0 to 6."""
    assert least_loss(selling(level(5))) == 7 * 5 * LEVEL


def test_a_level_is_read_after_the_days_sales() -> None:
    """Ten bars, one sold a day: 9, 8, 7, 6, 5 are left; three days are below eight, by 1, 2, 3."""
    workshop = stocked(retail(last_day=4), level(8, last_day=4), lots=(bars(10),))
    assert least_loss(workshop) == (1 + 2 + 3) * LEVEL


def test_spoiled_bars_keep_no_level() -> None:
    """Good to day 2: missing on the 17 days after it."""
    assert least_loss(stocked(level(5), lots=(bars(5, use_by=2),))) == 17 * 5 * LEVEL


# More launches of one product


def test_the_first_launch_opens_the_shop_and_a_later_one_holds_bars_back() -> None:
    """Ten bars serve two launches, on day 0 and 12, but the shop only from day 12 on."""
    autumn = replace(launch(day=12), id="autumn", launch="autumn")
    workshop = stocked(launch(), autumn, retail(), lots=(bars(10),))
    assert least_loss(workshop) == 12 * BAR


def test_bars_that_come_before_the_second_launch_free_the_shop() -> None:
    """A batch comes on day 7: the ten bars in stock are sold from day 0 on, one a day."""
    autumn = replace(launch(day=10), id="autumn", launch="autumn")
    workshop = selling(launch(), autumn, retail(last_day=9), lots=(bars(10),), batches=1)
    assert least_loss(workshop) == 0
