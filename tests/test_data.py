"""The two ready-made workshops, and the document that explains their tables."""

import csv
from datetime import date
from decimal import Decimal
from math import ceil
from pathlib import Path

import pytest

from planner.build import build
from planner.findings import Severity
from planner.needs import requirements_of
from planner.recipes import lot_recipe_of, recipe_of
from planner.tables.reader import read_folder
from planner.tables.rows import Tables
from planner.tables.schema import all_tables
from planner.workshop import DemandKind, Workshop
from tests.demo import TODAY, demo_cases, demo_tables, demo_workshop
from tests.tables_document import FILE, tables_document

DATA = FILE.parent


@pytest.fixture(scope="module")
def demo() -> Tables:
    return demo_tables()


@pytest.fixture(scope="module")
def nolverin() -> Workshop:
    return demo_workshop()


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


def test_first_workshop_stands_without_a_finding() -> None:
    workshop, findings = build(read_folder(DATA / "first")[0], TODAY)
    assert findings == ()
    assert workshop is not None
    assert workshop.days == 84
    assert workshop.minutes[0] == 0  # the summer bank holiday of England, Mon 31 Aug 2026
    assert [lot.lot for lot in workshop.blocked] == ["B-0"]


def test_demo_warns_only_that_linden_is_out_of_season(demo: Tables) -> None:
    _, findings = build(demo, TODAY)
    assert [finding.severity for finding in findings] == [Severity.WARNING]
    assert "LINDEN" in findings[0].found


def test_demo_batches_are_those_of_its_makers_sheet(nolverin: Workshop) -> None:
    """96 shampoo bars: 8.033 kg, 90 to sell, 155, 40 and 125 min; 72 conditioner bars alike."""
    for product in ("SV-S", "OM-S", "GT-S"):
        batch = recipe_of(nolverin, product, 96)
        assert (batch.mass // 1000, batch.good, batch.trays, batch.moulds) == (8032, 90, 6, 8)
        minutes = (batch.make_minutes, batch.unmould_minutes, batch.pack_minutes)
        assert (*minutes, batch.vessel_minutes) == (155, 40, 125, 140)
    for product in ("SV-C", "OM-C", "GT-C"):
        batch = recipe_of(nolverin, product, 72)
        assert (batch.mass // 1000, batch.good, batch.trays, batch.moulds) == (4555, 67, 3, 6)
        minutes = (batch.make_minutes, batch.unmould_minutes, batch.pack_minutes)
        assert (*minutes, batch.vessel_minutes) == (110, 0, 80, 75)


def test_demo_preparations_give_what_one_lot_gives(nolverin: Workshop) -> None:
    lots = {
        name: lot_recipe_of(nolverin, one).amount // 10_000
        for name, one in nolverin.preparations.items()
    }
    assert lots == {"KELPGLY": 260, "MARIOIL": 85, "LINDHYD": 150}
    linden = lot_recipe_of(nolverin, nolverin.preparations["LINDHYD"]).parts["LINDEN"]
    there = sum(lot.amount for lot in nolverin.lots if lot.item == "LINDEN")
    assert linden <= there < 2 * linden  # blossom for one run and no more
    assert all(o.deliveries == () for o in nolverin.offers.values() if o.material == "LINDEN")


def test_demo_surfactant_is_the_gap(nolverin: Workshop) -> None:
    """9.6 kg are two batches of Saltvane shampoo; 9, 5 and 5 shampoo batches and 7, 5 and 4
    conditioner batches, which the season's demand takes, want 89.92 kg."""
    there = sum(lot.amount for lot in nolverin.lots if lot.item == "SMI")
    assert there // recipe_of(nolverin, "SV-S", 96).parts["SMI"] == 2
    records, counts, wanted = requirements_of(nolverin), [], 0
    for product in nolverin.products.values():
        batch = recipe_of(nolverin, product.id, max(product.sizes))
        counts.append(ceil(sum(records[product.id].net) / batch.good))
        wanted += counts[-1] * batch.parts["SMI"]
    assert counts == [9, 7, 5, 5, 5, 4]
    assert wanted // 10_000 == 8991  # the maker's sheet rounds each batch mass up


def test_demo_order_by_days_of_its_slowest_goods(nolverin: Workshop) -> None:
    """A drum ordered on Tue 1 Sep is usable on Wed 14 Oct, boxes of Wed 16 Sep on Mon 12 Oct."""
    usable = {
        (offer.material, delivery.order): delivery.usable
        for offer in nolverin.offers.values()
        if offer.supplier in ("Ferrane Surfactants", "Pellmere Print")
        for delivery in offer.deliveries
    }
    assert usable["SMI", 1] == 44
    assert usable["BOX-SV-S", 16] == 42


def test_demo_pails_are_two_a_month(nolverin: Workshop) -> None:
    pails = [o for o in nolverin.offers.values() if (o.material, o.pack) == ("SMI", "5 kg")]
    assert [offer.max_packs for offer in pails] == [2] * 4
    assert [[d.order for d in offer.deliveries] for offer in pails] == [[1], [31], [64], [92]]


def test_demo_cases_differ_in_what_they_say() -> None:
    cases = demo_cases()
    receipts = {name: case.receipts[0].usable for name, case in cases.items()}
    assert receipts == {
        "drum on time, 18 trays": 15,
        "drum on time, 24 trays": 15,
        "drum late, 18 trays": 29,
        "drum late, 24 trays": 29,
    }
    assert [case.trays["drying tray"].count for case in cases.values()] == [18, 24, 18, 24]
    late = demo_workshop(early_pails=False)
    assert len(late.offers) == len(cases["drum late, 18 trays"].offers) - 1
