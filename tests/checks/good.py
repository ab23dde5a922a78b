"""A small workshop without a finding, and ways to spoil it."""

from collections.abc import Callable, Iterator
from dataclasses import fields, replace
from datetime import date
from decimal import Decimal
from typing import Any

from planner.findings import Finding
from planner.records.lookup import Records
from planner.tables.rows import (
    BatchSizeRow,
    BudgetRow,
    CashRow,
    ClosureRow,
    DemandRow,
    ExtraDayRow,
    FormulaRow,
    HandsRow,
    InProgressRow,
    MaterialRow,
    MouldRow,
    OfferRow,
    OpenOrderRow,
    PackagingRow,
    PlaceRow,
    PreparationRow,
    ProductRow,
    Row,
    SaleRow,
    StockRow,
    SupplierRow,
    Tables,
    TrayRow,
    VesselRow,
    WorkshopRow,
)
from planner.tables.values import (
    CashKind,
    Every,
    LeadCounts,
    MaterialKind,
    Per,
    StockStatus,
    Weekday,
)
from planner.workshop import DemandKind, Unit

TODAY = date(2026, 8, 31)  # a Monday


def numbered(tables: Tables) -> Tables:
    """The same tables with their rows numbered as in a spreadsheet."""
    rows = {
        field.name: tuple(
            replace(row, row=number) for number, row in enumerate(getattr(tables, field.name), 2)
        )
        for field in fields(tables)
    }
    return Tables(**rows)


