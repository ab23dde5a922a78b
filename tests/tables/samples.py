"""A small set of tables that can be read without a fault."""

from datetime import date
from decimal import Decimal

from planner.tables.rows import (
    BatchSizeRow,
    FormulaRow,
    HandsRow,
    MaterialRow,
    MouldRow,
    OfferRow,
    ProductRow,
    StockRow,
    SupplierRow,
    Tables,
    TrayRow,
    VesselRow,
    WorkshopRow,
)
from planner.tables.values import MaterialKind, Weekday, YearlyDay
from planner.workshop import Unit

GOOD_TABLES = Tables(
    workshop=(WorkshopRow(name="Two pots", currency="EUR"),),
    hands=(HandsRow(person="Ada", weekday=Weekday.MONDAY, minutes=300),),
    materials=(MaterialRow(material="wax", kind=MaterialKind.INGREDIENT, unit=Unit.GRAM),),
    products=(
        ProductRow(
            product="mint",
            line="herbs",
            pour_g=Decimal("62.5"),
            net_g=Decimal(60),
            price=Decimal("12.50"),
            mould="six",
            set_days=1,
            vessel="pot",
            vessel_minutes=75,
            make_minutes=110,
            pack_minutes_per_bar=Decimal("1.1"),
            cure_days=7,
            tray="rack",
            bars_per_tray=24,
        ),
    ),
    batch_sizes=(BatchSizeRow(product="mint", bars=24),),
    formulas=(FormulaRow(item="mint", part="wax", percent=Decimal(100)),),
    moulds=(MouldRow(mould="six", count=4, cavities=6),),
    vessels=(VesselRow(vessel="pot", count=1, capacity_g=Decimal(4000), minutes_per_day=400),),
    trays=(TrayRow(tray="rack", count=6),),
    suppliers=(SupplierRow(supplier="mill", lead_days=10),),
    offers=(
        OfferRow(
            supplier="mill",
            material="wax",
            pack_size=Decimal(5),
            pack_unit="kg",
            price=Decimal("49.90"),
            first_day=YearlyDay(5, 1),
        ),
    ),
    stock=(
        StockRow(
            item="wax", lot="W1", quantity=Decimal("2.5"), unit="kg", use_by=date(2027, 3, 31)
        ),
    ),
)
