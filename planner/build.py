"""From the tables to the workshop that plans are made for."""

from datetime import date

from planner.checks import findings_of
from planner.findings import Finding
from planner.records.lookup import Records
from planner.records.making import (
    material_of,
    mould_of,
    place_of,
    preparation_of,
    product_of,
    tray_of,
    vessel_of,
)
from planner.records.money import minor_digits, share
from planner.records.supply import (
    lot_of,
    lot_under_way,
    offers_of,
    receipt_of,
    supplier_of,
    underway_of,
)
from planner.records.values import values_of
from planner.records.wants import budget_of, demand_of, is_over, lies_beyond
from planner.tables.rows import DemandRow, Tables
from planner.tables.values import StockStatus
from planner.workshop import Costs, Demand, DemandKind, Lot, Underway, Workshop


def build(
    tables: Tables, today: date, *, complete: bool = True
) -> tuple[Workshop | None, tuple[Finding, ...]]:
    """The workshop on `today`, the plan's first day, and all findings about its tables.

    There is no workshop if one of the findings is an error, nor from tables that are not
    `complete` because rows with unreadable cells were left out; those are only checked, as far as
    missing rows cannot mislead.
    """
    records = Records(tables=tables, today=today)
    findings = findings_of(records, complete=complete)
    if not complete or any(finding.is_error for finding in findings):
        return None, findings
    return _workshop(records), findings


def _workshop(records: Records) -> Workshop:
    """The records of tables without errors, put together."""
    row, tables = records.workshop, records.tables
    workshop = Workshop(
        name=row.name,
        currency=row.currency,
        currency_digits=minor_digits(row.currency),
        first_day=records.today,
        days=records.days,
        minutes=records.calendar.minutes,
        costs=_costs(records),
        materials={one.material: material_of(records, one) for one in tables.materials},
        preparations={one.preparation: preparation_of(records, one) for one in tables.preparations},
        products={one.product: product_of(records, one) for one in tables.products},
        moulds={one.mould: mould_of(one) for one in tables.moulds},
        vessels={one.vessel: vessel_of(one) for one in tables.vessels},
        places={one.place: place_of(one) for one in tables.places},
        trays={one.tray: tray_of(one) for one in tables.trays},
        suppliers={one.supplier: supplier_of(records, one) for one in tables.suppliers},
        offers={offer.id: offer for _, offer in offers_of(records)},
        lots=(*_stock(records, blocked=False), *_lots_under_way(records)),
        blocked=_stock(records, blocked=True),
        receipts=tuple(receipt_of(records, one) for one in tables.open_orders),
        underway=_underway(records),
        demand=_demand(records),
        budgets=tuple(budget_of(records, one) for one in tables.budget),
    )
    return workshop.changed(values=values_of(workshop))


def _costs(records: Records) -> Costs:
    row = records.workshop
    return Costs(
        capital=share(row.capital_percent),
        safety=share(row.safety_percent),
        clean_down=records.money(row.clean_down),
        frozen_days=row.frozen_days,
    )


def _stock(records: Records, *, blocked: bool) -> tuple[Lot, ...]:
    """The lots on hand, either the blocked ones or the others; empty ones are left out."""
    return tuple(
        lot_of(records, row)
        for row in records.tables.stock
        if (row.status is StockStatus.BLOCKED) is blocked and row.quantity > 0
    )


def _lots_under_way(records: Records) -> tuple[Lot, ...]:
    return tuple(
        lot_under_way(records, row, records.preparations[row.preparation])
        for row in records.tables.in_progress
        if row.preparation is not None
    )


def _underway(records: Records) -> tuple[Underway, ...]:
    return tuple(
        underway_of(records, row, records.products[row.product])
        for row in records.tables.in_progress
        if row.product is not None
    )


def _demand(records: Records) -> tuple[Demand, ...]:
    """The rows that matter to the plan; the checks have warned of the others."""
    return tuple(
        demand_of(records, row, records.products[row.product])
        for row in records.tables.demand
        if _asks(row) and not is_over(records, row) and not lies_beyond(records, row)
    )


def _asks(row: DemandRow) -> bool:
    """A launch of no bars still says when retail begins; other rows of none say nothing."""
    return row.quantity > 0 or row.kind is DemandKind.LAUNCH
