"""What to order from whom and by when, what it is for, and what a week's delay would do."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from rich.console import Group, RenderableType

from planner.account import LineFacts, PurchaseFacts
from planner.order_by import LineNeed, PurchaseNeed, purchase_needs
from planner.pegging import Pegging
from planner.slip import Slip, slip
from planner.workshop import DemandKind, Supplier
from reports.plan_json import line_json
from reports.style import ACT, columns, heading, indented, marked, pairs, plain, quiet
from reports.view import View, envelope, head, number
from reports.words import amount_text, count_text, list_text

EMPTY = "Nothing needs to be ordered in this plan."
NO_NEED = "not needed within this plan"
NO_USE = "no use within this plan"
LEGEND = (
    "Order by: the last order day whose goods come before the plan runs out. The planned day can "
    f"be earlier, to share a freight. {ACT} = the planned day is the last one."
)
MOST = 4


@dataclass(frozen=True, kw_only=True)
class Purchases:
    """The purchases of a view with what follows from them, worked out once."""

    view: View

    @cached_property
    def needs(self) -> tuple[PurchaseNeed, ...]:
        """Every purchase with its latest days, the one to go out first first."""
        found = purchase_needs(self.view.workshop, self.view.account)
        return tuple(sorted(found, key=_urgency))

    @cached_property
    def pegging(self) -> Pegging:
        """Follows the lots of the account."""
        return Pegging(account=self.view.account)

    def by_supplier(self) -> Mapping[str, list[PurchaseNeed]]:
        """Supplier -> its purchases, the supplier to order from first first."""
        found: dict[str, list[PurchaseNeed]] = {}
        for need in self.needs:
            found.setdefault(need.purchase.supplier, []).append(need)
        return found

    def delayed(self, purchase: PurchaseFacts) -> Slip:
        """What happens if a purchase goes out a week late."""
        return slip(self.view.workshop, self.view.plan, self.view.account, purchase)


def _urgency(need: PurchaseNeed) -> tuple[int, int, str]:
    planned = need.purchase.order
    return (planned if need.order_by is None else need.order_by, planned, need.purchase.supplier)


def is_urgent(need: PurchaseNeed) -> bool:
    """True if the planned order day is the last one possible."""
    return need.order_by is not None and need.order_by <= need.purchase.order


def content(view: View) -> dict[str, Any]:
    """The report as JSON."""
    purchases = Purchases(view=view)
    return envelope(
        view,
        "purchases",
        {
            "suppliers": [
                {
                    "supplier": supplier,
                    "orders": [_order_json(purchases, need) for need in needs],
                }
                for supplier, needs in purchases.by_supplier().items()
            ]
        },
    )


def _order_json(purchases: Purchases, need: PurchaseNeed) -> dict[str, Any]:
    view, purchase = purchases.view, need.purchase
    return {
        "order": view.dates.iso(purchase.order),
        "order_by": view.dates.iso(need.order_by),
        "pay": view.dates.iso(purchase.pay),
        "freight": view.money.exact(purchase.freight),
        "cost": view.money.exact(purchase.cost),
        "lines": [_line_json(purchases, line) for line in need.lines],
        "a_week_late": _slip_json(view, purchases.delayed(purchase)),
    }


def _line_json(purchases: Purchases, need: LineNeed) -> dict[str, Any]:
    view, line = purchases.view, need.line
    uses = purchases.pegging.uses(line.material, line.lot)
    return {
        **line_json(view, line),
        "arrive": view.dates.iso(line.arrive),
        "usable": view.dates.iso(line.usable),
        "needed": view.dates.iso(need.needed),
        "order_by": view.dates.iso(need.order_by),
        "first_use": view.dates.iso(uses[0].day) if uses else None,
        "batches": [
            {"product": batch.product, "lot": batch.lot, "pour": view.dates.iso(batch.pour)}
            for batch in purchases.pegging.batches_from(line.material, line.lot)
        ],
    }


def _slip_json(view: View, late: Slip) -> dict[str, Any]:
    return {
        "order": view.dates.iso(late.order),
        "missing": [
            {
                "day": view.dates.iso(want.day),
                "name": want.name,
                "lot": want.use,
                "item": want.item,
                "quantity": number(want.missing, view.workshop.unit_of(want.item)),
                "unit": str(view.workshop.unit_of(want.item)),
            }
            for want in late.wants
        ],
        "demand": [{"demand": row, "bars": bars} for row, bars in late.demand.items()],
        "launches": [
            {"launch": launch, "day": view.dates.iso(day)} for launch, day in late.launches.items()
        ],
    }


def page(view: View) -> RenderableType:
    """The report for a reader."""
    purchases = Purchases(view=view)
    parts: list[RenderableType] = [head(view, "purchases")]
    for supplier, needs in purchases.by_supplier().items():
        parts.append(heading(_supplier(view, view.workshop.suppliers[supplier])))
        parts += [indented(_order(purchases, need)) for need in needs]
    parts += [plain(""), quiet(LEGEND)] if purchases.needs else [plain(EMPTY)]
    return Group(*parts)


def _supplier(view: View, supplier: Supplier) -> str:
    kind = "working" if supplier.lead_counts == "working" else "calendar"
    terms = [f"lead {count_text(supplier.lead_days, f'{kind} day')}"]
    if supplier.freight:
        terms.append(f"freight {view.money.text(supplier.freight)} an order")
    if supplier.free_freight_from is not None:
        terms.append(f"none from {view.money.text(supplier.free_freight_from)} on")
    if supplier.minimum_order is not None:
        terms.append(f"at least {view.money.text(supplier.minimum_order)}")
    return f"{supplier.id}: {list_text(terms)}"


def _order(purchases: Purchases, need: PurchaseNeed) -> RenderableType:
    view, purchase = purchases.view, need.purchase
    facts = pairs()
    facts.add_row("order by", marked(_order_by(view, need), is_urgent(need)))
    facts.add_row("cost", plain(_cost(view, purchase)))
    facts.add_row("week late", plain(late_text(view, purchases.delayed(purchase))))
    table = columns("Material", "Packs", "Cost", "Arrives", "For", right="lnrnl")
    for line in need.lines:
        table.add_row(*_line(purchases, line))
    return Group(plain(""), facts, table)


def _order_by(view: View, need: PurchaseNeed) -> str:
    planned = view.dates.text(need.purchase.order)
    if need.order_by is None:
        return f"{planned} as planned; {NO_NEED}"
    if is_urgent(need):
        return f"{view.dates.text(need.order_by)}, the planned day: not a day to spare"
    return f"{view.dates.text(need.order_by)}, planned {planned}"


def _cost(view: View, purchase: PurchaseFacts) -> str:
    freight = f", freight {view.money.text(purchase.freight)} in it" if purchase.freight else ""
    pay = f"pay {view.dates.text(purchase.pay)}"
    return f"{view.money.text(purchase.cost)}{freight}; {pay}"


def _line(purchases: Purchases, need: LineNeed) -> tuple[str, str, str, str, str]:
    view, line = purchases.view, need.line
    return (
        line.material,
        f"{line.packs} x {view.workshop.offers[line.offer].pack}",
        view.money.text(line.cost),
        view.dates.text(line.arrive),
        _purpose(purchases, line),
    )


def _purpose(purchases: Purchases, line: LineFacts) -> str:
    """Which batches it goes into: "3 OM-S, 2 SV-S, first Tue 20 Oct".

    Lots of a preparation are named where no batch of the plan takes from them.
    """
    view = purchases.view
    uses = purchases.pegging.uses(line.material, line.lot)
    if not uses:
        return NO_USE
    batches = purchases.pegging.batches_from(line.material, line.lot)
    made = purchases.pegging.preparations
    names = [batch.product for batch in batches]
    counts = Counter(names or [made[use.use] for use in uses if use.use in made])
    takers = list_text((f"{count} {name}" for name, count in counts.items()), MOST)
    first = f"first {view.dates.text(uses[0].day)}"
    return f"{takers}, {first}" if takers else first


def late_text(view: View, late: Slip) -> str:
    """What a week's delay does, in words: what goes short, and who misses the bars."""
    if not late.wants:
        return "nothing goes short"
    uses: dict[str, dict[str, int]] = {}
    for want in late.wants:
        use = f"{want.name} on {view.dates.text(want.day)}"
        uses.setdefault(use, {}).setdefault(want.item, 0)
        uses[use][want.item] += want.missing
    lacks = [f"{use} lacks {_amounts(view, items)}" for use, items in uses.items()]
    return "; ".join([*_few(lacks), *_behind(view, late)])


