from planner.draft.offers import dearest_line, last_use, line_price, possible_deliveries
from planner.workshop import Supplier
from tests.draft.pieces import offer, selling


def test_all_packs_of_a_line_cost_the_price_of_the_highest_step_reached() -> None:
    stepped = offer("box", 100, [(1, 50), (10, 40)])
    assert [line_price(stepped, packs) for packs in (0, 1, 9, 10, 11)] == [0, 50, 450, 400, 440]


def test_a_line_just_below_a_price_step_can_be_worth_more_than_on_it() -> None:
    assert dearest_line(offer("box", 100, [(1, 50), (10, 40)], max_packs=10)) == 450
    assert dearest_line(offer("box", 100, [(1, 50), (10, 40)], max_packs=12)) == 480
    assert dearest_line(offer("box", 100, 50)) is None


def test_a_day_that_cannot_reach_the_minimum_order_delivers_nothing() -> None:
    few = offer("few", 100, 500, max_packs=2)
    just = {"shop": Supplier(id="shop", minimum_order=1000)}
    over = {"shop": Supplier(id="shop", minimum_order=1001)}
    assert possible_deliveries(selling(few, suppliers=just))["few"]
    assert not possible_deliveries(selling(few, suppliers=over))["few"]
    # with another offer without limit on the same day it can
    more = offer("more", 100, 500)
    assert possible_deliveries(selling(few, more, suppliers=over))["few"]


def test_shelf_life_counts_from_arrival_and_must_outlast_the_release() -> None:
    brief = offer("brief", 100, 500, shelf_life_days=3)
    delivery = brief.deliveries[0]  # ordered on day 0, arrives on 1, usable from 2
    assert last_use(brief, delivery, 30) == 4
    assert last_use(offer("long", 100, 500), delivery, 30) == 29
    gone = offer("gone", 100, 500, shelf_life_days=0)
    assert not possible_deliveries(selling(gone))["gone"]
