"""All tables of a workshop, one record for each row of each table, as the maker writes them.

Each row class is one table and each of its fields one column of the same name. The annotations
hold the one definition of every column (`planner.tables.columns.columns_of` reads it): type,
bounds, meaning; a field without default is required; None means not given. The first sentence of
a class says what one row is. The classes stand in the `rows_...` files and are all found here.
"""

from dataclasses import dataclass

from planner.tables.columns import Row
from planner.tables.rows_making import (
    BatchSizeRow,
    FormulaRow,
    MaterialRow,
    PackagingRow,
    PreparationRow,
    ProductRow,
)
from planner.tables.rows_selling import (
    BudgetRow,
    CashRow,
    DemandRow,
    SaleRow,
)
from planner.tables.rows_supply import (
    InProgressRow,
    OfferRow,
    OpenOrderRow,
    StockRow,
    SupplierRow,
)
from planner.tables.rows_workshop import (
    ClosureRow,
    ExtraDayRow,
    HandsRow,
    MouldRow,
    PlaceRow,
    TrayRow,
    VesselRow,
    WorkshopRow,
)

__all__ = [
    "BatchSizeRow",
    "BudgetRow",
    "CashRow",
    "ClosureRow",
    "DemandRow",
    "ExtraDayRow",
    "FormulaRow",
    "HandsRow",
    "InProgressRow",
    "MaterialRow",
    "MouldRow",
    "OfferRow",
    "OpenOrderRow",
    "PackagingRow",
    "PlaceRow",
    "PreparationRow",
    "ProductRow",
    "Row",
    "SaleRow",
    "StockRow",
    "SupplierRow",
    "Tables",
    "TrayRow",
    "VesselRow",
    "WorkshopRow",
]


@dataclass(frozen=True, kw_only=True)
class Tables:
    """All tables of a workshop. A table without default must be there."""

    workshop: tuple[WorkshopRow, ...]
    hands: tuple[HandsRow, ...]
    closures: tuple[ClosureRow, ...] = ()
    extra_days: tuple[ExtraDayRow, ...] = ()
    materials: tuple[MaterialRow, ...]
    preparations: tuple[PreparationRow, ...] = ()
    products: tuple[ProductRow, ...]
    batch_sizes: tuple[BatchSizeRow, ...]
    formulas: tuple[FormulaRow, ...]
    packaging: tuple[PackagingRow, ...] = ()
    moulds: tuple[MouldRow, ...]
    vessels: tuple[VesselRow, ...]
    places: tuple[PlaceRow, ...] = ()
    trays: tuple[TrayRow, ...]
    suppliers: tuple[SupplierRow, ...] = ()
    offers: tuple[OfferRow, ...] = ()
    stock: tuple[StockRow, ...] = ()
    open_orders: tuple[OpenOrderRow, ...] = ()
    in_progress: tuple[InProgressRow, ...] = ()
    demand: tuple[DemandRow, ...] = ()
    sales: tuple[SaleRow, ...] = ()
    budget: tuple[BudgetRow, ...] = ()
    cash: tuple[CashRow, ...] = ()
