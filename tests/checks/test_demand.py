"""What is wanted: fields that belong to a kind, and days that fit the plan."""

from datetime import date
from typing import Any

import pytest

from planner.checks.demand import (
    check_demand_days,
    check_demand_fields,
    check_demand_quantities,
    check_launch_days,
    check_launch_products,
    check_past_demand,
    check_retail_before_launch,
)
from planner.tables.rows import DemandRow, Tables
from planner.tables.values import Per
from planner.workshop import DemandKind
from tests.checks.good import GOOD, added, changed, errors, only, warnings

RETAIL, LAUNCH, ORDER, RESTOCK = 0, 1, 3, 4  # places of these kinds in the good table
LAST_DAY = date(2026, 10, 29)
BEYOND = date(2026, 10, 30)


def test_retail_is_per_week() -> None:
    assert errors(check_demand_fields, changed("demand", RETAIL, per=None)) == [
        ("demand", 2, "per")
    ]
    assert errors(check_demand_fields, GOOD) == []


@pytest.mark.parametrize(
    ("index", "cells"),
    [
        (LAUNCH, {"per": Per.WEEK}),
        (ORDER, {"per": Per.WEEK}),
        (RESTOCK, {"per": Per.WEEK}),
        (LAUNCH, {"last_day": LAST_DAY}),
        (ORDER, {"last_day": LAST_DAY}),
        (LAUNCH, {"launch": None}),
    ],
)
def test_fields_that_do_not_belong_or_are_missing(index: int, cells: dict[str, Any]) -> None:
    tables = changed("demand", index, **cells)
    assert errors(check_demand_fields, tables) == [("demand", index + 2, next(iter(cells)))]


@pytest.mark.parametrize("index", [RETAIL, RESTOCK])
def test_a_last_day_belongs_to_retail_and_restock(index: int) -> None:
    assert errors(check_demand_fields, changed("demand", index, last_day=LAST_DAY)) == []


@pytest.mark.parametrize("index", [RETAIL, ORDER, RESTOCK])
def test_a_launch_name_belongs_to_launches(index: int) -> None:
    tables = changed("demand", index, launch="Roses")
    assert warnings(check_demand_fields, tables) == [("demand", index + 2, "launch")]


def test_a_row_ends_no_earlier_than_it_begins() -> None:
    assert errors(check_demand_days, changed("demand", RESTOCK, last_day=date(2026, 9, 1))) == []
    assert errors(check_demand_days, changed("demand", RESTOCK, last_day=date(2026, 8, 31))) == [
        ("demand", 6, "last_day")
    ]


def test_a_row_that_is_over() -> None:
    past = changed("demand", RETAIL, day=date(2026, 8, 1))
    assert (
        warnings(check_demand_days, changed("demand", RETAIL, past, last_day=date(2026, 8, 31)))
        == []
    )
    assert warnings(
        check_demand_days, changed("demand", RETAIL, past, last_day=date(2026, 8, 30))
    ) == [("demand", 2, "last_day")]


@pytest.mark.parametrize("index", [RETAIL, ORDER])
def test_demand_after_the_plan(index: int) -> None:
    assert warnings(check_demand_days, changed("demand", index, day=LAST_DAY)) == []
    assert warnings(check_demand_days, changed("demand", index, day=BEYOND)) == [
        ("demand", index + 2, "day")
    ]


def test_retail_of_a_launch_after_the_plan_is_after_it_too() -> None:
    tables = changed("demand", LAUNCH, day=BEYOND)
    assert warnings(check_demand_days, tables) == [("demand", 3, "day"), ("demand", 4, "day")]


def launch_row(product: str, day: date, launch: str = "Roses") -> DemandRow:
    return DemandRow(
        demand=f"{launch} {product}",
        kind=DemandKind.LAUNCH,
        product=product,
        quantity=5,
        day=day,
        launch=launch,
    )


def test_a_launch_is_as_late_as_its_latest_row() -> None:
    tables = added("demand", launch_row("mint", BEYOND))
    found = warnings(check_demand_days, tables)
    assert ("demand", 3, "day") in found
    assert ("demand", 7, "day") in found


def test_a_launch_in_the_past() -> None:
    assert errors(check_past_demand, changed("demand", LAUNCH, day=date(2026, 8, 31))) == []
    assert errors(check_past_demand, changed("demand", LAUNCH, day=date(2026, 8, 30))) == [
        ("demand", 3, "day")
    ]


def test_an_overdue_order() -> None:
    assert warnings(check_past_demand, changed("demand", ORDER, day=date(2026, 8, 31))) == []
    overdue = changed("demand", ORDER, day=date(2026, 8, 30))
    assert warnings(check_past_demand, overdue) == [("demand", 5, "day")]
    assert "1 day late" in only(check_past_demand, overdue).expected


@pytest.mark.parametrize("index", [RETAIL, RESTOCK])
def test_what_lasts_may_have_begun(index: int) -> None:
    assert warnings(check_past_demand, changed("demand", index, day=date(2026, 1, 1))) == []


def test_a_row_that_asks_for_nothing() -> None:
    assert warnings(check_demand_quantities, changed("demand", ORDER, quantity=0)) == [
        ("demand", 5, "quantity")
    ]
    assert warnings(check_demand_quantities, changed("demand", ORDER, quantity=1)) == []


def test_rows_of_a_launch_on_different_days() -> None:
    same = added("demand", launch_row("mint", date(2026, 9, 30)))
    assert warnings(check_launch_days, same) == []
    later = added("demand", launch_row("mint", date(2026, 10, 1)))
    assert warnings(check_launch_days, later) == [("demand", 3, "day")], "the earlier one is told"
    other = added("demand", launch_row("mint", date(2026, 10, 1), "Mints"))
    assert warnings(check_launch_days, other) == []


def test_two_rows_of_a_product_in_a_launch() -> None:
    twice = added("demand", launch_row("rose", date(2026, 9, 30)))
    assert warnings(check_launch_products, twice) == [("demand", 7, "product")]
    other = added("demand", launch_row("rose", date(2026, 9, 30), "Again"))
    assert warnings(check_launch_products, other) == []
    retail = changed("demand", 2, launch="Roses")
    assert warnings(check_launch_products, retail) == [], "only launches are launched"
    nameless = changed("demand", 5, changed("demand", 1, twice, launch=None), launch=None)
    assert warnings(check_launch_products, nameless) == [], "these are told to have no name"


def retail_from(day: date) -> Tables:
    return changed("demand", 2, day=day)


def test_retail_before_the_launch() -> None:
    assert warnings(check_retail_before_launch, retail_from(date(2026, 9, 30))) == []
    assert warnings(check_retail_before_launch, retail_from(date(2026, 9, 29))) == [
        ("demand", 4, "day")
    ]


def test_retail_before_the_first_of_two_launches_is_told() -> None:
    earlier = added("demand", launch_row("rose", date(2026, 9, 10), "Preview"))
    assert warnings(check_retail_before_launch, earlier) == []
    early_retail = changed("demand", 2, earlier, day=date(2026, 9, 9))
    assert warnings(check_retail_before_launch, early_retail) == [("demand", 4, "day")]