GOOD = numbered(
    Tables(
        workshop=(WorkshopRow(name="Brook", currency="EUR", country="DE", horizon_days=60),),
        hands=(
            HandsRow(person="Ada", weekday=Weekday.MONDAY, minutes=300),
            HandsRow(person="Ada", weekday=Weekday.WEDNESDAY, minutes=240),
            HandsRow(person="Ben", weekday=Weekday.WEDNESDAY, minutes=60),
        ),
        closures=(
            ClosureRow(who="workshop", first_day=date(2026, 9, 9), last_day=date(2026, 9, 9)),
            ClosureRow(who="Mill", first_day=date(2026, 9, 7), last_day=date(2026, 9, 8)),
        ),
        extra_days=(ExtraDayRow(day=date(2026, 9, 12), person="Ada", minutes=100),),
        materials=(
            MaterialRow(material="wax", kind=MaterialKind.INGREDIENT, unit=Unit.GRAM),
            MaterialRow(
                material="glycerin",
                kind=MaterialKind.INGREDIENT,
                unit=Unit.MILLILITRE,
                density_g_per_ml=Decimal("1.26"),
                safety_stock=Decimal(500),
                receive_days=0,
            ),
            MaterialRow(material="petals", kind=MaterialKind.INGREDIENT, unit=Unit.GRAM),
            MaterialRow(material="box", kind=MaterialKind.PACKAGING, unit=Unit.PIECE),
            MaterialRow(material="gloves", kind=MaterialKind.CONSUMABLE, unit=Unit.PIECE),
        ),
        preparations=(
            PreparationRow(
                preparation="glycerite",
                unit=Unit.GRAM,
                batch_size=Decimal(1000),
                yield_percent=Decimal(80),
                make_minutes=60,
                ready_days=14,
                shelf_life_days=200,
                vessel="pot",
                vessel_minutes=30,
            ),
            PreparationRow(
                preparation="toner",
                unit=Unit.MILLILITRE,
                density_g_per_ml=Decimal("1.1"),
                batch_size=Decimal(500),
                make_minutes=20,
                ready_days=1,
            ),
        ),
        products=(
            ProductRow(
                product="mint",
                line="herbs",
                pour_g=Decimal(82),
                net_g=Decimal(75),
                price=Decimal("12.50"),
                wholesale_price=Decimal("6.25"),
                mould="twelve",
                place="fridge",
                set_days=1,
                vessel="pot",
                vessel_minutes=140,
                make_minutes=150,
                unmould_minutes=30,
                pack_minutes_per_bar=Decimal("1.5"),
                cure_days=14,
                tray="rack",
                bars_per_tray=16,
                loss_percent=Decimal(2),
                reject_percent=Decimal(3),
                keep_bars=2,
                shelf_life_days=365,
            ),
            ProductRow(
                product="rose",
                line="petals",
                pour_g=Decimal(62),
                net_g=Decimal(60),
                price=Decimal(10),
                mould="six",
                set_days=0,
                vessel="pot",
                vessel_minutes=75,
                make_minutes=110,
                pack_minutes_per_bar=Decimal(1),
                cure_days=5,
                tray="rack",
                bars_per_tray=24,
            ),
        ),
        batch_sizes=(
            BatchSizeRow(product="mint", bars=96),
            BatchSizeRow(product="mint", bars=48),
            BatchSizeRow(product="rose", bars=48),
        ),
        formulas=(
            FormulaRow(item="mint", part="wax", percent=Decimal("90.5")),
            FormulaRow(item="mint", part="glycerite", percent=Decimal("9.5")),
            FormulaRow(item="rose", part="wax", percent=Decimal(95)),
            FormulaRow(item="rose", part="toner", percent=Decimal(5)),
            FormulaRow(item="glycerite", part="glycerin", percent=Decimal(90)),
            FormulaRow(item="glycerite", part="petals", percent=Decimal(10)),
            FormulaRow(item="toner", part="glycerite", percent=Decimal(100)),
        ),
        packaging=(
            PackagingRow(product="mint", material="box", quantity_per_bar=Decimal(1)),
            PackagingRow(product="rose", material="box", quantity_per_bar=Decimal("0.5")),
        ),
        moulds=(
            MouldRow(mould="twelve", count=8, cavities=12),
            MouldRow(mould="six", count=4, cavities=6, turns_per_day=2),
        ),
        vessels=(VesselRow(vessel="pot", count=1, capacity_g=Decimal(8200), minutes_per_day=400),),
        places=(PlaceRow(place="fridge", moulds=8),),
        trays=(TrayRow(tray="rack", count=12),),
        suppliers=(
            SupplierRow(
                supplier="Mill",
                lead_days=8,
                lead_days_late=12,
                lead_counts=LeadCounts.WORKING,
                freight=Decimal("14.50"),
                free_freight_from=Decimal(250),
                minimum_order=Decimal(30),
                pay_days=30,
            ),
            SupplierRow(supplier="Print", lead_days=21),
        ),
        offers=(
            OfferRow(
                supplier="Mill",
                material="wax",
                pack_size=Decimal(25),
                pack_unit="kg",
                price=Decimal(190),
            ),
            OfferRow(
                supplier="Mill",
                material="wax",
                pack_size=Decimal(25),
                pack_unit="kg",
                price=Decimal(180),
                price_from_packs=4,
            ),
            OfferRow(
                supplier="Mill",
                material="glycerin",
                pack_size=Decimal(5),
                pack_unit="kg",
                price=Decimal(26),
                shelf_life_days=730,
            ),
            OfferRow(
                supplier="Mill",
                material="petals",
                pack_size=Decimal(1),
                pack_unit="lb",
                price=Decimal(15),
            ),
            OfferRow(
                supplier="Print",
                material="box",
                pack_size=Decimal(500),
                pack_unit="ea",
                price=Decimal(230),
                max_packs=4,
            ),
        ),
        stock=(
            StockRow(
                item="wax",
                lot="W1",
                quantity=Decimal(10),
                unit="kg",
                received=date(2026, 3, 1),
                use_by=date(2028, 3, 1),
                supplier="Mill",
            ),
            StockRow(
                item="petals",
                lot="P1",
                quantity=Decimal(300),
                received=date(2026, 8, 31),
                status=StockStatus.QUARANTINE,
            ),
            StockRow(item="mint", lot="M1", quantity=Decimal(40), use_by=date(2027, 5, 1)),
            StockRow(item="box", lot="B1", quantity=Decimal(200)),
        ),
        open_orders=(
            OpenOrderRow(
                reference="O1",
                supplier="Mill",
                material="wax",
                quantity=Decimal(25),
                unit="kg",
                ordered=date(2026, 8, 20),
                expected=date(2026, 9, 4),
            ),
        ),
        in_progress=(
            InProgressRow(
                lot="M2",
                product="mint",
                bars=96,
                poured=date(2026, 8, 24),
                unmoulded=date(2026, 8, 25),
            ),
            InProgressRow(lot="M3", product="mint", bars=48, poured=date(2026, 8, 30)),
            InProgressRow(
                lot="G1",
                preparation="glycerite",
                quantity=Decimal(700),
                poured=date(2026, 8, 20),
            ),
        ),
        demand=(
            DemandRow(
                demand="shop",
                kind=DemandKind.RETAIL,
                product="mint",
                quantity=10,
                day=date(2026, 8, 31),
                per=Per.WEEK,
            ),
            DemandRow(
                demand="opening",
                kind=DemandKind.LAUNCH,
                product="rose",
                quantity=30,
                day=date(2026, 9, 30),
                launch="Roses",
            ),
            DemandRow(
                demand="rose shop",
                kind=DemandKind.RETAIL,
                product="rose",
                quantity=12,
                day=date(2026, 9, 30),
                per=Per.WEEK,
            ),
            DemandRow(
                demand="inn",
                kind=DemandKind.ORDER,
                product="mint",
                quantity=24,
                day=date(2026, 9, 16),
                customer="the inn",
            ),
            DemandRow(
                demand="shelf",
                kind=DemandKind.RESTOCK,
                product="mint",
                quantity=12,
                day=date(2026, 9, 1),
                last_day=date(2026, 9, 20),
            ),
        ),
        sales=(SaleRow(day=date(2026, 8, 29), product="mint", quantity=7),),
        budget=(BudgetRow(month="2026-09", amount=Decimal(900)),),
        cash=(
            CashRow(kind=CashKind.BALANCE, day=date(2026, 8, 31), amount=Decimal(2000)),
            CashRow(
                kind=CashKind.COST, day=date(2026, 9, 1), amount=Decimal(260), every=Every.WEEK
            ),
        ),
    )
)


