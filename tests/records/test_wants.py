"""Records of what is wanted, with the loss that a late or missing bar counts for."""

from datetime import date
from decimal import Decimal

from planner.tables.rows import (
    DemandRow,
    Tables,
)
from planner.workshop import (
    Budget,
    Demand,
    DemandKind,
)
from tests.checks.good import GOOD, added, changed
from tests.records.built import built


def demand(name: str, tables: Tables = GOOD) -> Demand:
    return {row.id: row for row in built(tables).demand}[name]


def test_loss_weights_by_hand() -> None:
    """In thousandths of a cent: a mint bar costs 12.50, wholesale 6.25, a rose bar 10.00."""
    shop, inn = demand("shop"), demand("inn")
    assert (shop.weight, shop.unmet) == (1_250_000, 0), "each bar lost"
    assert (inn.weight, inn.unmet) == (300_000, 15_000_000), "2 % of 24 x 6.25 for each late day"
    opening, shelf = demand("opening"), demand("shelf")
    assert (opening.weight, opening.unmet) == (30_000_000, 30_000_000), "all of 30 x 10.00"
    assert (shelf.weight, shelf.unmet) == (12_500, 0), "1 % of the price for each bar and day"


def test_importance_of_product_and_row() -> None:
    tables = changed("products", 0, importance=Decimal("1.5"))
    tables = changed("demand", 3, tables, importance=Decimal(2))
    assert demand("shop", tables).weight == 1_875_000
    assert demand("inn", tables).weight == 900_000
    assert demand("inn", tables).importance == 3


def test_weights_are_rounded_half_up() -> None:
    tables = changed("demand", 0, importance=Decimal("0.0000004"))
    assert demand("shop", tables).weight == 1, "half a thousandth of a cent"
    tables = changed("demand", 0, importance=Decimal("0.00000039"))
    assert demand("shop", tables).weight == 0


def test_costs_of_late_orders_and_launches() -> None:
    tables = changed(
        "workshop",
        0,
        late_percent=Decimal(5),
        launch_percent=Decimal(250),
        restock_percent=Decimal("0.5"),
    )
    assert demand("inn", tables).weight == 750_000
    assert demand("opening", tables).weight == 75_000_000
    assert demand("shelf", tables).weight == 6_250
    assert demand("shop", tables).weight == 1_250_000


def test_an_order_without_a_wholesale_price_is_worth_the_retail_price() -> None:
    assert demand("inn", changed("products", 0, wholesale_price=None)).unmet == 30_000_000
    assert demand("inn", changed("products", 0, wholesale_price=Decimal(0))).unmet == 0


def test_days_of_demand() -> None:
    assert (demand("shop").day, demand("shop").last_day) == (0, None)
    assert (demand("shelf").day, demand("shelf").last_day) == (1, 20)
    began = changed("demand", 0, day=date(2026, 8, 1))
    assert demand("shop", began).day == -30
    late = changed("demand", 3, day=date(2026, 8, 29))
    assert demand("inn", late).day == -2
    lasting = changed("demand", 4, last_day=date(2026, 10, 29))
    assert demand("shelf", lasting).last_day == 59
    assert demand("shelf", changed("demand", 4, last_day=date(2026, 10, 30))).last_day is None


def test_launches_and_names() -> None:
    opening = demand("opening")
    assert (opening.kind, opening.launch, opening.day) == (DemandKind.LAUNCH, "Roses", 30)
    assert demand("inn").customer == "the inn"
    assert demand("shop", changed("demand", 0, launch="Roses")).launch == ""


def launch_of_mint(day: date) -> Tables:
    return added(
        "demand",
        DemandRow(
            demand="second",
            kind=DemandKind.LAUNCH,
            product="mint",
            quantity=5,
            day=day,
            launch="Roses",
        ),
    )


def test_all_rows_of_a_launch_have_its_latest_day() -> None:
    tables = launch_of_mint(date(2026, 10, 5))
    assert demand("opening", tables).day == demand("second", tables).day == 35


def test_other_rows_with_the_name_of_a_launch_do_not_move_it() -> None:
    tables = changed("demand", 2, launch="Roses", day=date(2026, 10, 10))
    assert demand("opening", tables).day == 30


def test_demand_after_the_plan_is_left_out() -> None:
    def ids(tables: Tables) -> list[str]:
        return [row.id for row in built(tables).demand]

    assert ids(GOOD) == ["shop", "opening", "rose shop", "inn", "shelf"]
    assert "inn" in ids(changed("demand", 3, day=date(2026, 10, 29)))
    assert "inn" not in ids(changed("demand", 3, day=date(2026, 10, 30)))
    late_launch = changed("demand", 1, day=date(2026, 10, 30))
    assert ids(late_launch) == ["shop", "inn", "shelf"], "nor is rose sold before its launch"
    assert ids(launch_of_mint(date(2026, 10, 30))) == ["inn", "shelf"]
    assert "shop" not in ids(changed("demand", 0, day=date(2026, 8, 1), last_day=date(2026, 8, 30)))


def test_rows_of_no_bars_are_left_out_but_a_launch_says_when_retail_begins() -> None:
    empty = changed("demand", 3, changed("demand", 1, quantity=0), quantity=0)
    assert [row.id for row in built(empty).demand] == ["shop", "opening", "rose shop", "shelf"]


def test_budgets() -> None:
    assert built().budgets == (Budget(month="2026-09", first=1, last=30, amount=90_000),)
