"""What is under way: its facts, and whether the workshop can hold it."""

from datetime import date
from decimal import Decimal

from planner.checks.under_way import (
    check_equipment_under_way,
    check_under_way_dates,
    check_under_way_fields,
    check_under_way_life,
    check_unmoulding_under_way,
)
from planner.tables.rows import InProgressRow, Tables
from planner.tables.values import Weekday
from tests.checks.good import GOOD, TODAY, added, changed, errors, warnings, without


def test_a_row_is_a_batch_or_a_lot_of_a_preparation() -> None:
    both = changed("in_progress", 0, preparation="glycerite")
    assert errors(check_under_way_fields, both) == [("in_progress", 2, "product")]
    neither = changed("in_progress", 0, product=None)
    assert errors(check_under_way_fields, neither) == [("in_progress", 2, "product")]
    assert errors(check_under_way_fields, GOOD) == []


def test_a_batch_has_bars_and_a_preparation_a_quantity() -> None:
    assert errors(check_under_way_fields, changed("in_progress", 0, bars=None)) == [
        ("in_progress", 2, "bars")
    ]
    assert errors(check_under_way_fields, changed("in_progress", 0, quantity=Decimal(9))) == [
        ("in_progress", 2, "quantity")
    ]
    assert errors(check_under_way_fields, changed("in_progress", 2, quantity=None)) == [
        ("in_progress", 4, "quantity")
    ]
    assert errors(check_under_way_fields, changed("in_progress", 2, bars=9)) == [
        ("in_progress", 4, "bars")
    ]


def test_a_preparation_comes_out_of_no_mould() -> None:
    tables = changed("in_progress", 2, unmoulded=date(2026, 8, 21))
    assert warnings(check_under_way_fields, tables) == [("in_progress", 4, "unmoulded")]


def test_poured_by_yesterday() -> None:
    yesterday = changed("in_progress", 1, poured=date(2026, 8, 30))
    assert errors(check_under_way_dates, yesterday) == []
    assert warnings(check_under_way_dates, changed("in_progress", 1, poured=TODAY)) == [
        ("in_progress", 3, "poured")
    ]
    assert errors(check_under_way_dates, changed("in_progress", 1, poured=date(2026, 9, 1))) == [
        ("in_progress", 3, "poured")
    ]


def test_unmoulded_between_pouring_and_today() -> None:
    def unmoulded(day: date) -> Tables:
        return changed("in_progress", 0, unmoulded=day)

    assert errors(check_under_way_dates, unmoulded(date(2026, 8, 24))) == []
    assert errors(check_under_way_dates, unmoulded(date(2026, 8, 31))) == []
    for day in (date(2026, 8, 23), date(2026, 9, 1)):
        assert errors(check_under_way_dates, unmoulded(day)) == [("in_progress", 2, "unmoulded")]


def test_under_way_past_its_shelf_life() -> None:
    # Glycerite made on 20 August is 11 days old.
    assert warnings(check_under_way_life, changed("preparations", 0, shelf_life_days=11)) == []
    assert warnings(check_under_way_life, changed("preparations", 0, shelf_life_days=10)) == [
        ("in_progress", 4, "poured")
    ]
    assert warnings(check_under_way_life, changed("products", 0, shelf_life_days=6)) == [
        ("in_progress", 2, "poured")
    ]


def test_trays_held_under_way() -> None:
    # M2 holds 6 of 12 trays until its cure ends on 8 September, M3 takes 3 from today on.
    assert errors(check_equipment_under_way, changed("trays", 0, count=9)) == []
    assert errors(check_equipment_under_way, changed("trays", 0, count=8)) == [
        ("in_progress", 3, "bars")
    ]


def test_trays_are_free_on_the_first_possible_pack_day() -> None:
    # M2 is cured today; today is a working day, so its trays are free for M3.
    cured = changed("in_progress", 0, unmoulded=date(2026, 8, 17), poured=date(2026, 8, 16))
    assert errors(check_equipment_under_way, changed("trays", 0, cured, count=3)) == []
    not_yet = changed("in_progress", 0, cured, unmoulded=date(2026, 8, 18))
    assert errors(check_equipment_under_way, changed("trays", 0, not_yet, count=8)) == [
        ("in_progress", 3, "bars")
    ]


def test_trays_are_held_from_the_day_of_unmoulding() -> None:
    # M3 is unmoulded today, M2 is cured tomorrow; somebody works on Tuesdays.
    tables = changed("in_progress", 0, changed("hands", 1, weekday=Weekday.TUESDAY))
    tables = changed("in_progress", 0, tables, unmoulded=date(2026, 8, 18))
    assert errors(check_equipment_under_way, changed("trays", 0, tables, count=9)) == []
    assert errors(check_equipment_under_way, changed("trays", 0, tables, count=8)) == [
        ("in_progress", 3, "bars")
    ]


def in_moulds(poured: date = date(2026, 8, 31)) -> Tables:
    """M3 with 48 bars in 4 moulds, and M4 with 48 more."""
    tables = changed("in_progress", 1, poured=poured)
    return added(
        "in_progress", InProgressRow(lot="M4", product="mint", bars=48, poured=poured), tables
    )


def test_moulds_and_places_held_under_way() -> None:
    assert errors(check_equipment_under_way, in_moulds()) == []
    assert errors(check_equipment_under_way, changed("moulds", 0, in_moulds(), count=7)) == [
        ("in_progress", 5, "unmoulded")
    ]
    assert errors(check_equipment_under_way, changed("places", 0, in_moulds(), moulds=7)) == [
        ("in_progress", 5, "unmoulded")
    ]


def test_moulds_that_are_emptied_on_the_first_day_are_free() -> None:
    tables = changed("moulds", 0, in_moulds(date(2026, 8, 30)), count=1)
    assert errors(check_equipment_under_way, tables) == []


def test_a_batch_that_needs_no_night_in_the_mould_is_out_of_it() -> None:
    tables = changed("moulds", 0, changed("products", 0, in_moulds(), set_days=0), count=1)
    assert errors(check_equipment_under_way, tables) == []


def test_hands_for_unmoulding_under_way() -> None:
    # Both are unmoulded today; Ada has 300 minutes.
    yesterday = in_moulds(date(2026, 8, 30))
    assert (
        errors(check_unmoulding_under_way, changed("products", 0, yesterday, unmould_minutes=150))
        == []
    )
    assert errors(
        check_unmoulding_under_way, changed("products", 0, yesterday, unmould_minutes=151)
    ) == [("in_progress", 5, "unmoulded")]


def test_a_batch_without_packaging_holds_its_trays_to_the_end() -> None:
    """No box for M2: its 6 trays and the 3 of M3 are short from the day M3 is unmoulded."""
    boxless = changed("trays", 0, without("offers", 4), count=8)
    later = changed(
        "in_progress", 0, boxless, unmoulded=date(2026, 8, 17), poured=date(2026, 8, 16)
    )
    assert errors(check_equipment_under_way, later) == []
    none_there = changed("stock", 3, later, quantity=Decimal(0))
    assert errors(check_equipment_under_way, none_there) == [("in_progress", 3, "bars")]
