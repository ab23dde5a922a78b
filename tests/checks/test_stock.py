"""What lies on the shelf and what is on its way."""

from datetime import date
from decimal import Decimal

from planner.checks.stock import (
    check_open_order_dates,
    check_stock_dates,
    check_use_by,
    check_use_by_given,
)
from planner.tables.values import StockStatus
from tests.checks.good import GOOD, changed, errors, only, warnings


def test_a_lot_was_received_by_today() -> None:
    assert errors(check_stock_dates, changed("stock", 0, received=date(2026, 8, 31))) == []
    assert errors(check_stock_dates, changed("stock", 0, received=date(2026, 9, 1))) == [
        ("stock", 2, "received")
    ]


def test_a_lot_is_not_used_up_before_it_is_received() -> None:
    assert errors(check_stock_dates, changed("stock", 0, use_by=date(2026, 3, 1))) == []
    assert errors(check_stock_dates, changed("stock", 0, use_by=date(2026, 2, 28))) == [
        ("stock", 2, "use_by")
    ]


def test_a_lot_past_its_use_by_date() -> None:
    assert warnings(check_use_by, changed("stock", 0, use_by=date(2026, 8, 31))) == []
    past = changed("stock", 0, use_by=date(2026, 8, 30))
    assert warnings(check_use_by, past) == [("stock", 2, "use_by")]
    assert "waste" in only(check_use_by, past).expected
    assert warnings(check_use_by, changed("stock", 0, past, quantity=Decimal(0))) == []


def test_a_lot_released_after_its_use_by_date() -> None:
    # Received on Monday, released on the next working day, Wednesday.
    assert warnings(check_use_by, changed("stock", 1, use_by=date(2026, 9, 2))) == []
    late = changed("stock", 1, use_by=date(2026, 9, 1))
    assert warnings(check_use_by, late) == [("stock", 3, "use_by")]
    assert "Wed 2 Sep 2026" in only(check_use_by, late).found
    assert warnings(check_use_by, changed("stock", 1, late, status=StockStatus.FREE)) == []


def test_quarantine_without_a_date_begins_today() -> None:
    tables = changed("stock", 1, use_by=date(2026, 9, 1), received=None)
    assert warnings(check_use_by, tables) == [("stock", 3, "use_by")]


def test_what_keeps_for_a_time_has_a_use_by_date() -> None:
    assert warnings(check_use_by_given, changed("stock", 2, use_by=None)) == [
        ("stock", 4, "use_by")
    ]
    assert warnings(check_use_by_given, changed("stock", 2, item="rose", use_by=None)) == []
    assert warnings(check_use_by_given, changed("stock", 2, item="glycerite", use_by=None)) == [
        ("stock", 4, "use_by")
    ]
    empty = changed("stock", 2, use_by=None, quantity=Decimal(0))
    assert warnings(check_use_by_given, empty) == []
    assert warnings(check_use_by_given, GOOD) == []


def test_an_open_order_is_expected_after_it_was_placed() -> None:
    same_day = changed("open_orders", 0, ordered=date(2026, 8, 31), expected=date(2026, 8, 31))
    assert errors(check_open_order_dates, same_day) == []
    assert errors(
        check_open_order_dates, changed("open_orders", 0, expected=date(2026, 8, 19))
    ) == [("open_orders", 2, "expected")]


def test_an_open_order_was_placed_by_today() -> None:
    assert warnings(
        check_open_order_dates, changed("open_orders", 0, ordered=date(2026, 9, 1))
    ) == [("open_orders", 2, "ordered")]


def test_an_overdue_order() -> None:
    assert (
        warnings(check_open_order_dates, changed("open_orders", 0, expected=date(2026, 8, 31)))
        == []
    )
    assert warnings(
        check_open_order_dates, changed("open_orders", 0, expected=date(2026, 8, 30))
    ) == [("open_orders", 2, "expected")]


def test_an_open_order_after_the_plan() -> None:
    assert (
        warnings(check_open_order_dates, changed("open_orders", 0, expected=date(2026, 10, 29)))
        == []
    )
    assert warnings(
        check_open_order_dates, changed("open_orders", 0, expected=date(2026, 10, 30))
    ) == [("open_orders", 2, "expected")]
