"""The tables' columns: their names are fixed, since makers' files depend on them."""

from decimal import Decimal

import pytest

from planner.tables.columns import Column, Kind
from planner.tables.schema import all_tables
from planner.tables.wording import expected_of

# * marks a required column.
NAMES = {
    "workshop": "name* currency* country subdivision horizon_days receive_days capital_percent "
    "late_percent launch_percent restock_percent safety_percent clean_down frozen_days",
    "hands": "person* weekday* minutes*",
    "closures": "who* first_day* last_day* reason",
    "extra_days": "day* person* minutes*",
    "materials": "material* kind* unit* density_g_per_ml safety_stock receive_days caution note",
    "preparations": "preparation* unit* batch_size* yield_percent make_minutes* ready_days* "
    "shelf_life_days vessel vessel_minutes safety_stock caution density_g_per_ml",
    "products": "product* line* pour_g* net_g* price* wholesale_price mould* place set_days* "
    "vessel* vessel_minutes* make_minutes* make_minutes_per_bar unmould_minutes "
    "pack_minutes_per_bar* cure_days* tray* bars_per_tray* loss_percent reject_percent "
    "keep_bars shelf_life_days max_batches_per_day importance",
    "batch_sizes": "product* bars*",
    "formulas": "item* part* percent*",
    "packaging": "product* material* quantity_per_bar*",
    "moulds": "mould* count* cavities* turns_per_day",
    "vessels": "vessel* count* capacity_g* minutes_per_day*",
    "places": "place* moulds* turns_per_day",
    "trays": "tray* count*",
    "suppliers": "supplier* lead_days* lead_days_late lead_counts order_days freight "
    "free_freight_from minimum_order pay_days note",
    "offers": "supplier* material* pack_size* pack_unit* price* min_packs max_packs "
    "price_from_packs lead_days lead_days_late first_day last_day shelf_life_days",
    "stock": "item* lot* quantity* unit received use_by status supplier supplier_lot",
    "open_orders": "reference* supplier* material* quantity* unit* ordered expected* status",
    "in_progress": "lot* product preparation bars quantity poured* unmoulded note",
    "demand": "demand* kind* product* quantity* day* last_day per customer launch importance",
    "sales": "day* product* quantity* channel reference",
    "budget": "month* amount*",
    "cash": "kind* day* amount* every note",
}


def column_of(table: str, name: str) -> Column:
    return next(column for column in all_tables()[table].columns if column.name == name)


def test_tables_stand_in_this_order() -> None:
    # Moulds, vessels, places and trays come after what is made in them.
    assert list(all_tables()) == list(NAMES)


@pytest.mark.parametrize("table", NAMES)
def test_columns_keep_their_names(table: str) -> None:
    columns = all_tables()[table].columns
    assert " ".join(f"{c.name}{'*' if c.required else ''}" for c in columns) == NAMES[table]


@pytest.mark.parametrize("table", NAMES)
def test_every_table_and_column_has_a_meaning(table: str) -> None:
    assert all_tables()[table].meaning.endswith(".")
    assert all(len(column.meaning) >= 3 for column in all_tables()[table].columns)


def test_references_name_tables_whose_first_column_is_their_key() -> None:
    for table in all_tables().values():
        for column in table.columns:
            for other in column.refers:
                assert [key.name for key in all_tables()[other].key] == [
                    all_tables()[other].columns[0].name
                ]


def test_a_default_is_read_from_the_record() -> None:
    assert column_of("workshop", "horizon_days").default == 120
    assert column_of("workshop", "safety_percent").default == Decimal("0.1")
    assert column_of("products", "place").default is None


def test_bounds_inside_an_optional_type_are_found() -> None:
    density = column_of("materials", "density_g_per_ml")
    assert (density.kind, density.required, density.above) == (Kind.NUMBER, False, 0)


@pytest.mark.parametrize(
    ("table", "name", "expected"),
    [
        ("hands", "minutes", "a whole number from 0 to 1440"),
        ("formulas", "percent", "a number above 0, at most 100"),
        ("products", "loss_percent", "a number, 0 or more, below 100"),
        ("products", "price", "a number, 0 or more"),
        ("sales", "quantity", "a whole number"),
        ("materials", "unit", "one of g, ml, ea"),
        ("budget", "month", "a month such as 2026-08"),
    ],
)
def test_expectations_are_put_in_words(table: str, name: str, expected: str) -> None:
    assert expected_of(column_of(table, name)) == expected
