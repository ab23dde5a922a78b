"""The rows of the tables that say what is wanted and sold, and what money there is."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated

from planner.tables.columns import About, Row
from planner.tables.values import (
    CashKind,
    Count,
    Day,
    Every,
    Money,
    Month,
    Name,
    Per,
    SignedMoney,
    Text,
    Weight,
    Whole,
)
from planner.workshop import DemandKind


@dataclass(frozen=True, kw_only=True)
class DemandRow(Row):
    """Something wanted: a launch, a stockist's order, retail sales, or a level to keep."""

    demand: Annotated[Name, About("short name of this row", key=True)]
    kind: Annotated[DemandKind, About("what kind of demand")]
    product: Annotated[Name, About("the product", refers=("products",))]
    quantity: Annotated[Count, About("bars; of retail: bars in a week; of restock: the level")]
    day: Annotated[Day, About("due day, launch day, or first day of retail and restock")]
    last_day: Annotated[
        Day | None, About("last day of retail or restock; blank: to the end of the plan")
    ] = None
    per: Annotated[Per | None, About("time to which a retail quantity belongs")] = None
    customer: Annotated[Text, About("who ordered")] = ""
    launch: Annotated[
        Name | None, About("name of the launch: rows of one name are launched together")
    ] = None
    importance: Annotated[Weight, About("weight of this row; 1 is usual")] = Decimal(1)


@dataclass(frozen=True, kw_only=True)
class SaleRow(Row):
    """Bars that were sold on a day."""

    day: Annotated[Day, About("day of the sale")]
    product: Annotated[Name, About("the product", refers=("products",))]
    quantity: Annotated[Whole, About("bars sold; negative: returned")]
    channel: Annotated[Text, About("where they were sold")] = ""
    reference: Annotated[Text, About("number of the sale")] = ""


@dataclass(frozen=True, kw_only=True)
class BudgetRow(Row):
    """The most that may leave for purchases in a month: a limit of the plan."""

    month: Annotated[Month, About("the month, YYYY-MM", key=True)]
    amount: Annotated[Money, About("most money that may leave in it for purchases")]


@dataclass(frozen=True, kw_only=True)
class CashRow(Row):
    """Money for the projection of cash: a balance, an income or a cost."""

    kind: Annotated[CashKind, About("what the amount is")]
    day: Annotated[Day, About("day on which it holds or moves")]
    amount: Annotated[SignedMoney, About("the money")]
    every: Annotated[Every | None, About("how often it comes again; blank: once")] = None
    note: Annotated[Text, About("anything else")] = ""
