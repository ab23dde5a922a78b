"""Names that lead nowhere, stand twice, or mean two things."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from planner.build import build
from planner.checks.names import (
    check_alike_names,
    check_closure_names,
    check_extra_day_people,
    check_item_names,
    check_lots,
    check_promise_names,
    check_references,
    check_repeated_rows,
    check_reserved_names,
    check_unused_items,
    check_unwanted_products,
)
from planner.tables.rows import (
    ClosureRow,
    ExtraDayRow,
    FormulaRow,
    HandsRow,
    MaterialRow,
    OfferRow,
    StockRow,
    SupplierRow,
)
from planner.tables.values import MaterialKind, Weekday
from planner.workshop import Unit
from tests.checks.good import GOOD, TODAY, added, changed, errors, only, warnings, without


@pytest.mark.parametrize(
    ("table", "column"),
    [
        ("preparations", "vessel"),
        ("products", "mould"),
        ("products", "place"),
        ("products", "vessel"),
        ("products", "tray"),
        ("batch_sizes", "product"),
        ("formulas", "item"),
        ("formulas", "part"),
        ("packaging", "product"),
        ("packaging", "material"),
        ("offers", "supplier"),
        ("offers", "material"),
        ("stock", "item"),
        ("stock", "supplier"),
        ("open_orders", "supplier"),
        ("open_orders", "material"),
        ("in_progress", "product"),
        ("demand", "product"),
        ("sales", "product"),
    ],
)
def test_an_unknown_name_is_an_error(table: str, column: str) -> None:
    assert errors(check_references, changed(table, 0, **{column: "qqqq"})) == [(table, 2, column)]


@pytest.mark.parametrize("column", ["supplier", "material"])
def test_an_unknown_name_in_an_offer_is_the_only_error(column: str) -> None:
    workshop, findings = build(changed("offers", 3, **{column: "qqqq"}), TODAY)
    assert workshop is None
    assert [one.column for one in findings if one.is_error] == [column]


def test_an_unknown_preparation_under_way() -> None:
    tables = changed("in_progress", 2, preparation="gycerite")
    assert errors(check_references, tables) == [("in_progress", 4, "preparation")]


def test_blank_names_are_no_error() -> None:
    tables = changed("products", 0, place=None)
    tables = changed("preparations", 0, tables, vessel=None)
    assert errors(check_references, tables) == []


@pytest.mark.parametrize(
    ("written", "meant"), [("glycerit", "glycerite"), ("Petals", "petals"), ("waxx", "wax")]
)
def test_the_closest_name_is_suggested(written: str, meant: str) -> None:
    tables = changed("formulas", 0, part=written)
    assert f'write "{meant}"' in only(check_references, tables).action


def test_no_name_is_suggested_if_none_is_like_it() -> None:
    action = only(check_references, changed("formulas", 0, part="zzz")).action
    assert action == 'correct the name, or add "zzz" to materials or preparations'


def test_a_name_of_another_table_is_told() -> None:
    assert (
        "which is in products" in only(check_references, changed("formulas", 0, part="rose")).found
    )
    assert (
        "which is in preparations"
        in only(check_references, changed("offers", 0, material="toner")).found
    )


def test_a_repeated_row_names_the_first_one() -> None:
    tables = added("formulas", FormulaRow(item="mint", part="wax", percent=Decimal(1)))
    assert errors(check_repeated_rows, tables) == [("formulas", 9, "item")]
    assert "row 2" in only(check_repeated_rows, tables).found


def test_rows_that_differ_in_one_key_cell_are_not_repeated() -> None:
    tables = added("stock", StockRow(item="wax", lot="W2", quantity=Decimal(1)))
    tables = added("hands", HandsRow(person="Ben", weekday=Weekday.MONDAY, minutes=5), tables)
    assert errors(check_repeated_rows, tables) == []


def test_tables_without_a_key_may_repeat_rows() -> None:
    tables = added("sales", GOOD.sales[0])
    assert errors(check_repeated_rows, tables) == []


@pytest.mark.parametrize(
    ("table", "column", "index"), [("preparations", "preparation", 0), ("products", "product", 1)]
)
def test_materials_preparations_and_products_share_no_name(
    table: str, column: str, index: int
) -> None:
    tables = changed(table, index, **{column: "wax"})
    assert errors(check_item_names, tables) == [(table, index + 2, column)]


def test_other_tables_may_share_names() -> None:
    assert errors(check_item_names, changed("vessels", 0, vessel="wax")) == []
    assert errors(check_item_names, changed("products", 0, line="wax")) == []


@pytest.mark.parametrize("name", ["Wax", "w ax", "WAX "])
def test_names_alike_but_for_capitals_and_spaces(name: str) -> None:
    tables = added(
        "materials", MaterialRow(material=name, kind=MaterialKind.CONSUMABLE, unit=Unit.GRAM)
    )
    assert warnings(check_alike_names, tables) == [("materials", 7, "material")]


def test_names_that_differ_in_a_letter_are_not_alike() -> None:
    tables = added(
        "materials", MaterialRow(material="wax2", kind=MaterialKind.CONSUMABLE, unit=Unit.GRAM)
    )
    assert warnings(check_alike_names, tables) == []


@pytest.mark.parametrize("who", ["workshop", "Ada", "Ben", "Print", "Cleo"])
def test_closures_of_workshop_people_and_suppliers(who: str) -> None:
    guest = ExtraDayRow(day=date(2026, 9, 1), person="Cleo", minutes=60)
    tables = changed("closures", 0, added("extra_days", guest), who=who)
    assert errors(check_closure_names, tables) == []


def test_a_closure_of_somebody_unknown() -> None:
    tables = changed("closures", 1, who="Mil")
    assert errors(check_closure_names, tables) == [("closures", 3, "who")]
    assert only(check_closure_names, tables).action == 'write "Mill"'


def test_a_closure_of_a_person_who_is_a_supplier_too() -> None:
    tables = added("suppliers", SupplierRow(supplier="Ada", lead_days=1))
    assert warnings(check_closure_names, tables) == [], "no closure names Ada"
    tables = changed("closures", 0, tables, who="Ada")
    assert warnings(check_closure_names, tables) == [("closures", 2, "who")]


@pytest.mark.parametrize(
    ("table", "column"),
    [("hands", "person"), ("extra_days", "person"), ("suppliers", "supplier")],
)
def test_nobody_is_called_workshop(table: str, column: str) -> None:
    tables = changed(table, 0, **{column: "workshop"})
    assert errors(check_reserved_names, tables) == [(table, 2, column)]
    assert errors(check_reserved_names, changed(table, 0, **{column: "Workshop"})) == []


def test_a_guest_on_an_extra_day() -> None:
    tables = changed("extra_days", 0, person="Adda")
    assert warnings(check_extra_day_people, tables) == [("extra_days", 2, "person")]
    assert '"Ada"' in only(check_extra_day_people, tables).action
    assert warnings(check_extra_day_people, changed("extra_days", 0, person="Ben")) == []


def test_a_lot_cannot_be_under_way_and_in_stock() -> None:
    tables = changed("stock", 2, lot="M2")
    assert errors(check_lots, tables) == [("in_progress", 2, "lot")]
    other_item = changed("stock", 0, lot="M2")
    assert errors(check_lots, other_item) == []


def test_a_preparation_lot_cannot_be_under_way_and_in_stock() -> None:
    tables = changed("stock", 2, item="glycerite", lot="G1")
    assert errors(check_lots, tables) == [("in_progress", 4, "lot")]


def test_an_order_may_not_be_called_like_a_launch() -> None:
    tables = changed("demand", 3, demand="Roses")
    assert errors(check_promise_names, tables) == [("demand", 5, "demand")]
    assert errors(check_promise_names, changed("demand", 4, demand="Roses")) == []


def test_what_nothing_takes_is_told() -> None:
    tables = without("formulas", 5)
    assert warnings(check_unused_items, tables) == [("materials", 4, "material")]
    tables = without("formulas", 3)
    assert warnings(check_unused_items, tables) == [("preparations", 3, "preparation")]
    tables = without("packaging", 0, 1)
    assert warnings(check_unused_items, tables) == [("materials", 5, "material")]


def test_one_use_is_enough() -> None:
    assert warnings(check_unused_items, without("packaging", 0)) == []
    assert warnings(check_unused_items, without("formulas", 0)) == []


def test_a_product_that_nothing_asks_for() -> None:
    tables = without("demand", 1, 2)
    assert warnings(check_unwanted_products, tables) == [("products", 3, "product")]
    assert warnings(check_unwanted_products, without("demand", 2)) == []


def test_messages_do_not_depend_on_an_empty_table() -> None:
    tables = replace(GOOD, suppliers=(), closures=())
    assert ("offers", 2, "supplier") in errors(check_references, tables)
    offer = OfferRow(
        supplier="x", material="wax", pack_size=Decimal(1), pack_unit="kg", price=Decimal(1)
    )
    assert ("offers", 7, "supplier") in errors(check_references, added("offers", offer, tables))
    closure = ClosureRow(who="x", first_day=date(2026, 9, 1), last_day=date(2026, 9, 1))
    assert errors(check_closure_names, added("closures", closure, tables)) == [
        ("closures", 2, "who")
    ]
