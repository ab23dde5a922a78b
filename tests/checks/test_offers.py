"""What suppliers offer: packs, prices, and days on which they can be had."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from planner.checks.offers import (
    check_materials_can_be_had,
    check_minimum_orders,
    check_offer_lead_days,
    check_offer_rows_agree,
    check_offer_windows,
    check_offers_can_be_used,
    check_pack_bounds,
    check_price_steps,
    check_shelf_life_of_offers,
    check_supplier_terms,
    check_unit_prices,
)
from planner.tables.rows import ClosureRow, OfferRow, StockRow
from planner.tables.values import StockStatus, Weekday, YearlyDay
from tests.checks.good import GOOD, added, changed, errors, only, warnings, without


def test_a_late_delivery_of_a_supplier_is_no_sooner_than_a_usual_one() -> None:
    assert errors(check_supplier_terms, changed("suppliers", 0, lead_days_late=8)) == []
    assert errors(check_supplier_terms, changed("suppliers", 0, lead_days_late=7)) == [
        ("suppliers", 2, "lead_days_late")
    ]
    assert errors(check_supplier_terms, changed("suppliers", 0, lead_days_late=None)) == []


def test_a_supplier_has_an_order_day() -> None:
    assert errors(check_supplier_terms, changed("suppliers", 1, order_days=())) == [
        ("suppliers", 3, "order_days")
    ]
    assert errors(check_supplier_terms, changed("suppliers", 1, order_days=(Weekday.SUNDAY,))) == []


def test_a_late_delivery_of_an_offer_is_no_sooner_than_a_usual_one() -> None:
    assert errors(check_offer_lead_days, changed("offers", 2, lead_days_late=8)) == []
    assert errors(check_offer_lead_days, changed("offers", 2, lead_days_late=7)) == [
        ("offers", 4, "lead_days_late")
    ]


def test_an_offer_slower_than_its_supplier_is_no_fault() -> None:
    assert errors(check_offer_lead_days, changed("offers", 2, lead_days=20)) == []


SPRING, SUMMER = YearlyDay(3, 1), YearlyDay(6, 1)


@pytest.mark.parametrize(
    ("first", "last"),
    [
        (SPRING, SUMMER),
        (SUMMER, SPRING),
        (date(2026, 9, 1), date(2026, 9, 1)),
        (date(2026, 9, 1), None),
        (None, date(2026, 9, 1)),
    ],
)
def test_windows_that_can_be_read(first: object, last: object) -> None:
    tables = changed("offers", 2, first_day=first, last_day=last)
    assert errors(check_offer_windows, tables) == []


@pytest.mark.parametrize(
    ("first", "last", "column"),
    [
        (SPRING, date(2026, 9, 1), "last_day"),
        (date(2026, 9, 1), SUMMER, "last_day"),
        (SPRING, None, "first_day"),
        (None, SUMMER, "last_day"),
        (date(2026, 9, 2), date(2026, 9, 1), "last_day"),
    ],
)
def test_windows_that_cannot(first: object, last: object, column: str) -> None:
    tables = changed("offers", 2, first_day=first, last_day=last)
    assert errors(check_offer_windows, tables) == [("offers", 4, column)]


@pytest.mark.parametrize(
    ("column", "one", "other"),
    [
        ("max_packs", 8, 9),
        ("min_packs", 2, 3),
        ("lead_days", 8, 9),
        ("lead_days_late", 12, 13),
        ("last_day", date(2026, 10, 1), date(2026, 10, 2)),
        ("shelf_life_days", 300, 301),
    ],
)
def test_rows_of_one_offer_agree(column: str, one: object, other: object) -> None:
    once = changed("offers", 0, **{column: one})
    assert errors(check_offer_rows_agree, once) == [], "given on one of the rows"
    assert errors(check_offer_rows_agree, changed("offers", 1, once, **{column: one})) == []
    assert errors(check_offer_rows_agree, changed("offers", 1, once, **{column: other})) == [
        ("offers", 3, column)
    ]


def test_packs_between_least_and_most() -> None:
    assert errors(check_pack_bounds, changed("offers", 4, min_packs=4)) == []
    assert errors(check_pack_bounds, changed("offers", 4, min_packs=5)) == [
        ("offers", 6, "max_packs")
    ]


def test_a_price_for_the_least_packs() -> None:
    from_three = changed("offers", 4, price_from_packs=3)
    assert errors(check_pack_bounds, from_three) == [("offers", 6, "price_from_packs")]
    assert errors(check_pack_bounds, changed("offers", 4, from_three, min_packs=3)) == []
    assert errors(check_pack_bounds, changed("offers", 4, from_three, min_packs=4)) == []


def test_a_price_that_is_never_reached() -> None:
    assert warnings(check_pack_bounds, changed("offers", 1, max_packs=4)) == []
    assert warnings(check_pack_bounds, changed("offers", 1, max_packs=3)) == [
        ("offers", 3, "price_from_packs")
    ]


def test_more_packs_are_no_dearer() -> None:
    assert warnings(check_price_steps, changed("offers", 1, price=Decimal(190))) == []
    assert warnings(check_price_steps, changed("offers", 1, price=Decimal("190.01"))) == [
        ("offers", 3, "price")
    ]


def test_steps_are_compared_in_the_order_of_their_packs() -> None:
    swapped = changed("offers", 0, changed("offers", 1, price_from_packs=1), price_from_packs=4)
    assert warnings(check_price_steps, swapped) == [("offers", 2, "price")]


def test_a_pack_for_nothing() -> None:
    assert warnings(check_price_steps, changed("offers", 4, price=Decimal(0))) == [
        ("offers", 6, "price")
    ]


def wax_pack(size: str, unit: str, price: str) -> OfferRow:
    return OfferRow(
        supplier="Print",
        material="wax",
        pack_size=Decimal(size),
        pack_unit=unit,
        price=Decimal(price),
    )


def test_a_pack_ten_times_as_dear_as_another() -> None:
    # The drum costs 190 for 25 kg: 7.60 a kg.
    assert warnings(check_unit_prices, added("offers", wax_pack("1", "kg", "76"))) == []
    dear = added("offers", wax_pack("1", "kg", "76.01"))
    assert warnings(check_unit_prices, dear) == [("offers", 7, "pack_unit")]
    wrong_unit = added("offers", wax_pack("5", "g", "49"))
    assert "row 2" in only(check_unit_prices, wrong_unit).found


def test_a_gift_is_not_compared_with() -> None:
    gift = added("offers", wax_pack("1", "kg", "0"))
    assert warnings(check_unit_prices, gift) == []
    dear = added("offers", wax_pack("2", "kg", "500"), gift)
    assert warnings(check_unit_prices, dear) == [("offers", 8, "pack_unit")]


def test_an_offer_that_arrives_within_the_plan() -> None:
    # Day 59 is Thursday 29 October; the last working day is Wednesday, day 58. Boxes need one
    # working day more, so they must arrive on Monday, day 56.
    assert warnings(check_offers_can_be_used, changed("offers", 4, lead_days=56)) == []
    assert warnings(check_offers_can_be_used, changed("offers", 4, lead_days=57)) == [
        ("offers", 6, "lead_days")
    ]
    late = only(check_offers_can_be_used, changed("offers", 4, lead_days=57))
    assert "ordered on any day of this plan, it could not be used within it" in late.found
    assert "released by Thu 29 Oct 2026, the plan's last day" in late.expected


def test_an_offer_out_of_season() -> None:
    seasonal = changed("offers", 3, first_day=YearlyDay(3, 1), last_day=YearlyDay(8, 30))
    assert warnings(check_offers_can_be_used, seasonal) == [("offers", 5, "lead_days")]
    longer = changed("offers", 3, seasonal, last_day=YearlyDay(8, 31))
    assert warnings(check_offers_can_be_used, longer) == []


def test_a_supplier_that_is_closed_on_all_order_days() -> None:
    closed = ClosureRow(who="Print", first_day=date(2026, 8, 1), last_day=date(2026, 12, 1))
    assert warnings(check_offers_can_be_used, added("closures", closed)) == [
        ("offers", 6, "supplier")
    ]


def test_offers_are_not_blamed_for_a_workshop_without_hands() -> None:
    assert warnings(check_offers_can_be_used, replace(GOOD, hands=(), extra_days=())) == []


def test_what_is_bought_outlives_its_receipt() -> None:
    # Petals wait one working day, glycerin none.
    assert errors(check_shelf_life_of_offers, changed("offers", 3, shelf_life_days=1)) == []
    slow = changed("materials", 2, changed("offers", 3, shelf_life_days=1), receive_days=2)
    assert errors(check_shelf_life_of_offers, slow) == [("offers", 5, "shelf_life_days")]


def test_a_minimum_order_that_can_be_reached() -> None:
    # Print sells boxes only, at most 4 packs for 230.
    assert warnings(check_minimum_orders, changed("suppliers", 1, minimum_order=Decimal(920))) == []
    high = changed("suppliers", 1, minimum_order=Decimal("920.01"))
    assert warnings(check_minimum_orders, high) == [("suppliers", 3, "minimum_order")]
    assert warnings(check_minimum_orders, changed("offers", 4, high, max_packs=None)) == []
    assert (
        warnings(check_minimum_orders, changed("suppliers", 0, minimum_order=Decimal(9999))) == []
    )


def test_what_is_used_can_be_had() -> None:
    assert warnings(check_materials_can_be_had, without("offers", 4)) == [], "stock is enough"
    tables = without("offers", 2)
    assert warnings(check_materials_can_be_had, tables) == [("materials", 3, "material")]
    lot = StockRow(item="glycerin", lot="G", quantity=Decimal(1))
    assert warnings(check_materials_can_be_had, added("stock", lot, tables)) == []
    for none in (replace(lot, quantity=Decimal(0)), replace(lot, status=StockStatus.BLOCKED)):
        assert warnings(check_materials_can_be_had, added("stock", none, tables)) == [
            ("materials", 3, "material")
        ]


def test_an_open_order_is_enough() -> None:
    tables = without("stock", 0, tables=without("offers", 0, 1))
    assert warnings(check_materials_can_be_had, tables) == []
    assert warnings(check_materials_can_be_had, without("open_orders", 0, tables=tables)) == [
        ("materials", 2, "material")
    ]


def test_consumables_that_nothing_takes_need_no_offer() -> None:
    assert warnings(check_materials_can_be_had, GOOD) == []
