from dataclasses import replace

from planner.draft.asking import askings_of
from planner.draft.needs import Need, ProductNeed, launch_days_of
from planner.workshop import Demand, DemandKind, Lot
from tests.draft.pieces import span
from tests.workshop_parts import demand_row
from tests.workshops import tiny

BAR = tiny().products["bar"]


def need_of(*rows: Demand, stock: int = 0) -> ProductNeed:
    lots = (Lot(item="bar", lot="a", amount=stock),) if stock else ()
    askings = askings_of(tiny(demand=rows, lots=lots))
    return ProductNeed(askings["bar"], launch_days_of(askings))


def next_need(product: ProductNeed) -> Need:
    need = product.next()
    assert need is not None
    return need


def test_the_due_day_is_the_first_on_which_a_sale_would_be_lost() -> None:
    product = need_of(demand_row(BAR, DemandKind.RETAIL, 7, 10), stock=3)
    need = next_need(product)
    # bars of days 10, 11 and 12 are there; 17 days of the plan are left
    assert (need.due, need.wanted(need.due, 29)) == (13, 17)
    assert need.wanted(20, 29) == 10
    assert need.value(13, 5) == 5 * 1_000_000
    product.add(span(13, 29, 10))
    assert next_need(product).due == 23
    product.add(span(20, 29, 10))
    assert product.next() is None


def test_lost_sales_are_not_made_up() -> None:
    product = need_of(demand_row(BAR, DemandKind.RETAIL, 7, 10))
    product.slip(next_need(product), 20)
    need = next_need(product)
    assert (need.due, need.wanted(20, 29)) == (20, 10)


def test_an_order_waits_while_retail_is_lost() -> None:
    product = need_of(
        demand_row(BAR, DemandKind.ORDER, 6, 5), demand_row(BAR, DemandKind.RETAIL, 7, 0)
    )
    need = next_need(product)
    assert (need.due, product.waiting(need, 8)) == (0, 6)
    product.slip(need, 8)
    # on day 8 six bars for the order and one for retail
    assert next_need(product).lost[8] == 7


def test_a_launch_wants_its_stock_on_its_day_and_takes_none() -> None:
    launch = demand_row(BAR, DemandKind.LAUNCH, 12, 9, launch="new")
    product = need_of(launch, demand_row(BAR, DemandKind.RETAIL, 7, 0))
    need = next_need(product)
    # nothing sells before day 9; then the stock serves 12 of the 21 bars asked for
    assert (need.due, need.below[9], int(need.lost.sum())) == (9, 11, 21)
    product.add(span(9, 29, 12))
    assert next_need(product).due == 21
    assert product.launch_days == {"new": 9}


def test_a_launch_that_slips_takes_the_retail_sale_with_it() -> None:
    launch = demand_row(BAR, DemandKind.LAUNCH, 12, 9, launch="new")
    product = need_of(launch, demand_row(BAR, DemandKind.RETAIL, 7, 0))
    assert product.slip(next_need(product), 15) == ["new"]
    assert product.launch_days == {"new": 15}
    assert int(next_need(product).lost.sum()) == 15


def test_a_restock_level_is_to_be_kept_from_its_day_on() -> None:
    row = replace(demand_row(BAR, DemandKind.RESTOCK, 5, 8), weight=3)
    product = need_of(row, stock=2)
    need = next_need(product)
    assert (need.due, need.wanted(8, 29)) == (8, 3)
    assert need.value(28, 2) == 2 * 2 * 3


def test_an_overdue_order_is_due_at_once() -> None:
    assert next_need(need_of(demand_row(BAR, DemandKind.ORDER, 6, -5))).due == 0
