"""The rows of the tables that say what is made and of what."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated

from planner.tables.columns import About, Row
from planner.tables.values import (
    Count,
    Days,
    LossPercent,
    MaterialKind,
    Minutes,
    Money,
    Name,
    PartPercent,
    Percent,
    PositiveCount,
    PositiveDays,
    PositiveQuantity,
    Quantity,
    Text,
    Weight,
)
from planner.workshop import Unit


@dataclass(frozen=True, kw_only=True)
class MaterialRow(Row):
    """A bought ingredient, packaging material or consumable."""

    material: Annotated[Name, About("short name of the material", key=True)]
    kind: Annotated[MaterialKind, About("what it is for")]
    unit: Annotated[Unit, About("base unit in which it is kept")]
    density_g_per_ml: Annotated[
        PositiveQuantity | None, About("density in g/ml; needed to weigh what is kept in ml")
    ] = None
    safety_stock: Annotated[Quantity, About("stock wished for at all times, in the base unit")] = (
        Decimal(0)
    )
    receive_days: Annotated[
        Days | None, About("working days from arrival until released; blank: as in `workshop`")
    ] = None
    caution: Annotated[Text, About("warning shown where it is weighed")] = ""
    note: Annotated[Text, About("anything else")] = ""


@dataclass(frozen=True, kw_only=True)
class PreparationRow(Row):
    """A part made in-house in lots: an infusion, glycerite, hydrosol or solution."""

    preparation: Annotated[Name, About("short name of the preparation", key=True)]
    unit: Annotated[Unit, About("base unit in which it is kept")]
    batch_size: Annotated[
        PositiveQuantity, About("amount put together for one lot, in the base unit")
    ]
    yield_percent: Annotated[
        PartPercent, About("part of the amount put together that can be used, in percent")
    ] = Decimal(100)
    make_minutes: Annotated[Minutes, About("minutes of hands for one lot")]
    ready_days: Annotated[Days, About("calendar days it steeps before it can be used")]
    shelf_life_days: Annotated[
        PositiveDays | None, About("calendar days it can be used from its making; blank: for ever")
    ] = None
    vessel: Annotated[Name | None, About("vessel it is made in, if any", refers=("vessels",))] = (
        None
    )
    vessel_minutes: Annotated[Minutes, About("minutes it takes that vessel")] = 0
    safety_stock: Annotated[Quantity, About("stock wished for at all times, in the base unit")] = (
        Decimal(0)
    )
    caution: Annotated[Text, About("warning shown where it is made")] = ""
    density_g_per_ml: Annotated[
        PositiveQuantity | None, About("density in g/ml; needed if it is kept in ml")
    ] = None


@dataclass(frozen=True, kw_only=True)
class ProductRow(Row):
    """A bar as sold."""

    product: Annotated[Name, About("short name of the product", key=True)]
    line: Annotated[Name, About("line it belongs to: products launched together")]
    pour_g: Annotated[PositiveQuantity, About("mass poured for one bar, in g")]
    net_g: Annotated[PositiveQuantity, About("mass on the label, after the cure, in g")]
    price: Annotated[Money, About("retail price of one bar")]
    wholesale_price: Annotated[
        Money | None, About("price of one bar to a stockist; blank: the retail price")
    ] = None
    mould: Annotated[Name, About("kind of mould", refers=("moulds",))]
    place: Annotated[Name | None, About("where its moulds set", refers=("places",))] = None
    set_days: Annotated[Days, About("nights in the mould; 0: unmoulded the same day")]
    vessel: Annotated[Name, About("vessel it is melted in", refers=("vessels",))]
    vessel_minutes: Annotated[Minutes, About("minutes a batch takes that vessel")]
    make_minutes: Annotated[Minutes, About("minutes of hands for making a batch")]
    make_minutes_per_bar: Annotated[
        Quantity, About("minutes of hands for making, for each bar besides")
    ] = Decimal(0)
    unmould_minutes: Annotated[Minutes, About("minutes of hands for unmoulding a batch")] = 0
    pack_minutes_per_bar: Annotated[Quantity, About("minutes of hands for packing one bar")]
    cure_days: Annotated[Days, About("calendar days on the trays, counted from unmoulding")]
    tray: Annotated[Name, About("kind of drying tray", refers=("trays",))]
    bars_per_tray: Annotated[PositiveCount, About("bars that one tray holds")]
    loss_percent: Annotated[
        LossPercent, About("mass left in pot and spoon, in percent of the mass weighed")
    ] = Decimal(0)
    reject_percent: Annotated[Percent, About("bars rejected, in percent of those poured")] = (
        Decimal(0)
    )
    keep_bars: Annotated[Count, About("bars of a batch kept as samples and testers")] = 0
    shelf_life_days: Annotated[
        PositiveDays | None, About("calendar days it can be sold from its pouring; blank: for ever")
    ] = None
    max_batches_per_day: Annotated[
        PositiveCount | None, About("most batches poured in a day; blank: no such limit")
    ] = None
    importance: Annotated[Weight, About("weight of its lost sales; 1 is usual")] = Decimal(1)


@dataclass(frozen=True, kw_only=True)
class BatchSizeRow(Row):
    """A batch size that the maker pours: full, half and so on; at least one for each product."""

    product: Annotated[Name, About("the product", key=True, refers=("products",))]
    bars: Annotated[PositiveCount, About("bars poured in a batch of this size", key=True)]


@dataclass(frozen=True, kw_only=True)
class FormulaRow(Row):
    """One part of the formula of a product or preparation; each formula sums to 100."""

    item: Annotated[Name, About("what is made", key=True, refers=("products", "preparations"))]
    part: Annotated[
        Name, About("what goes into it", key=True, refers=("materials", "preparations"))
    ]
    percent: Annotated[PartPercent, About("percent by weight of the mass")]


@dataclass(frozen=True, kw_only=True)
class PackagingRow(Row):
    """A packaging material that each bar of a product takes."""

    product: Annotated[Name, About("the product", key=True, refers=("products",))]
    material: Annotated[Name, About("the packaging material", key=True, refers=("materials",))]
    quantity_per_bar: Annotated[
        PositiveQuantity, About("amount for one bar, in the material's base unit")
    ]
