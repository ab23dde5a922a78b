"""Records of what is wanted, with the loss that a late or missing bar counts for, and budgets."""

from collections.abc import Mapping
from datetime import date
from fractions import Fraction

from planner.days import month_days
from planner.records.lookup import Records
from planner.records.money import half_up, share
from planner.tables.rows import BudgetRow, DemandRow, ProductRow
from planner.workshop import Budget, Demand, DemandKind

WAITING = (DemandKind.ORDER, DemandKind.LAUNCH)
"""The kinds that are met whole on one day, later if need be."""


def launch_days(records: Records) -> Mapping[str, date]:
    """Launch -> its day: the latest of its rows' days."""
    days: dict[str, date] = {}
    for row in records.tables.demand:
        if row.kind is DemandKind.LAUNCH and row.launch:
            days[row.launch] = max(row.day, days.get(row.launch, row.day))
    return days


def first_launch(records: Records) -> Mapping[str, int]:
    """Product -> the day number of its first launch, of products that have one."""
    named = launch_days(records)
    first: dict[str, int] = {}
    for row in records.tables.demand:
        if row.kind is DemandKind.LAUNCH and row.launch:
            day = records.day(named[row.launch])
            first[row.product] = min(day, first.get(row.product, day))
    return first


def day_of(records: Records, row: DemandRow) -> int:
    """The day number on which a row falls due or begins; a launch has one day for all its rows."""
    if row.kind is DemandKind.LAUNCH and row.launch:
        return records.day(launch_days(records)[row.launch])
    return records.day(row.day)


def lies_beyond(records: Records, row: DemandRow) -> bool:
    """True if a row cannot matter to the plan because it comes after it.

    Retail of a product whose launch comes after the plan is beyond it too: it begins with the
    launch.
    """
    begins = day_of(records, row)
    if row.kind is DemandKind.RETAIL:
        begins = max(begins, first_launch(records).get(row.product, begins))
    return begins >= records.days


def is_over(records: Records, row: DemandRow) -> bool:
    """True if a row's last day is past."""
    return row.last_day is not None and row.last_day < records.today


def demand_of(records: Records, row: DemandRow, product: ProductRow) -> Demand:
    """A row of demand with its loss weights, in thousandths of a minor unit.

    bar = 1000 x price x importance of product and row; an order is worth its wholesale price.
    weight: retail bar; restock bar x restock_percent; order and launch quantity x bar x
    late_percent or launch_percent for each late day. unmet: quantity x bar of order and launch.
    """
    importance = Fraction(product.importance) * Fraction(row.importance)
    bar = 1000 * importance * _price(records, row, product)
    whole = bar * row.quantity
    last_day = None if row.last_day is None else records.day(row.last_day)
    return Demand(
        id=row.demand,
        kind=row.kind,
        product=row.product,
        quantity=row.quantity,
        day=day_of(records, row),
        weight=half_up(_lost_at_once(records, row, bar, whole)),
        unmet=half_up(whole) if row.kind in WAITING else 0,
        last_day=last_day if last_day is not None and last_day < records.days else None,
        launch=row.launch or "" if row.kind is DemandKind.LAUNCH else "",
        customer=row.customer,
        importance=importance,
    )


def _price(records: Records, row: DemandRow, product: ProductRow) -> int:
    """What a bar of this row brings, in minor units."""
    if row.kind is DemandKind.ORDER and product.wholesale_price is not None:
        return records.money(product.wholesale_price)
    return records.money(product.price)


def _lost_at_once(records: Records, row: DemandRow, bar: Fraction, whole: Fraction) -> Fraction:
    """What one bar, bar-day or late day of a row loses."""
    costs = records.workshop
    match row.kind:
        case DemandKind.RETAIL:
            return bar
        case DemandKind.RESTOCK:
            return bar * share(costs.restock_percent)
        case DemandKind.ORDER:
            return whole * share(costs.late_percent)
        case DemandKind.LAUNCH:
            return whole * share(costs.launch_percent)


def budget_of(records: Records, row: BudgetRow) -> Budget:
    """The limit of a month, with its first and last day number."""
    year, month = (int(part) for part in row.month.split("-"))
    first, last = month_days(records.today, year, month)
    return Budget(month=row.month, first=first, last=last, amount=records.money(row.amount))
