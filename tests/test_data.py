"""The two ready-made workshops, and the document that explains their tables."""

import csv
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from planner.tables.reader import read_folder
from planner.tables.rows import Tables
from planner.tables.schema import all_tables
from planner.workshop import DemandKind
from tests.tables_document import FILE, tables_document

DATA = FILE.parent
TODAY = date(2026, 8, 31)


@pytest.fixture(scope="module")
def demo() -> Tables:
    return read_folder(DATA / "demo")[0]


@pytest.mark.parametrize("folder", ["demo", "first"])
def test_every_cell_can_be_read(folder: str) -> None:
    assert read_folder(DATA / folder)[1] == ()


@pytest.mark.parametrize("table", list(all_tables()))
def test_the_first_workshop_fills_in_every_column(table: str) -> None:
    with (DATA / "first" / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    columns = [column.name for column in all_tables()[table].columns]
    assert list(rows[0]) == columns
    assert [name for name in columns if not any(row[name] for row in rows)] == []


def test_the_document_of_the_tables_is_up_to_date() -> None:
    # if this fails: python -m tests.tables_document
    assert FILE.read_text(encoding="utf-8") == tables_document()


def test_demo_formulas_are_whole(demo: Tables) -> None:
    items = {row.item for row in demo.formulas}
    assert len(items) == len(demo.products) + len(demo.preparations) == 9
    for item in items:
        total = sum(row.percent for row in demo.formulas if row.item == item)
        assert total == 100


def test_demo_demand_of_the_season(demo: Tables) -> None:
    """Bars from the first to the last day of the plan: the demo's own figures, weeks 1 to 17."""
    expected = {"SV-S": 746, "SV-C": 467, "OM-S": 550, "OM-C": 335, "GT-S": 419, "GT-C": 252}
    last = date(2026, 12, 27)
    for product, bars in expected.items():
        total = 0
        for row in demo.demand:
            if row.product == product and row.kind is DemandKind.RETAIL:
                assert row.last_day is not None
                assert TODAY <= row.day <= row.last_day <= last
                weeks, rest = divmod((row.last_day - row.day).days + 1, 7)
                total += row.quantity * weeks + row.quantity * rest // 7
            elif row.product == product and row.kind is DemandKind.ORDER:
                total += row.quantity
        assert total == bars


def test_demo_launch_and_stockists(demo: Tables) -> None:
    launches = [row for row in demo.demand if row.kind is DemandKind.LAUNCH]
    assert [(row.product, row.quantity) for row in launches] == [("SV-S", 70), ("SV-C", 42)]
    assert {(row.day, row.launch) for row in launches} == {(date(2026, 10, 16), "Saltvane")}
    orders = [row for row in demo.demand if row.kind is DemandKind.ORDER]
    assert {row.day for row in orders} == {date(2026, 10, 14)}
    assert sum(row.quantity for row in orders if row.product == "SV-S") == 48
    assert sum(row.quantity for row in orders if row.product == "SV-C") == 32


def test_demo_carriage_comes_to_what_the_maker_asks(demo: Tables) -> None:
    """420 and 95 of carriage for one drum of 25 kg; 770 and 150 for two."""
    supplier = next(row for row in demo.suppliers if row.supplier == "Ferrane Surfactants")
    prices = {row.pack_size: row.price for row in demo.offers if row.supplier == supplier.supplier}
    assert prices[Decimal(25)] + supplier.freight == 420 + 95
    assert prices[Decimal(50)] + supplier.freight == 770 + 95 + 55


def test_demo_warns_of_dust_and_of_hot_mass(demo: Tables) -> None:
    cautions = {row.material: row.caution for row in demo.materials}
    for powder in ("SMI", "SCI", "SLSA"):
        assert "mask" in cautions[powder]
    for melted in ("BTMS", "CETYL", "CETEA", "STEAR"):
        assert "burns" in cautions[melted]
    for text in filter(None, cautions.values()):
        assert text.endswith("What its safety data sheet says comes first.")


def test_no_other_files_lie_in_the_folders() -> None:
    names = {f"{table}.csv" for table in all_tables()}
    for folder in ("demo", "first"):
        assert {file.name for file in (DATA / folder).iterdir()} <= names
    assert {file.name for file in Path(DATA / "first").iterdir()} == names
