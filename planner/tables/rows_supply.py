"""The rows of the tables that say what can be bought, what is there and what is on its way."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated

from planner.tables.columns import About, Row
from planner.tables.values import (
    Day,
    Days,
    LeadCounts,
    Money,
    Name,
    OrderStatus,
    PositiveCount,
    PositiveDays,
    PositiveQuantity,
    Quantity,
    SeasonDay,
    StockStatus,
    Text,
    UnitName,
    Weekday,
)

MONDAY_TO_FRIDAY = tuple(Weekday)[:5]


@dataclass(frozen=True, kw_only=True)
class SupplierRow(Row):
    """Somebody who sells materials."""

    supplier: Annotated[Name, About("short name of the supplier", key=True)]
    lead_days: Annotated[Days, About("days from order to arrival")]
    lead_days_late: Annotated[
        Days | None, About("days from order to arrival that 19 in 20 deliveries keep")
    ] = None
    lead_counts: Annotated[LeadCounts, About("days that the lead time counts")] = (
        LeadCounts.CALENDAR
    )
    order_days: Annotated[tuple[Weekday, ...], About("weekdays on which orders go out")] = (
        MONDAY_TO_FRIDAY
    )
    freight: Annotated[Money, About("money for the delivery of an order")] = Decimal(0)
    free_freight_from: Annotated[
        Money | None, About("value of goods from which the delivery is free; blank: never")
    ] = None
    minimum_order: Annotated[
        Money | None, About("least value of goods in an order; blank: none")
    ] = None
    pay_days: Annotated[Days, About("calendar days after the order on which it is paid")] = 0
    note: Annotated[Text, About("anything else")] = ""


@dataclass(frozen=True, kw_only=True)
class OfferRow(Row):
    """A pack that a supplier sells; a price break is a further row."""

    supplier: Annotated[Name, About("who sells it", key=True, refers=("suppliers",))]
    material: Annotated[Name, About("what is sold", key=True, refers=("materials",))]
    pack_size: Annotated[PositiveQuantity, About("amount in one pack, in the pack unit", key=True)]
    pack_unit: Annotated[UnitName, About("unit of the pack size", key=True)]
    price: Annotated[Money, About("price of one pack")]
    min_packs: Annotated[PositiveCount, About("least packs in an order")] = 1
    max_packs: Annotated[PositiveCount | None, About("most packs in an order; blank: any")] = None
    price_from_packs: Annotated[
        PositiveCount, About("packs in an order from which this price holds for all", key=True)
    ] = 1
    lead_days: Annotated[
        Days | None, About("days from order to arrival; blank: as in `suppliers`")
    ] = None
    lead_days_late: Annotated[
        Days | None, About("days that 19 in 20 deliveries keep; blank: as in `suppliers`")
    ] = None
    first_day: Annotated[
        SeasonDay | None, About("first day on which it can be ordered", key=True)
    ] = None
    last_day: Annotated[SeasonDay | None, About("last day on which it can be ordered")] = None
    shelf_life_days: Annotated[
        PositiveDays | None, About("calendar days it can be used from its arrival; blank: for ever")
    ] = None


@dataclass(frozen=True, kw_only=True)
class StockRow(Row):
    """A lot on hand."""

    item: Annotated[
        Name,
        About("what it is", key=True, refers=("materials", "preparations", "products")),
    ]
    lot: Annotated[Name, About("lot number", key=True)]
    quantity: Annotated[Quantity, About("amount on hand")]
    unit: Annotated[UnitName | None, About("unit of the quantity; blank: the item's own")] = None
    received: Annotated[Day | None, About("day on which it arrived or was made")] = None
    use_by: Annotated[Day | None, About("last day on which it can be used")] = None
    status: Annotated[StockStatus, About("whether it can be used")] = StockStatus.FREE
    supplier: Annotated[Name | None, About("who delivered it", refers=("suppliers",))] = None
    supplier_lot: Annotated[Text, About("the supplier's own lot number")] = ""


@dataclass(frozen=True, kw_only=True)
class OpenOrderRow(Row):
    """One material of an order that is on its way (textbook: scheduled receipt)."""

    reference: Annotated[Name, About("the maker's number of the order", key=True)]
    supplier: Annotated[Name, About("who delivers", refers=("suppliers",))]
    material: Annotated[Name, About("what is delivered", key=True, refers=("materials",))]
    quantity: Annotated[PositiveQuantity, About("amount on its way")]
    unit: Annotated[UnitName, About("unit of the quantity")]
    ordered: Annotated[Day | None, About("day of the order")] = None
    expected: Annotated[Day, About("day on which it should arrive", key=True)]
    status: Annotated[OrderStatus, About("whether the supplier has confirmed it")] = (
        OrderStatus.CONFIRMED
    )


@dataclass(frozen=True, kw_only=True)
class InProgressRow(Row):
    """A batch or lot already under way; it holds moulds or trays and becomes stock."""

    lot: Annotated[Name, About("lot number", key=True)]
    product: Annotated[Name | None, About("the product, of a batch", refers=("products",))] = None
    preparation: Annotated[
        Name | None, About("the preparation, of a lot of one", refers=("preparations",))
    ] = None
    bars: Annotated[PositiveCount | None, About("bars poured, of a batch")] = None
    quantity: Annotated[
        PositiveQuantity | None, About("amount that can be used, of a preparation, in its unit")
    ] = None
    poured: Annotated[Day, About("day on which it was poured or put together")]
    unmoulded: Annotated[
        Day | None, About("day on which it left its moulds; blank: still in them")
    ] = None
    note: Annotated[Text, About("anything else")] = ""