def changed(table: str, index: int, tables: Tables = GOOD, /, **cells: Any) -> Tables:
    """The tables with some cells of one row replaced; rows count from 0."""
    rows = list(getattr(tables, table))
    rows[index] = replace(rows[index], **cells)
    return replace(tables, **{table: tuple(rows)})


def added(table: str, row: Row, tables: Tables = GOOD) -> Tables:
    """The tables with one row more at a table's end."""
    rows = getattr(tables, table)
    return replace(tables, **{table: (*rows, replace(row, row=len(rows) + 2))})


def without(table: str, *indices: int, tables: Tables = GOOD) -> Tables:
    """The tables without some rows, which count from 0; the others keep their numbers."""
    rows = getattr(tables, table)
    left = tuple(row for index, row in enumerate(rows) if index not in indices)
    return replace(tables, **{table: left})


Place = tuple[str, int, str]


def _found(
    check: Callable[[Records], Iterator[Finding]], tables: Tables, today: date
) -> list[Finding]:
    return list(check(Records(tables=tables, today=today)))


def errors(
    check: Callable[[Records], Iterator[Finding]], tables: Tables, today: date = TODAY
) -> list[Place]:
    """Table, row and column of everything that a check finds, all of it errors."""
    found = _found(check, tables, today)
    assert all(one.is_error for one in found)
    return [(one.table, one.row, one.column) for one in found]


def warnings(
    check: Callable[[Records], Iterator[Finding]], tables: Tables, today: date = TODAY
) -> list[Place]:
    """Table, row and column of everything that a check finds, all of it warnings."""
    found = _found(check, tables, today)
    assert not any(one.is_error for one in found)
    return [(one.table, one.row, one.column) for one in found]


def only(
    check: Callable[[Records], Iterator[Finding]], tables: Tables, today: date = TODAY
) -> Finding:
    """The one thing that a check finds."""
    (finding,) = _found(check, tables, today)
    return finding
