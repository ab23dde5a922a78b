"""Batches under way are cured within the plan and can be packed, or stay on their trays."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from planner.checks.packing import check_packaging_under_way, check_packing_under_way
from planner.tables.rows import ClosureRow, OpenOrderRow, StockRow, Tables
from planner.tables.values import StockStatus, Weekday
from tests.checks.good import added, changed, only, warnings, without


def test_hands_for_packing_under_way() -> None:
    # M2 with 96 bars can be packed from Saturday 12 September on; later days have 300 minutes.
    tables = changed("products", 0, pack_minutes_per_bar=Decimal("3.125"))
    assert warnings(check_packing_under_way, tables) == []
    tables = changed("products", 0, pack_minutes_per_bar=Decimal("3.126"))
    assert warnings(check_packing_under_way, tables) == [("in_progress", 2, "bars")]
    assert "Sat 12 Sep 2026" in only(check_packing_under_way, tables).expected
    uncured = changed("products", 0, tables, cure_days=80)
    assert warnings(check_packing_under_way, uncured) == []


def boxes(there: int) -> Tables:
    """No offer of boxes that can be ordered, and so many there.

    M2 takes 93 for its sound bars, M3 46.
    """
    return changed("stock", 3, without("offers", 4), quantity=Decimal(there))


def test_packaging_for_what_is_under_way() -> None:
    assert warnings(check_packaging_under_way, boxes(139)) == []
    assert warnings(check_packaging_under_way, boxes(138)) == [("in_progress", 3, "product")]
    assert warnings(check_packaging_under_way, boxes(92)) == [
        ("in_progress", 2, "product"),
        ("in_progress", 3, "product"),
    ]
    assert "139 ea needed" in only(check_packaging_under_way, boxes(138)).found


def test_packaging_on_offer_or_on_its_way() -> None:
    assert warnings(check_packaging_under_way, changed("stock", 3, quantity=Decimal(0))) == []
    late = changed("offers", 4, boxes_offered_late(), lead_days=300)
    assert warnings(check_packaging_under_way, late) == [("in_progress", 3, "product")]
    order = OpenOrderRow(
        reference="O2",
        supplier="Print",
        material="box",
        quantity=Decimal(1),
        unit="ea",
        expected=date(2026, 9, 20),
    )
    assert warnings(check_packaging_under_way, added("open_orders", order, boxes(138))) == []
    after_plan = replace(order, expected=date(2026, 10, 28))  # released the working day after
    found = warnings(check_packaging_under_way, added("open_orders", after_plan, boxes(138)))
    assert found == [("in_progress", 3, "product")]
    in_time = replace(order, expected=date(2026, 10, 26))
    assert warnings(check_packaging_under_way, added("open_orders", in_time, boxes(138))) == []
    blocked = changed("stock", 3, boxes(139), status=StockStatus.BLOCKED)
    assert len(warnings(check_packaging_under_way, blocked)) == 2


def test_packaging_that_spoils_before_a_batch_is_cured() -> None:
    """M2 can be packed from Saturday 12 September on, M3 from Monday 14 on."""

    def short(there: int, use_by: date) -> list[int]:
        tables = changed("stock", 3, boxes(there), use_by=use_by)
        return [row for _, row, _ in warnings(check_packaging_under_way, tables)]

    assert short(139, date(2026, 9, 14)) == []
    assert short(139, date(2026, 9, 13)) == [3]
    assert short(139, date(2026, 9, 11)) == [2, 3]
    more = StockRow(item="box", lot="B2", quantity=Decimal(46))
    spoils = changed("stock", 3, added("stock", more, boxes(93)), use_by=date(2026, 9, 12))
    assert warnings(check_packaging_under_way, spoils) == []


def test_packaging_that_comes_after_the_last_working_day() -> None:
    """Print delivers 21 days from now, and nobody works after 14 September."""
    offered = changed("stock", 3, quantity=Decimal(0))
    assert warnings(check_packaging_under_way, offered) == []
    closed = ClosureRow(who="workshop", first_day=date(2026, 9, 15), last_day=date(2026, 12, 31))
    found = warnings(check_packaging_under_way, added("closures", closed, offered))
    assert found == [("in_progress", 2, "product"), ("in_progress", 3, "product")]


def boxes_offered_late() -> Tables:
    return changed("stock", 3, quantity=Decimal(138))


def test_a_batch_that_is_not_cured_within_the_plan_needs_no_packaging() -> None:
    tables = changed("products", 0, boxes(0), cure_days=80)
    assert warnings(check_packaging_under_way, tables) == []
    # Unmoulded on day 2, cured on day 60: a Friday, the first day after the plan.
    fridays = changed("hands", 0, boxes(0), weekday=Weekday.FRIDAY)
    fridays = without("in_progress", 0, tables=changed("products", 0, fridays, cure_days=58))
    assert warnings(check_packaging_under_way, fridays) == []
    earlier = changed("products", 0, fridays, cure_days=50)
    assert warnings(check_packaging_under_way, earlier) == [("in_progress", 3, "product")]
