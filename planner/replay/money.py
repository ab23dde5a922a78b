"""The two goals in money: what poor service loses, and what the plan costs.

Everything is counted exactly in thousandths of a minor unit and rounded once, halves up.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import chain

from planner.account import BatchFacts, Flow, Money, PurchaseFacts, Service, Waste
from planner.replay.calendar import first_working_day, in_plan
from planner.replay.quantities import half_up
from planner.replay.worth import worth_having
from planner.workshop import DemandKind, Workshop


@dataclass(frozen=True, kw_only=True)
class Books:
    """What the money goal is worked out from."""

    batches: Sequence[BatchFacts]
    purchases: Sequence[PurchaseFacts]
    flows: Mapping[str, Flow]
    remaining: Mapping[str, int]
    waste: Sequence[Waste]


def money_of(workshop: Workshop, books: Books, service: Sequence[Service]) -> Money:
    """money = purchases + freight + opening - left + capital + safety + clean-down."""
    freight = 1000 * sum(order.freight for order in books.purchases)
    purchases = 1000 * sum(order.cost for order in books.purchases) - freight
    opening = _thousandths(_opening_worth(workshop, books))
    left = _thousandths(_left_worth(workshop, books))
    capital = _thousandths(workshop.costs.capital * _worth_days(workshop, books) / 365)
    safety = _thousandths(workshop.costs.safety * _below_safety(workshop, books.flows))
    poured = sum(not batch.in_progress for batch in books.batches)
    clean_down = 1000 * workshop.costs.clean_down * poured
    return Money(
        service=sum(row.loss for row in service),
        money=purchases + freight + opening - left + capital + safety + clean_down,
        retail_lost=_loss(service, DemandKind.RETAIL),
        orders_late=_loss(service, DemandKind.ORDER),
        launches_late=_loss(service, DemandKind.LAUNCH),
        restock_below=_loss(service, DemandKind.RESTOCK),
        purchases=purchases,
        freight=freight,
        opening_value=opening,
        left_value=left,
        waste=_thousandths(_worth(workshop, ((lot.item, lot.amount) for lot in books.waste))),
        capital=capital,
        safety=safety,
        clean_down=clean_down,
    )


def _loss(service: Sequence[Service], kind: DemandKind) -> int:
    return sum(row.loss for row in service if row.kind is kind)


def _worth(workshop: Workshop, amounts: Iterable[tuple[str, int]]) -> int:
    """Value of (item, amount) pairs in millionths of a minor unit.

    The table of values is in thousandths of a minor unit for 1,000 smallest units or bars.
    """
    return sum(amount * workshop.values.get(item, 0) for item, amount in amounts)


def _thousandths(worth: int | Fraction) -> int:
    """Millionths of a minor unit as thousandths, rounded half up."""
    return half_up(Fraction(worth) / 1000)


def _opening_worth(workshop: Workshop, books: Books) -> int:
    """Stock, open orders, and batches under way at the value of the parts they took."""
    lots = ((lot.item, lot.amount) for lot in workshop.lots)
    orders = ((receipt.material, receipt.amount) for receipt in workshop.receipts)
    underway = (batch.parts.items() for batch in books.batches if batch.in_progress)
    return _worth(workshop, chain(lots, orders, chain.from_iterable(underway)))


def _left_worth(workshop: Workshop, books: Books) -> int:
    """What is worth keeping after the last day: stock, what is to come, batches not yet cured.

    A batch that could have been packed within the plan and was not counts for nothing.

    Of a material the plan's whole supply, used or left, counts only up to what is worth having:
    nobody knows of uses for more, and an order filled up with years of something cheap to save
    its freight would look like a gain, as would bars that nobody asks for made of it.
    """
    uncured = (b.parts.items() for b in books.batches if _outlasts(workshop, b))
    everything = chain(books.remaining.items(), chain.from_iterable(uncured))
    return _worth(workshop, everything) - _worth(workshop, _too_much(workshop, books))


def _too_much(workshop: Workshop, books: Books) -> Iterable[tuple[str, int]]:
    """What the plan used and left of each material beyond what is worth having."""
    for material, enough in worth_having(workshop).items():
        had = sum(books.flows[material].used) + books.remaining.get(material, 0)
        yield material, max(0, had - enough)


def _pack_day(workshop: Workshop, batch: BatchFacts) -> int | None:
    """The day of the plan on which a batch is packed; None if it is not."""
    return batch.pack if batch.pack is not None and in_plan(workshop, batch.pack) else None


def _outlasts(workshop: Workshop, batch: BatchFacts) -> bool:
    """True if a batch is not packed because no working day of the plan comes after its cure."""
    cured = batch.unmould + workshop.products[batch.product].cure_days
    unpacked = _pack_day(workshop, batch) is None
    return unpacked and first_working_day(workshop, cured) is None


def _worth_days(workshop: Workshop, books: Books) -> int:
    """Sum over the days of the value on hand at the end of the day.

    A poured batch counts at the value of its parts up to the day before it is packed; from the
    end of its pack day its good bars count, though they can leave only a day later.
    """
    shelves = ((item, sum(flow.on_hand)) for item, flow in books.flows.items())
    total = _worth(workshop, shelves)
    for batch in books.batches:
        pack = _pack_day(workshop, batch)
        end = workshop.days if pack is None else pack
        if pack is not None:
            total += _worth(workshop, [(batch.product, batch.good)])
        total += max(0, end - max(0, batch.pour)) * _worth(workshop, batch.parts.items())
    return total


def _below_safety(workshop: Workshop, flows: Mapping[str, Flow]) -> int:
    """Sum over days and items of the value missing up to the safety stock at the end of the day."""
    wished = [(record.id, record.safety_stock) for record in workshop.materials.values()]
    wished += [(record.id, record.safety_stock) for record in workshop.preparations.values()]
    return _worth(
        workshop,
        ((item, sum(max(0, wish - left) for left in flows[item].on_hand)) for item, wish in wished),
    )
