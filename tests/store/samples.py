"""Tables of every kind: each has rows, and each column is given in one row at least."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

from planner.store import open_store
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
    OrderStatus,
    Per,
    StockStatus,
    Weekday,
    YearlyDay,
)
from planner.workshop import DemandKind, Unit

DAY = date(2026, 8, 31)

WORKSHOP = WorkshopRow(
    name='Salt & "Sea"',
    currency="EUR",
    country="IE",
    subdivision="KY",
    horizon_days=90,
    receive_days=2,
    capital_percent=Decimal("8.25"),
    clean_down=Decimal("3.50"),
    frozen_days=7,
)

MATERIALS = (
    MaterialRow(
        material="betaine",
        kind=MaterialKind.INGREDIENT,
        unit=Unit.MILLILITRE,
        density_g_per_ml=Decimal("1.04"),
        safety_stock=Decimal(500),
        receive_days=3,
        caution="goggles",
        note="keep above 5 °C",
    ),
    MaterialRow(material="flakes", kind=MaterialKind.INGREDIENT, unit=Unit.GRAM),
    MaterialRow(material="box", kind=MaterialKind.PACKAGING, unit=Unit.PIECE),
)

PREPARATIONS = (
    PreparationRow(
        preparation="kelp glycerite",
        unit=Unit.MILLILITRE,
        batch_size=Decimal(1000),
        yield_percent=Decimal("82.5"),
        make_minutes=30,
        ready_days=28,
        shelf_life_days=365,
        vessel="pot",
        vessel_minutes=15,
        safety_stock=Decimal(50),
        caution="hot",
        density_g_per_ml=Decimal("1.2"),
    ),
    PreparationRow(
        preparation="citric solution",
        unit=Unit.GRAM,
        batch_size=Decimal(500),
        make_minutes=10,
        ready_days=0,
    ),
)

PRODUCTS = (
    ProductRow(
        product="kelp bar",
        line="kelp",
        pour_g=Decimal("82.5"),
        net_g=Decimal(75),
        price=Decimal("14.50"),
        wholesale_price=Decimal("8.70"),
        mould="slab",
        place="fridge",
        set_days=1,
        vessel="pot",
        vessel_minutes=120,
        make_minutes=90,
        make_minutes_per_bar=Decimal("0.5"),
        unmould_minutes=20,
        pack_minutes_per_bar=Decimal("1.25"),
        cure_days=21,
        tray="wire",
        bars_per_tray=16,
        loss_percent=Decimal("1.5"),
        reject_percent=Decimal(4),
        keep_bars=2,
        shelf_life_days=540,
        max_batches_per_day=2,
        importance=Decimal("1.5"),
    ),
    ProductRow(
        product="oat bar",
        line="oat",
        pour_g=Decimal(60),
        net_g=Decimal(55),
        price=Decimal(12),
        mould="slab",
        set_days=0,
        vessel="pot",
        vessel_minutes=60,
        make_minutes=80,
        pack_minutes_per_bar=Decimal(1),
        cure_days=5,
        tray="wire",
        bars_per_tray=24,
    ),
)

SUPPLIERS = (
    SupplierRow(
        supplier="Ferrane",
        lead_days=42,
        lead_days_late=56,
        lead_counts=LeadCounts.WORKING,
        order_days=(Weekday.TUESDAY, Weekday.FRIDAY),
        freight=Decimal("38.00"),
        free_freight_from=Decimal(500),
        minimum_order=Decimal(250),
        pay_days=30,
        note="by the drum",
    ),
    SupplierRow(supplier="Dunmarrow", lead_days=8),
)

OFFERS = (
    OfferRow(
        supplier="Ferrane",
        material="flakes",
        pack_size=Decimal("25.0"),
        pack_unit="kg",
        price=Decimal("420.00"),
        min_packs=2,
        max_packs=8,
        price_from_packs=4,
        lead_days=40,
        lead_days_late=50,
        first_day=YearlyDay(2, 29),
        last_day=date(2027, 3, 31),
        shelf_life_days=700,
    ),
    OfferRow(
        supplier="Dunmarrow",
        material="betaine",
        pack_size=Decimal(5),
        pack_unit="l",
        price=Decimal(24),
    ),
)

STOCK = (
    StockRow(
        item="flakes",
        lot="F-1",
        quantity=Decimal("9.60"),
        unit="kg",
        received=date(2026, 3, 2),
        use_by=date(2028, 3, 31),
        status=StockStatus.QUARANTINE,
        supplier="Ferrane",
        supplier_lot="0815",
    ),
    StockRow(item="betaine", lot="B-1", quantity=Decimal("3.5"), unit="fl oz US"),
    StockRow(item="oat bar", lot="O-1", quantity=Decimal(40)),
    StockRow(item="kelp glycerite", lot="F-1", quantity=Decimal(0)),
)

OPEN_ORDERS = (
    OpenOrderRow(
        reference="PO-7",
        supplier="Ferrane",
        material="flakes",
        quantity=Decimal(25),
        unit="kg",
        ordered=date(2026, 8, 3),
        expected=date(2026, 9, 14),
        status=OrderStatus.UNCONFIRMED,
    ),
    OpenOrderRow(
        reference="PO-8",
        supplier="Dunmarrow",
        material="box",
        quantity=Decimal(500),
        unit="ea",
        expected=date(2026, 9, 7),
    ),
)

IN_PROGRESS = (
    InProgressRow(
        lot="K-1",
        product="kelp bar",
        bars=48,
        poured=date(2026, 8, 28),
        unmoulded=date(2026, 8, 29),
        note="a little soft",
    ),
    InProgressRow(lot="KG-2", preparation="kelp glycerite", quantity=Decimal("820.5"), poured=DAY),
)

DEMAND = (
    DemandRow(
        demand="autumn",
        kind=DemandKind.LAUNCH,
        product="kelp bar",
        quantity=96,
        day=date(2026, 10, 12),
        launch="kelp line",
        importance=Decimal(2),
    ),
    DemandRow(
        demand="oat shop",
        kind=DemandKind.RETAIL,
        product="oat bar",
        quantity=16,
        day=DAY,
        last_day=date(2026, 11, 1),
        per=Per.WEEK,
        customer="web shop",
    ),
)

TABLES = Tables(
    workshop=(WORKSHOP,),
    hands=(
        HandsRow(person="Una", weekday=Weekday.MONDAY, minutes=420),
        HandsRow(person="Una", weekday=Weekday.SUNDAY, minutes=0),
    ),
    closures=(
        ClosureRow(
            who="workshop", first_day=date(2026, 10, 26), last_day=date(2026, 10, 30), reason="rest"
        ),
        ClosureRow(who="Ferrane", first_day=date(2026, 12, 24), last_day=date(2027, 1, 6)),
    ),
    extra_days=(ExtraDayRow(day=date(2026, 12, 12), person="Una", minutes=300),),
    materials=MATERIALS,
    preparations=PREPARATIONS,
    products=PRODUCTS,
    batch_sizes=(
        BatchSizeRow(product="kelp bar", bars=48),
        BatchSizeRow(product="oat bar", bars=96),
    ),
    formulas=(
        FormulaRow(item="kelp bar", part="flakes", percent=Decimal("87.25")),
        FormulaRow(item="kelp bar", part="kelp glycerite", percent=Decimal("12.75")),
        FormulaRow(item="oat bar", part="flakes", percent=Decimal(100)),
        FormulaRow(item="kelp glycerite", part="betaine", percent=Decimal(100)),
        FormulaRow(item="citric solution", part="betaine", percent=Decimal(100)),
    ),
    packaging=(PackagingRow(product="kelp bar", material="box", quantity_per_bar=Decimal(1)),),
    moulds=(MouldRow(mould="slab", count=8, cavities=24, turns_per_day=2),),
    vessels=(VesselRow(vessel="pot", count=1, capacity_g=Decimal(9000), minutes_per_day=480),),
    places=(PlaceRow(place="fridge", moulds=6, turns_per_day=3),),
    trays=(TrayRow(tray="wire", count=18),),
    suppliers=SUPPLIERS,
    offers=OFFERS,
    stock=STOCK,
    open_orders=OPEN_ORDERS,
    in_progress=IN_PROGRESS,
    demand=DEMAND,
    sales=(
        SaleRow(day=date(2026, 8, 29), product="oat bar", quantity=7, channel="market"),
        SaleRow(day=date(2026, 8, 30), product="oat bar", quantity=-1, reference="S-12"),
        SaleRow(day=date(2026, 8, 30), product="oat bar", quantity=-1, reference="S-12"),
    ),
    budget=(BudgetRow(month="2026-09", amount=Decimal("1200.00")),),
    cash=(
        CashRow(kind=CashKind.BALANCE, day=DAY, amount=Decimal("-310.25"), note="overdrawn"),
        CashRow(kind=CashKind.COST, day=DAY, amount=Decimal(640), every=Every.MONTH),
    ),
)


def with_stock(*rows: StockRow) -> Tables:
    """The tables with another table of stock."""
    return replace(TABLES, stock=rows)


def filled(path: Path, tables: Tables = TABLES) -> Path:
    """A workshop file at `path` that holds the tables."""
    with open_store(path, create=True) as store:
        store.load(tables, DAY)
    return path
