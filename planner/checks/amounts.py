"""Amounts whose unit does not fit, and money finer than the smallest coin."""

from collections.abc import Iterator
from decimal import Decimal

from planner.checks.faults import error, warning
from planner.findings import Finding
from planner.records.lookup import Records
from planner.records.money import minor_digits, minor_units
from planner.records.supply import plain
from planner.tables.rows import Row
from planner.units import UnitError
from planner.workshop import Unit


def check_amounts(records: Records) -> Iterator[Finding]:
    """Every amount can be counted in the smallest unit of its item: mg, thousandths of ml, ea."""
    tables = records.tables
    for material in tables.materials:
        amount = ("safety_stock", material.safety_stock)
        yield from _misfit(records, "materials", material, material.material, amount)
    for made in tables.preparations:
        for amount in (("safety_stock", made.safety_stock), ("batch_size", made.batch_size)):
            yield from _misfit(records, "preparations", made, made.preparation, amount)
    for offer in tables.offers:
        amount, unit = ("pack_size", offer.pack_size), ("pack_unit", offer.pack_unit)
        yield from _misfit(records, "offers", offer, offer.material, amount, unit)
    for lot in tables.stock:
        written = ("unit", lot.unit) if lot.unit else None
        yield from _misfit(records, "stock", lot, lot.item, ("quantity", lot.quantity), written)
    for order in tables.open_orders:
        amount, unit = ("quantity", order.quantity), ("unit", order.unit)
        yield from _misfit(records, "open_orders", order, order.material, amount, unit)
    for begun in tables.in_progress:
        if begun.preparation and begun.quantity:
            amount = ("quantity", begun.quantity)
            yield from _misfit(records, "in_progress", begun, begun.preparation, amount)


def _misfit(
    records: Records,
    table: str,
    row: Row,
    item: str,
    amount: tuple[str, Decimal],
    unit: tuple[str, str] | None = None,
) -> Iterator[Finding]:
    """The fault of one amount, if it has one; amount and unit come with their columns."""
    base = records.unit_of(item)
    if base is None:
        return
    column, quantity = amount
    try:
        counted = records.amount(item, quantity, unit[1] if unit else None)
    except UnitError as fault:
        in_unit = unit is not None and not (base is Unit.PIECE and "pieces" in fault.expected)
        yield error(
            table,
            row,
            unit[0] if unit and in_unit else column,
            found=f"{fault.found} of {item}",
            expected=fault.expected,
            action=fault.action,
        )
        return
    if quantity > 0 and counted == 0:
        yield error(
            table,
            row,
            column,
            found=f"{plain(quantity)} {unit[1] if unit else base.value} of {item}",
            expected=f"at least {'1 ea' if base is Unit.PIECE else f'0.001 {base.value}'}",
            action="check the number and its unit",
        )


def check_yields(records: Records) -> Iterator[Finding]:
    """Something of a lot can be used: batch_size x yield_percent is no less than 0.001 g or ml."""
    for row in records.tables.preparations:
        usable = row.batch_size * row.unit.parts * row.yield_percent / 100
        if usable < 1 <= row.batch_size * row.unit.parts:
            yield error(
                "preparations",
                row,
                "yield_percent",
                found=f"{plain(row.yield_percent)} percent of {plain(row.batch_size)} "
                f"{row.unit.value}",
                expected="something that can be used",
                action="correct batch_size or yield_percent",
            )


MONEY_COLUMNS = {
    "workshop": ("clean_down",),
    "products": ("price", "wholesale_price"),
    "suppliers": ("freight", "free_freight_from", "minimum_order"),
    "offers": ("price",),
    "budget": ("amount",),
    "cash": ("amount",),
}


def check_money(records: Records) -> Iterator[Finding]:
    """Money has no more decimals than its currency; more are rounded, which hurts small prices."""
    currency = records.workshop.currency
    digits = minor_digits(currency)
    for table, columns in MONEY_COLUMNS.items():
        for row in getattr(records.tables, table):
            for column in columns:
                money: Decimal | None = getattr(row, column)
                if money is None or money == (counted := _rounded(money, digits)):
                    continue
                yield warning(
                    table,
                    row,
                    column,
                    found=f"{plain(money)} {currency}",
                    expected=f"at most {digits} decimals; it counts as {plain(counted)}",
                    action="write the rounded amount; for small parts the price of a larger pack",
                )


def _rounded(money: Decimal, digits: int) -> Decimal:
    return Decimal(minor_units(money, digits)).scaleb(-digits)
