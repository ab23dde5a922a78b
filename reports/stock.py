"""What is on hand and on the way, how long it lasts, and by when more must be ordered."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from rich.console import Group, RenderableType

from planner.cover import Cover, Reorder, covers
from planner.workshop import DemandKind, Unit
from reports.plan_json import waste_json
from reports.style import ACT, columns, heading, loud, marked, plain, quiet
from reports.view import View, envelope, head, number
from reports.words import amount_text, days_text, list_text

LASTS = "lasts the plan"
TOO_LATE = "too late"
LEGEND = (
    f"Runs out: first day on which the plan needs more than is on hand and on the way. "
    f"{ACT} = no order day is left, or the next one is today. Blocked stock never counts."
)
BELOW = "{item} falls below its safety stock of {amount} on {day}."
REORDER = "Order again: by when, and how much is left then"
BARS = "Bars"
SPOILED = "Passes its date unused"


def content(view: View) -> dict[str, Any]:
    """The report as JSON."""
    return envelope(
        view,
        "stock",
        {
            "items": [_item_json(view, cover) for cover in _by_run_out(view)],
            "products": [_bars_json(view, bars) for bars in bars_of(view)],
            "waste": [waste_json(view, waste) for waste in sorted(view.account.waste)],
        },
    )


def _by_run_out(view: View) -> list[Cover]:
    """Every item, the one that runs out first first, those that last at the end."""
    return sorted(
        covers(view.workshop, view.account),
        key=lambda c: (view.workshop.days if c.run_out is None else c.run_out, c.item),
    )


def _item_json(view: View, cover: Cover) -> dict[str, Any]:
    amounts = {
        "on_hand": cover.on_hand,
        "in_quarantine": cover.waiting,
        "blocked": cover.blocked,
        "on_the_way": cover.on_the_way,
        "needed": cover.needed,
        "planned": cover.planned,
        "safety_stock": cover.safety_stock,
    }
    return {
        "item": cover.item,
        "unit": str(cover.unit),
        **{name: number(amount, cover.unit) for name, amount in amounts.items()},
        "run_out": view.dates.iso(cover.run_out),
        "cover_days": cover.run_out,
        "below_safety_stock": view.dates.iso(cover.below_safety),
        "next_order": view.dates.iso(cover.next_order),
        "reorder": [
            {
                "supplier": view.workshop.offers[way.offer].supplier,
                "pack": view.workshop.offers[way.offer].pack,
                "order_by": view.dates.iso(way.order_by),
                "left_then": number(way.left, cover.unit),
            }
            for way in cover.reorders
        ],
    }


def page(view: View) -> RenderableType:
    """The report for a reader."""
    found = _by_run_out(view)
    return Group(
        head(view, "stock"),
        heading("Materials and preparations"),
        _cover_table(view, found),
        *_safety(view, found),
        heading(REORDER),
        _reorder_table(view, found),
        quiet(LEGEND),
        heading(BARS),
        _bars_table(view),
        *_spoiled(view),
    )


def _cover_table(view: View, found: Iterable[Cover]) -> RenderableType:
    table = columns("Item", "On hand", "On the way", "Needed", "Runs out", "Cover", right="lrrrnn")
    for cover in found:
        table.add_row(
            marked(cover.item, cover.run_out is not None and is_due(cover)),
            _amount(cover.on_hand, cover.unit),
            _amount(cover.on_the_way, cover.unit),
            _amount(cover.needed, cover.unit),
            LASTS if cover.run_out is None else view.dates.text(cover.run_out),
            "" if cover.run_out is None else days_text(cover.run_out),
        )
    return table


def _amount(amount: int, unit: Unit) -> str:
    return amount_text(amount, unit) if amount else "-"


def is_due(cover: Cover) -> bool:
    """True if the item can be bought, and no later day than today will do for any of its packs."""
    days = [way.order_by or 0 for way in cover.reorders]
    return bool(days) and max(days) <= 0


def _safety(view: View, found: Iterable[Cover]) -> list[RenderableType]:
    """One line for each item that falls below its safety stock."""
    return [
        loud(
            BELOW.format(
                item=cover.item,
                amount=amount_text(cover.safety_stock, cover.unit),
                day=view.dates.text(cover.below_safety),
            )
        )
        for cover in found
        if cover.below_safety is not None
    ]


def _reorder_table(view: View, found: Iterable[Cover]) -> RenderableType:
    table = columns("Item", "Packs", "From", "Order by", "Left then", "In the plan", right="lllnrn")
    for cover in found:
        for place, ways in enumerate(_joined(view, cover.reorders)):
            table.add_row(
                cover.item if place == 0 else "",
                _packs(view, ways),
                _supplier(view, ways[0]),
                _order_by(view, ways[0]),
                _amount(ways[0].left, cover.unit),
                _next_order(view, cover) if place == 0 else "",
            )
    return table


def _joined(view: View, ways: tuple[Reorder, ...]) -> list[list[Reorder]]:
    """The packs that one supplier sends by the same day, together.

    What comes too late is left out where the same supplier has something that does not.
    """
    joined: dict[tuple[str, int | None], list[Reorder]] = {}
    in_time = {_supplier(view, way) for way in ways if way.order_by is not None}
    for way in ways:
        supplier = _supplier(view, way)
        if way.order_by is not None or supplier not in in_time:
            joined.setdefault((supplier, way.order_by), []).append(way)
    return list(joined.values())


def _supplier(view: View, way: Reorder) -> str:
    return view.workshop.offers[way.offer].supplier


def _packs(view: View, ways: list[Reorder]) -> str:
    """Every size once."""
    return list_text(dict.fromkeys(view.workshop.offers[way.offer].pack for way in ways))


def _order_by(view: View, way: Reorder) -> RenderableType:
    if way.order_by is None:
        return loud(TOO_LATE)
    return marked(view.dates.text(way.order_by), way.order_by == 0)


def _next_order(view: View, cover: Cover) -> str:
    return "-" if cover.next_order is None else view.dates.text(cover.next_order)


@dataclass(frozen=True, kw_only=True)
class Bars:
    """One product in bars: now, under way, in the plan, and the first day on which one is lost."""

    product: str
    on_hand: int
    under_way: int
    made: int
    asked: int
    served: int
    first_lost: int | None


def bars_of(view: View) -> tuple[Bars, ...]:
    """Every product, in the order of the tables."""
    return tuple(_bars(view, product) for product in view.workshop.products)


def _bars(view: View, product: str) -> Bars:
    batches = [batch for batch in view.account.batches if batch.product == product]
    rows = [row for row in view.account.service if row.product == product]
    sold = [row for row in rows if row.kind in (DemandKind.RETAIL, DemandKind.ORDER)]
    lost = [day for row in sold for day, bars in enumerate(row.lost_by_day) if bars > 0]
    lots = [lot for lot in view.workshop.lots if lot.item == product]
    return Bars(
        product=product,
        on_hand=sum(lot.amount for lot in lots if lot.is_usable),
        under_way=sum(batch.good for batch in batches if batch.in_progress),
        made=sum(batch.good for batch in batches if not batch.in_progress),
        asked=sum(row.served + row.lost for row in sold),
        served=sum(row.served for row in sold),
        first_lost=min(lost, default=None),
    )


def _bars_json(view: View, bars: Bars) -> dict[str, Any]:
    return {
        "product": bars.product,
        "on_hand": bars.on_hand,
        "under_way": bars.under_way,
        "made": bars.made,
        "asked": bars.asked,
        "served": bars.served,
        "first_lost": view.dates.iso(bars.first_lost),
    }


def _bars_table(view: View) -> RenderableType:
    heads = ("On hand", "Under way", "Plan makes", "Asked", "Served", "First lost sale")
    table = columns("Product", *heads, right="lrrrrrn")
    for bars in bars_of(view):
        counts = (bars.on_hand, bars.under_way, bars.made, bars.asked, bars.served)
        lost = plain("none") if bars.first_lost is None else loud(view.dates.text(bars.first_lost))
        table.add_row(bars.product, *(f"{count:,}" for count in counts), lost)
    return table


def _spoiled(view: View) -> list[RenderableType]:
    if not view.account.waste:
        return []
    table = columns("Last day", "Item", "Lot", "Amount", "Worth", right="nllrr")
    for waste in sorted(view.account.waste):
        table.add_row(
            view.dates.text(waste.day - 1),
            waste.item,
            waste.lot,
            _amount(waste.amount, view.workshop.unit_of(waste.item)),
            view.money.text(waste.value),
        )
    return [heading(SPOILED), table]
