"""The plan in one screen: what is met and short, what to do by when, and how good it is proven."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from rich.console import Group, RenderableType
from rich.text import Text

from planner.account import Service
from planner.bottleneck import bottleneck, resource_loads
from planner.order_by import PurchaseNeed
from planner.plan import Stage, Status
from planner.staying import Staying
from planner.workshop import DemandKind
from reports.diary import Entry, entries
from reports.load import busiest, resource_name
from reports.plan_json import service_json, shortfall_json
from reports.purchases import Purchases, is_urgent
from reports.shortfalls import hit_sentence, hits, losses
from reports.style import ACT, loud, marked, pairs, plain, quiet
from reports.view import View, envelope, head
from reports.words import count_text, list_text, percent_text

MOST_LINES = 3
MOST_ENTRIES = 4
MORE = "and {count} more: show {report}"
LEGEND = f"{ACT} = short, late or too full, or an order on its last day."
NOTHING_SHORT = "Nothing is short, late or lost."
NO_DEMAND = "No demand falls within this plan."
CHECKED = "Carried out day by day and lot by lot, it breaks no rule."
COST = "Goods used and spoiled, freight and tied-up money cost {cost}"
ALIKE = "that loses as little, and makes nothing that nobody asks for,"
"""The plans that the bound on money is about."""
CALMEST = "No plan that is as good changes less and does things earlier."
MAY_BE_CALMER = "A plan as good that changes less, or does things earlier, may exist."
FEWEST_CHANGES = "No plan that is as good changes less of the plan before."
CHANGES = (
    "{changes} to the plan before, in what is poured, packed, made and ordered; no plan that is as "
    "good has fewer than {least}."
)
UNPROVEN = "How good it is has not been proven: the search was too short."


def content(view: View) -> dict[str, Any]:
    """The report as JSON."""
    loads = resource_loads(view.workshop, view.account)
    full = bottleneck(loads)
    return envelope(
        view,
        "overview",
        {
            "status": str(view.plan.status),
            "service": [service_json(view, row) for row in view.account.service],
            "shortfalls": [shortfall_json(view, loss.shortfall) for loss in losses(view)],
            "next_orders": [
                {
                    "supplier": need.purchase.supplier,
                    "order": view.dates.iso(need.purchase.order),
                    "order_by": view.dates.iso(need.order_by),
                    "cost": view.money.exact(need.purchase.cost),
                }
                for need in Purchases(view=view).needs[:MOST_LINES]
            ],
            "next_entries": [
                {
                    "day": view.dates.iso(entry.day),
                    "do": entry.deed.word,
                    "name": entry.name,
                    "lot": entry.lot,
                }
                for entry in entries(view)[:MOST_ENTRIES]
            ],
            "bottleneck": None if full is None else resource_name(full),
            "loss": view.money.exact_thousandths(view.account.money.service),
            "proven": proofs(view),
            "batches_before": None if view.staying is None else view.staying.batches,
            "batches_that_stay": None if view.staying is None else view.staying.stay,
        },
    )


def page(view: View) -> RenderableType:
    """The report for a reader, at most about 30 lines of 80 columns."""
    table = pairs()
    for name, lines in _parts(view):
        for number, line in enumerate(lines):
            table.add_row(name if number == 0 else "", line)
    return Group(head(view, "plan"), table, quiet(LEGEND))


def _parts(view: View) -> Iterator[tuple[str, list[Text]]]:
    loads = resource_loads(view.workshop, view.account)
    full = bottleneck(loads) is not None
    yield "Met", met(view)
    yield "Short", _short(view)
    yield "Order", _orders(view)
    yield "Do first", _first(view)
    yield "Load", [marked(busiest(view, loads), full)]
    yield "Money", [plain(_spent(view))]
    if view.staying is not None and view.staying.batches:
        yield "Stays", [plain(stays(view.staying))]
    yield "Proven", [plain(line) for line in proofs(view)]
    yield "Tables", _findings(view)


def stays(found: Staying) -> str:
    """How much of the plan before stays, in batches and in percent."""
    share = percent_text(Fraction(found.stay, found.batches))
    return (
        f"{found.stay} of the {found.batches} batches still to come of the plan before stay as "
        f"they were ({share})"
    )


# What is met


def met(view: View) -> list[Text]:
    """One line for each launch, and one for all orders, all retail and all restock levels."""
    service = view.account.service
    lines = [_launch(view, name, rows) for name, rows in _launches(view).items()]
    orders = [row for row in service if row.kind is DemandKind.ORDER]
    if orders:
        lines.append(_order_line(view, orders))
    lines += _retail_line([row for row in service if row.kind is DemandKind.RETAIL])
    lines += _restock_line([row for row in service if row.kind is DemandKind.RESTOCK])
    return lines or [plain(NO_DEMAND)]


def _retail_line(rows: list[Service]) -> list[Text]:
    asked, sold = sum(row.served + row.lost for row in rows), sum(row.served for row in rows)
    if asked == 0:
        return []
    share = percent_text(Fraction(sold, asked))
    words = f"retail: {sold:,} of {count_text(asked, 'bar')} asked for ({share})"
    return [marked(words, sold < asked)]


def _restock_line(rows: list[Service]) -> list[Text]:
    if not rows:
        return []
    below = sum(1 for row in rows for bars in row.lost_by_day if bars > 0)
    words = f"restock levels: {count_text(below, 'day')} below" if below else "restock levels: kept"
    return [marked(words, below > 0)]


def _launches(view: View) -> dict[str, list[Service]]:
    names = {row.id: row.launch for row in view.workshop.demand}
    launches: dict[str, list[Service]] = {}
    for row in view.account.service:
        if row.kind is DemandKind.LAUNCH:
            launches.setdefault(names[row.demand], []).append(row)
    return launches


def _launch(view: View, name: str, rows: list[Service]) -> Text:
    bars = list_text(f"{row.quantity} {row.product}" for row in rows)
    due, met_on = max(row.due for row in rows), rows[0].met
    asked = f"launch {name} ({bars})"
    if met_on is None:
        return loud(f"{asked}: not within this plan, asked for {view.dates.text(due)}")
    late = met_on - due
    if late > 0:
        return loud(f"{asked}: {view.dates.text(met_on)}, {count_text(late, 'day')} late")
    return plain(f"{asked}: {view.dates.text(met_on)}, as asked")


def is_late(view: View) -> bool:
    """True if an order or launch is late, or not met within the plan."""
    return any(_is_late(row) for row in view.account.service)


def _is_late(row: Service) -> bool:
    waits = row.kind in (DemandKind.ORDER, DemandKind.LAUNCH)
    return waits and (row.met is None or row.late_days > 0)


def _order_line(view: View, orders: list[Service]) -> Text:
    late = [row for row in orders if _is_late(row)]
    on_time = f"{len(orders) - len(late)} of {count_text(len(orders), 'order')} on time"
    if not late:
        return plain(on_time)
    names = list_text((_late_order(view, row) for row in late), MOST_LINES)
    return loud(f"{on_time}; late: {names}")


def _late_order(view: View, row: Service) -> str:
    if row.met is None:
        return f"{row.demand} (not within this plan)"
    return f"{row.demand} ({view.dates.text(row.met)}, {count_text(row.late_days, 'day')})"


# What is short, what to order, what to do


def _short(view: View) -> list[Text]:
    found = hits(view)
    if not found:
        return [plain(NOTHING_SHORT)]
    lines = [loud(hit_sentence(view, hit)) for hit in found[:MOST_LINES]]
    return _with_more(lines, len(found) - MOST_LINES, "shortfalls")


def _with_more(lines: list[Text], more: int, report: str) -> list[Text]:
    if more > 0:
        lines.append(plain(MORE.format(count=more, report=report)))
    return lines


def _orders(view: View) -> list[Text]:
    needs = Purchases(view=view).needs
    if not needs:
        return [plain("nothing")]
    lines = [marked(_order(view, need), is_urgent(need)) for need in needs[:MOST_LINES]]
    return _with_more(lines, len(needs) - MOST_LINES, "purchases")


def _order(view: View, need: PurchaseNeed) -> str:
    purchase = need.purchase
    packs = list_text(
        (
            f"{line.packs} x {view.workshop.offers[line.offer].pack} {line.material}"
            for line in sorted(purchase.lines, key=lambda line: (-line.cost, line.offer))
        ),
        2,
    )
    by = purchase.order if need.order_by is None else need.order_by
    cost = view.money.text(purchase.cost)
    return f"by {view.dates.text(by)} from {purchase.supplier}: {packs}, {cost}"


def _first(view: View) -> list[Text]:
    found = entries(view)
    if not found:
        return [plain("nothing")]
    lines = [plain(_entry(view, entry)) for entry in found[:MOST_ENTRIES]]
    return _with_more(lines, len(found) - MOST_ENTRIES, "batches")


def _entry(view: View, entry: Entry) -> str:
    day = view.dates.text(entry.day)
    return f"{day}: {entry.deed.word} {entry.name}, {entry.much}, then {entry.then}"


# Money and proof


def _spent(view: View) -> str:
    money = view.money
    cost = sum(purchase.cost for purchase in view.account.purchases)
    freight = sum(purchase.freight for purchase in view.account.purchases)
    waste = sum(waste.value for waste in view.account.waste)
    spent = f"{count_text(len(view.account.purchases), 'order')} for {money.text(cost)}"
    if freight:
        spent += f", freight {money.text(freight)} in it"
    spoiled = f"{money.text(waste)} spoils unused" if waste else "nothing spoils unused"
    return f"{spent}; {spoiled}"


def proofs(view: View) -> list[str]:
    """What is proven about each stage of the plan, in a sentence each."""
    checked = [CHECKED] if view.account.certified else []
    return [*checked, *([_proof(view, stage) for stage in view.plan.stages] or [UNPROVEN])]


def _proof(view: View, stage: Stage) -> str:
    if stage.goal == "service":
        return _service_proof(view, stage)
    if stage.goal == "money":
        return _money_proof(view, stage)
    if stage.status is Status.OPTIMAL:
        return CALMEST
    if stage.changes is not None and stage.changes == stage.least_changes:
        return FEWEST_CHANGES
    if stage.changes is not None and stage.least_changes:
        changes = count_text(stage.changes, "change")
        return CHANGES.format(changes=changes, least=stage.least_changes)
    return MAY_BE_CALMER


def _service_proof(view: View, stage: Stage) -> str:
    loss, bound = view.money.text_thousandths(stage.value), view.money.text_thousandths(stage.bound)
    if stage.value == 0:
        return "This plan loses nothing: no sale, and no day of an order or launch."
    if stage.status is Status.OPTIMAL:
        return f"This plan loses {loss}; no plan can lose less."
    if says_nothing(stage):
        return f"This plan loses {loss}. Nothing is proven yet: another may lose less, or nothing."
    return f"No plan can lose less than {bound}; this one loses {loss} ({gap_text(stage)} apart)."


def _money_proof(view: View, stage: Stage) -> str:
    cost, bound = view.money.text_thousandths(stage.value), view.money.text_thousandths(stage.bound)
    told = COST.format(cost=cost)
    if stage.status is Status.OPTIMAL:
        return f"{told}; no plan {ALIKE} costs less."
    if says_nothing(stage):
        return f"{told}. Nothing is proven yet: one that loses as little may cost less."
    return f"{told}; one {ALIKE} cannot cost less than {bound} ({gap_text(stage)} apart)."


def says_nothing(stage: Stage) -> bool:
    """True if a bound has not risen above nothing, which is known without any search."""
    return stage.status is not Status.OPTIMAL and stage.bound <= 0


def gap_text(stage: Stage) -> str:
    """How far value and bound lie apart, as a share of the value."""
    share = Fraction(stage.value - stage.bound, abs(stage.value) or 1)
    return "less than 1 %" if 0 < share < Fraction(1, 100) else percent_text(share)


def _findings(view: View) -> list[Text]:
    warnings = count_text(len(view.findings), "warning")
    if not view.findings:
        return [plain("no warnings")]
    return [loud(f"{warnings}: show findings")]
