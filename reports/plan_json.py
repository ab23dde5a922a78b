"""The plan as JSON, for other programs: dates ISO 8601, money as decimal strings, all sorted.

Quantities are numbers in the item's base unit (g, ml or ea). The value and bound of a stage are
money where its goal is (decimal strings), and whole numbers for calm.
"""

from itertools import groupby
from typing import Any

from planner.account import BatchFacts, LineFacts, PurchaseFacts, Service, Waste
from planner.causes import Shortfall
from planner.plan import Stage
from planner.workshop import DemandKind, Unit
from reports.view import SCHEMA, View, number

MONEY_GOALS = ("service", "money")


def plan_json(view: View) -> dict[str, Any]:
    """Everything the plan decides and comes to."""
    account = view.account
    return {
        "schema": SCHEMA,
        "workshop": view.workshop.name,
        "first_day": view.dates.iso(0),
        "last_day": view.dates.iso(view.last_day),
        "status": str(view.plan.status),
        "certified": account.certified,
        "stages": [_stage(view, stage) for stage in view.plan.stages],
        "batches": [batch_json(view, batch) for batch in sorted(account.batches)],
        "preparations": [
            {
                "preparation": made.preparation,
                "quantity": number(made.amount, view.workshop.unit_of(made.preparation)),
                "make": view.dates.iso(made.make),
                "ready": view.dates.iso(made.ready),
            }
            for made in sorted(account.preparations)
        ],
        "purchases": [
            entry for bought in sorted(account.purchases) for entry in _purchase(view, bought)
        ],
        "service": [
            service_json(view, row)
            for row in sorted(account.service, key=lambda row: (row.due, row.demand))
        ],
        "shortfalls": [
            shortfall_json(view, each)
            for each in sorted(view.shortfalls, key=lambda s: (s.first_day, s.demand, s.item))
        ],
        "waste": [waste_json(view, waste) for waste in sorted(account.waste)],
    }


def _stage(view: View, stage: Stage) -> dict[str, Any]:
    counts: Any = view.money.exact_thousandths if stage.goal in MONEY_GOALS else int
    return {
        "goal": stage.goal,
        "value": counts(stage.value),
        "bound": counts(stage.bound),
        "seconds": round(stage.seconds, 3),
        "status": str(stage.status),
    }


def batch_json(view: View, batch: BatchFacts) -> dict[str, Any]:
    """One batch, planned or under way."""
    return {
        "product": batch.product,
        "bars": batch.bars,
        "good_bars": batch.good,
        "pour": view.dates.iso(batch.pour),
        "unmould": view.dates.iso(batch.unmould),
        "pack": view.dates.iso(batch.pack),
        "moulds": batch.moulds,
        "trays": batch.trays,
        "in_progress": batch.in_progress,
    }


def _purchase(view: View, purchase: PurchaseFacts) -> list[dict[str, Any]]:
    """One entry for each arrival day and release day; the freight is on the first of them."""
    lines = sorted(purchase.lines, key=lambda line: (line.arrive, line.usable, line.offer))
    entries: list[dict[str, Any]] = []
    for (arrive, usable), arriving in groupby(lines, key=lambda line: (line.arrive, line.usable)):
        together = list(arriving)
        freight = 0 if entries else purchase.freight
        entries.append(
            {
                "supplier": purchase.supplier,
                "order": view.dates.iso(purchase.order),
                "arrive": view.dates.iso(arrive),
                "usable": view.dates.iso(usable),
                "lines": [line_json(view, line) for line in together],
                "freight": view.money.exact(freight),
                "cost": view.money.exact(freight + sum(line.cost for line in together)),
                "pay": view.dates.iso(purchase.pay),
            }
        )
    return entries


def line_json(view: View, line: LineFacts) -> dict[str, Any]:
    """One line of an order to a supplier."""
    offer = view.workshop.offers[line.offer]
    size = float(offer.pack_size)
    return {
        "material": line.material,
        "pack_size": int(size) if size.is_integer() else size,
        "pack_unit": offer.pack_unit,
        "packs": line.packs,
        "cost": view.money.exact(line.cost),
    }


def service_json(view: View, row: Service) -> dict[str, Any]:
    """How one row of demand fares: "met" is a day, for retail the bars sold, else null."""
    met: Any = row.served if row.kind is DemandKind.RETAIL else view.dates.iso(row.met)
    return {
        "demand": row.demand,
        "product": row.product,
        "due": view.dates.iso(row.due),
        "quantity": row.quantity,
        "met": met,
        "late_days": row.late_days,
        "lost": row.lost,
    }


def shortfall_json(view: View, shortfall: Shortfall) -> dict[str, Any]:
    """One shortfall, of a demand row in bars or of an item in its base unit; "day" is its first."""
    if shortfall.demand:
        what, quantity = {"demand": shortfall.demand}, number(shortfall.quantity, Unit.PIECE)
    else:
        unit = view.workshop.unit_of(shortfall.item)
        what, quantity = {"item": shortfall.item}, number(shortfall.quantity, unit)
    return {
        **what,
        "day": view.dates.iso(shortfall.first_day),
        "quantity": quantity,
        "unit": shortfall.unit,
        "cause": str(shortfall.cause),
    }


def waste_json(view: View, waste: Waste) -> dict[str, Any]:
    """What passed its use-by date; "day" is the first on which it can no longer be used."""
    unit = view.workshop.unit_of(waste.item)
    return {
        "item": waste.item,
        "lot": waste.lot,
        "quantity": number(waste.amount, unit),
        "unit": str(unit),
        "day": view.dates.iso(waste.day),
    }
