"""What is short, late or lost: which demand, how much, from when to when, and what held it up."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from rich.console import Group, RenderableType

from planner.causes import Cause, Shortfall
from planner.workshop import DemandKind
from reports.plan_json import shortfall_json
from reports.style import heading, indented, loud, plain
from reports.view import View, envelope, head
from reports.words import amount_text, count_text

NOTHING = "Nothing is short, late or lost in this plan."
WORST_FIRST = "Causes in the order of what they cost; every loss is weighed by its importance."
DEEDS = {
    DemandKind.RETAIL: "lost",
    DemandKind.ORDER: "late",
    DemandKind.LAUNCH: "late",
    DemandKind.RESTOCK: "below the level",
}


@dataclass(frozen=True, kw_only=True)
class Loss:
    """A shortfall and what it costs, in thousandths of a minor unit."""

    shortfall: Shortfall
    cost: Fraction


@dataclass(frozen=True, kw_only=True)
class Hit:
    """All shortfalls of one product, kind of demand and cause, put together."""

    product: str
    kind: DemandKind
    cause: Cause
    bars: int
    first_day: int
    last_day: int
    cost: Fraction


def losses(view: View) -> list[Loss]:
    """Every shortfall with its cost, the dearest first.

    A demand row's loss is spread over its shortfalls by their quantities.
    """
    cost = {row.demand: row.loss for row in view.account.service}
    bars: dict[str, int] = {}
    for each in view.shortfalls:
        bars[each.demand] = bars.get(each.demand, 0) + each.quantity
    found = [
        Loss(
            shortfall=each,
            cost=Fraction(cost.get(each.demand, 0) * each.quantity, max(1, bars[each.demand])),
        )
        for each in view.shortfalls
    ]
    return sorted(found, key=_dearest_first)


def _dearest_first(loss: Loss) -> tuple[Fraction, int, str, str]:
    each = loss.shortfall
    return -loss.cost, each.first_day, each.demand, each.item


def hits(view: View) -> list[Hit]:
    """The demand that is hit, by product, kind and cause, the dearest first."""
    kinds = {row.demand: row.kind for row in view.account.service}
    groups: dict[tuple[str, DemandKind, Cause], list[Loss]] = {}
    for loss in losses(view):
        each = loss.shortfall
        if each.demand:
            key = (each.product, kinds[each.demand], each.cause)
            groups.setdefault(key, []).append(loss)
    found = [_hit(*key, group) for key, group in groups.items()]
    return sorted(found, key=lambda hit: (-hit.cost, hit.first_day, hit.product))


def _hit(product: str, kind: DemandKind, cause: Cause, group: list[Loss]) -> Hit:
    return Hit(
        product=product,
        kind=kind,
        cause=cause,
        bars=sum(loss.shortfall.quantity for loss in group),
        first_day=min(loss.shortfall.first_day for loss in group),
        last_day=max(loss.shortfall.last_day for loss in group),
        cost=sum((loss.cost for loss in group), Fraction(0)),
    )


def hit_sentence(view: View, hit: Hit) -> str:
    """One line: "78 bars of SV-S lost, Mon 9 Nov to Sun 15 Nov, EUR 975.00 (trays)"."""
    bars = f"{count_text(hit.bars, 'bar')} of {hit.product} {DEEDS[hit.kind]}"
    days = view.dates.between(hit.first_day, hit.last_day)
    return f"{bars}, {days}, {_money(view, hit.cost)} ({hit.cause})"


def _money(view: View, cost: Fraction) -> str:
    return view.money.text_thousandths(round(cost))


def content(view: View) -> dict[str, Any]:
    """The report as JSON."""
    return envelope(
        view,
        "shortfalls",
        {
            "loss": view.money.exact_thousandths(view.account.money.service),
            "shortfalls": [_loss_json(view, loss) for loss in losses(view)],
        },
    )


def _loss_json(view: View, loss: Loss) -> dict[str, Any]:
    each = loss.shortfall
    return {
        **shortfall_json(view, each),
        "product": each.product or None,
        "last_day": view.dates.iso(each.last_day),
        "detail": each.detail,
        "loss": view.money.exact_thousandths(round(loss.cost)),
    }


def page(view: View) -> RenderableType:
    """The report for a reader."""
    found = losses(view)
    if not found:
        return Group(head(view, "shortfalls"), plain(NOTHING))
    total = view.money.text_thousandths(view.account.money.service)
    parts: list[RenderableType] = [plain(f"{total} is lost in all. {WORST_FIRST}")]
    for cause, group in _by_cause(found):
        cost = sum((loss.cost for loss in group), Fraction(0))
        parts.append(heading(f"{str(cause).capitalize()}: {_money(view, cost)}"))
        parts += [_one(view, loss) for loss in group]
    return Group(head(view, "shortfalls"), *parts)


def _by_cause(found: Iterable[Loss]) -> list[tuple[Cause, list[Loss]]]:
    groups: dict[Cause, list[Loss]] = {}
    for loss in found:
        groups.setdefault(loss.shortfall.cause, []).append(loss)
    return sorted(
        groups.items(), key=lambda group: (-sum(loss.cost for loss in group[1]), group[0])
    )


def _one(view: View, loss: Loss) -> RenderableType:
    each = loss.shortfall
    days = view.dates.between(each.first_day, each.last_day)
    words = f"{_what(view, each)}, {days}"
    if loss.cost:
        words += f", {_money(view, loss.cost)}"
    return Group(loud(words), indented(plain(each.detail)))


def _what(view: View, each: Shortfall) -> str:
    if not each.demand:
        unit = view.workshop.unit_of(each.item)
        return f"{each.item}: {amount_text(each.quantity, unit)} below its safety stock"
    kind = next(row.kind for row in view.account.service if row.demand == each.demand)
    bars = count_text(each.quantity, "bar")
    return f"{each.demand} ({kind}): {bars} of {each.product} {DEEDS[kind]}"
