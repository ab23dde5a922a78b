"""Products and preparations: times, prices and percentages that cannot work."""

from decimal import Decimal

import pytest

from planner.checks.products import (
    check_cure_fits_plan,
    check_hands_for_preparations,
    check_importance,
    check_percentages,
    check_preparation_life,
    check_preparation_vessels,
    check_prices,
    check_shelf_life_of_products,
)
from planner.workshop import Unit
from tests.checks.good import GOOD, changed, errors, warnings


def test_setting_and_cure_fit_into_the_plan() -> None:
    assert errors(check_cure_fits_plan, changed("products", 0, cure_days=58)) == []
    assert errors(check_cure_fits_plan, changed("products", 0, cure_days=59)) == [
        ("products", 2, "cure_days")
    ]
    assert errors(check_cure_fits_plan, changed("products", 0, set_days=46)) == [
        ("products", 2, "cure_days")
    ]


def test_a_bar_can_be_sold_after_its_cure() -> None:
    assert errors(check_shelf_life_of_products, changed("products", 0, shelf_life_days=16)) == []
    assert errors(check_shelf_life_of_products, changed("products", 0, shelf_life_days=15)) == [
        ("products", 2, "shelf_life_days")
    ]


def test_wholesale_is_no_dearer_than_retail() -> None:
    dearer = changed("products", 0, wholesale_price=Decimal("12.51"))
    assert warnings(check_prices, dearer) == [("products", 2, "wholesale_price")]
    assert warnings(check_prices, changed("products", 0, wholesale_price=Decimal("12.5"))) == []


def test_a_bar_costs_something() -> None:
    assert warnings(check_prices, changed("products", 1, price=Decimal(0))) == [
        ("products", 3, "price")
    ]
    assert warnings(check_prices, changed("products", 1, price=Decimal("0.01"))) == []


@pytest.mark.parametrize("table", ["products", "demand"])
def test_weight_zero(table: str) -> None:
    zero = changed(table, 1, importance=Decimal(0))
    assert warnings(check_importance, zero) == [(table, 3, "importance")]
    assert warnings(check_importance, changed(table, 1, importance=Decimal("0.1"))) == []


@pytest.mark.parametrize("column", ["loss_percent", "reject_percent"])
def test_percentages_that_look_like_parts_of_one(column: str) -> None:
    part = changed("products", 0, **{column: Decimal("0.02")})
    assert warnings(check_percentages, part) == [("products", 2, column)]
    assert warnings(check_percentages, changed("products", 0, **{column: Decimal("0.2")})) == []
    assert warnings(check_percentages, changed("products", 0, **{column: Decimal(0)})) == []


def test_yields_that_look_like_parts_of_one() -> None:
    assert warnings(check_percentages, changed("preparations", 0, yield_percent=Decimal(1))) == [
        ("preparations", 2, "yield_percent")
    ]
    assert warnings(check_percentages, changed("preparations", 0, yield_percent=Decimal(2))) == []


def test_a_preparation_is_ready_before_it_is_used_up() -> None:
    assert errors(check_preparation_life, changed("preparations", 0, shelf_life_days=14)) == []
    assert errors(check_preparation_life, changed("preparations", 0, shelf_life_days=13)) == [
        ("preparations", 2, "shelf_life_days")
    ]
    assert errors(check_preparation_life, changed("preparations", 0, shelf_life_days=None)) == []


def test_a_preparation_is_ready_before_the_plan_ends() -> None:
    assert warnings(check_preparation_life, changed("preparations", 0, ready_days=59)) == []
    assert warnings(check_preparation_life, changed("preparations", 0, ready_days=60)) == [
        ("preparations", 2, "ready_days")
    ]


def test_a_preparation_fits_into_its_vessel() -> None:
    full = changed("preparations", 0, batch_size=Decimal(8200))
    assert errors(check_preparation_vessels, full) == []
    over = changed("preparations", 0, batch_size=Decimal("8200.001"))
    assert errors(check_preparation_vessels, over) == [("preparations", 2, "batch_size")]


def test_a_preparation_in_ml_is_weighed_by_its_density() -> None:
    # 7,454 ml x 1.1 g/ml = 8,199.4 g; 7,455 ml weigh 8,200.5 g.
    fits = changed("preparations", 1, vessel="pot", batch_size=Decimal(7454))
    assert errors(check_preparation_vessels, fits) == []
    over = changed("preparations", 1, vessel="pot", batch_size=Decimal(7455))
    assert errors(check_preparation_vessels, over) == [("preparations", 3, "batch_size")]


def test_vessels_and_units_that_others_refuse_are_passed_over() -> None:
    huge = changed("preparations", 0, batch_size=Decimal(99999))
    assert errors(check_preparation_vessels, changed("preparations", 0, huge, vessel="?")) == []
    pieces = changed("preparations", 0, huge, unit=Unit.PIECE)
    assert errors(check_preparation_vessels, pieces) == []
    no_density = changed("preparations", 0, huge, unit=Unit.MILLILITRE)
    assert errors(check_preparation_vessels, no_density) == []


def test_vessel_minutes_of_a_preparation() -> None:
    assert errors(check_preparation_vessels, changed("preparations", 0, vessel_minutes=400)) == []
    too_long = changed("preparations", 0, vessel_minutes=401)
    assert errors(check_preparation_vessels, too_long) == [("preparations", 2, "vessel_minutes")]


def test_vessel_minutes_without_a_vessel() -> None:
    tables = changed("preparations", 1, vessel_minutes=10)
    assert warnings(check_preparation_vessels, tables) == [("preparations", 3, "vessel_minutes")]
    assert warnings(check_preparation_vessels, GOOD) == []


def test_hands_for_a_preparation() -> None:
    assert errors(check_hands_for_preparations, changed("preparations", 0, make_minutes=300)) == []
    assert errors(check_hands_for_preparations, changed("preparations", 0, make_minutes=301)) == [
        ("preparations", 2, "make_minutes")
    ]
