"""Reads a plan's purchases, and the rules of ordering: days, packs, minimum orders, budget.

An order is all that is ordered from one supplier on one day, however the plan writes it down.
A line that cannot be ordered is a broken rule and is left out: nothing comes and nothing is paid.
"""

from collections import defaultdict
from collections.abc import Iterable

from planner.account import LineFacts, PurchaseFacts, Rule
from planner.plan import Plan
from planner.replay.faults import Faults
from planner.replay.naming import LotNames
from planner.wording import money_words
from planner.workshop import Delivery, Offer, Supplier, Workshop


def read_purchases(
    workshop: Workshop, plan: Plan, names: LotNames, faults: Faults
) -> tuple[PurchaseFacts, ...]:
    """The orders that go out, by day and supplier."""
    orders = []
    for (day, supplier), packs in sorted(_orders(plan).items()):
        if supplier not in workshop.suppliers:
            message = "an order is planned, but there is no such supplier"
            faults.add(day, Rule.UNKNOWN, supplier, message)
            continue
        lines = _lines(workshop, day, supplier, packs, names, faults)
        if lines:
            orders.append(_order(workshop.suppliers[supplier], day, lines))
    return tuple(orders)


def _orders(plan: Plan) -> dict[tuple[int, str], dict[str, int]]:
    """(day, supplier) -> offer -> packs."""
    orders: defaultdict[tuple[int, str], dict[str, int]] = defaultdict(dict)
    for purchase in plan.purchases:
        packs = orders[purchase.order, purchase.supplier]
        for line in purchase.lines:
            packs[line.offer] = packs.get(line.offer, 0) + line.packs
    return orders


def _lines(
    workshop: Workshop,
    day: int,
    supplier: str,
    packs: dict[str, int],
    names: LotNames,
    faults: Faults,
) -> tuple[LineFacts, ...]:
    """The lines of one order that can go out, by offer."""
    lines = []
    for offer_id, count in sorted(packs.items()):
        offer = workshop.offers.get(offer_id)
        if offer is None or offer.supplier != supplier:
            message = f"ordered from {supplier}, which makes no such offer"
            faults.add(day, Rule.UNKNOWN, offer_id, message)
            continue
        _check_packs(offer, day, count, faults)
        delivery = _delivery(offer, day)
        if delivery is None:
            message = "ordered on a day on which it cannot be, or would come too late"
            faults.add(day, Rule.ORDER_DAY, offer_id, message)
        elif count > 0:
            lines.append(_line(offer, count, delivery, names.fresh(offer_id, day)))
    return tuple(lines)


def _delivery(offer: Offer, day: int) -> Delivery | None:
    """The delivery that an order of this day brings."""
    return next((delivery for delivery in offer.deliveries if delivery.order == day), None)


def _check_packs(offer: Offer, day: int, packs: int, faults: Faults) -> None:
    """At least min_packs (and one), at most max_packs of an offer on one order day."""
    least = max(1, offer.min_packs)
    if packs < least:
        message = f"{packs} packs of {offer.pack} are ordered, at least {least} must be"
        faults.add(day, Rule.PACKS, offer.id, message)
    if offer.max_packs is not None and packs > offer.max_packs:
        message = f"{packs} packs of {offer.pack} are ordered, at most {offer.max_packs} can be"
        faults.add(day, Rule.PACKS, offer.id, message)


def _line(offer: Offer, packs: int, delivery: Delivery, lot: str) -> LineFacts:
    life = offer.shelf_life_days
    return LineFacts(
        offer=offer.id,
        material=offer.material,
        packs=packs,
        amount=packs * offer.amount,
        cost=packs * _pack_price(offer, packs),
        arrive=delivery.arrive,
        usable=delivery.usable,
        use_by=None if life is None else delivery.arrive + life,
        lot=lot,
    )


def _pack_price(offer: Offer, packs: int) -> int:
    """Every pack of a line costs what the highest price step reached says."""
    reached = [step for step in offer.steps if step.packs <= packs] or offer.steps[:1]
    return max(reached, key=lambda step: step.packs).price


def _order(supplier: Supplier, day: int, lines: tuple[LineFacts, ...]) -> PurchaseFacts:
    """Freight is paid once for an order, unless its goods are worth enough."""
    goods = sum(line.cost for line in lines)
    free = supplier.free_freight_from is not None and goods >= supplier.free_freight_from
    freight = 0 if free else supplier.freight
    return PurchaseFacts(
        order=day,
        supplier=supplier.id,
        lines=lines,
        freight=freight,
        cost=goods + freight,
        pay=day + supplier.pay_days,
    )


def check_minimum_orders(
    workshop: Workshop, orders: Iterable[PurchaseFacts], faults: Faults
) -> None:
    """The goods of an order are worth at least the supplier's minimum; freight does not count."""
    for order in orders:
        minimum = workshop.suppliers[order.supplier].minimum_order
        goods = order.cost - order.freight
        if minimum is not None and goods < minimum:
            message = (
                f"goods for {money_words(workshop, goods)} are ordered, the least is "
                f"{money_words(workshop, minimum)}"
            )
            faults.add(order.order, Rule.MINIMUM_ORDER, order.supplier, message)


def check_budgets(workshop: Workshop, orders: tuple[PurchaseFacts, ...], faults: Faults) -> None:
    """What leaves for planned purchases in a month is at most the month's amount."""
    for budget in workshop.budgets:
        spent = sum(order.cost for order in orders if budget.first <= order.pay <= budget.last)
        if spent > budget.amount:
            message = (
                f"{money_words(workshop, spent)} leave for purchases, at most "
                f"{money_words(workshop, budget.amount)} may"
            )
            faults.add(max(0, budget.first), Rule.BUDGET, budget.month, message)