def _amounts(view: View, items: Mapping[str, int]) -> str:
    """Of two batches on one day the same material is added up."""
    unit_of = view.workshop.unit_of
    return list_text(
        (f"{amount_text(amount, unit_of(item))} {item}" for item, amount in items.items()), MOST
    )


def _few(lacks: list[str]) -> list[str]:
    more = len(lacks) - MOST
    if more <= 0:
        return lacks
    return [*lacks[:MOST], f"{more} more {'goes' if more == 1 else 'go'} short"]


def _behind(view: View, late: Slip) -> list[str]:
    """The demand that takes the bars: retail by product, orders and launches by name."""
    rows = {row.id: row for row in view.workshop.demand}
    bars: dict[str, int] = {}
    for name, count in late.demand.items():
        row = rows[name]
        whom = f"order {name}" if row.kind is DemandKind.ORDER else f"{row.product} in {row.kind}"
        bars[whom] = bars.get(whom, 0) + count
    missed = [f"{count_text(count, 'bar')} for {whom}" for whom, count in bars.items()]
    words = [f"behind it: {list_text(missed, MOST)}"] if missed else []
    for launch, day in late.launches.items():
        then = "not within this plan" if day is None else f"no sooner than {view.dates.text(day)}"
        words.append(f"launch {launch} {then}")
    return words
