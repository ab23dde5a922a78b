"""Rows of demand for the tiny workshop's bar, and a workshop that has them."""

from dataclasses import replace

from planner.workshop import Demand, DemandKind, Lot, Workshop
from tests.workshop_parts import demand_row
from tests.workshops import tiny

BAR = tiny().products["bar"]


def order(quantity: int, day: int, name: str = "order") -> Demand:
    """An order of bars."""
    return demand_row(BAR, DemandKind.ORDER, quantity, day, id=name)


def launch(quantity: int, day: int, name: str = "spring", product: str = "bar") -> Demand:
    """A row of a launch."""
    row = demand_row(BAR, DemandKind.LAUNCH, quantity, day, launch=name)
    return replace(row, id=f"{name} {product}", product=product)


def shop(*rows: Demand, bars: int = 0, use_by: int | None = None) -> Workshop:
    """Base for ten batches, some bars in stock and this demand."""
    base = Lot(item="base", lot="base-1", amount=10_000_000)
    stock = Lot(item="bar", lot="bar-0", amount=bars, use_by=use_by)
    return tiny(demand=rows, lots=(base, stock) if bars else (base,))


def retail(quantity: int, day: int, last_day: int | None = None, **more: object) -> Demand:
    """Bars asked for in a week; a bar lost weighs 1000."""
    row = Demand(
        id="retail",
        kind=DemandKind.RETAIL,
        product="bar",
        quantity=quantity,
        day=day,
        last_day=last_day,
        weight=1000,
    )
    return replace(row, **more)  # type: ignore[arg-type]


def level(quantity: int, day: int, last_day: int | None = None) -> Demand:
    """A restock level; a bar and day below it weighs 10."""
    return Demand(
        id="level",
        kind=DemandKind.RESTOCK,
        product="bar",
        quantity=quantity,
        day=day,
        last_day=last_day,
        weight=10,
    )
