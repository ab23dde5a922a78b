"""Which orders can be placed at all, and on which days what they bring can be used.

Days are day numbers. An order of one supplier on one day counts only if it can reach the
supplier's minimum order; without that the day is no way to get anything.
"""

from collections.abc import Sequence
from typing import NamedTuple

from planner.workshop import Delivery, Offer, PriceStep, Workshop


class Span(NamedTuple):
    """An amount that can be used on the days `first` to `last`, both included."""

    first: int
    last: int
    amount: int


def unit_price(steps: Sequence[PriceStep], packs: int) -> int:
    """Minor units for each pack when `packs` of them are ordered in one line."""
    return next((step.price for step in reversed(steps) if packs >= step.packs), steps[0].price)


def line_price(offer: Offer, packs: int) -> int:
    """Minor units for a whole order line: all packs at the price of the highest step reached."""
    return packs * unit_price(offer.steps, packs) if packs else 0


def dearest_line(offer: Offer) -> int | None:
    """The most one order line of the offer can be worth, in minor units; None without limit.

    Just below a price step a line can be worth more than on it, so both sides are looked at.
    """
    if offer.max_packs is None:
        return None
    ends = [step.packs - 1 for step in offer.steps if step.packs > offer.min_packs]
    sizes = [packs for packs in [*ends, offer.max_packs] if packs <= offer.max_packs]
    return max((line_price(offer, packs) for packs in sizes), default=0)


def last_use(offer: Offer, delivery: Delivery, days: int) -> int:
    """The last day of the plan on which what the delivery brings can be used."""
    if offer.shelf_life_days is None:
        return days - 1
    return min(days - 1, delivery.arrive + offer.shelf_life_days)


def possible_deliveries(workshop: Workshop) -> dict[str, tuple[Delivery, ...]]:
    """For each offer the deliveries that reach the minimum order and can be used, by day."""
    worth = _most_an_order_is_worth(workshop)
    kept: dict[str, tuple[Delivery, ...]] = {}
    for offer in workshop.offers.values():
        minimum = workshop.suppliers[offer.supplier].minimum_order
        kept[offer.id] = tuple(
            sorted(
                (
                    delivery
                    for delivery in offer.deliveries
                    if delivery.usable <= last_use(offer, delivery, workshop.days)
                    and (minimum is None or _reaches(worth, offer, delivery, minimum))
                ),
                key=lambda delivery: (delivery.usable, delivery.order),
            )
        )
    return kept


def _reaches(
    worth: dict[tuple[str, int], int | None], offer: Offer, delivery: Delivery, minimum: int
) -> bool:
    most = worth[offer.supplier, delivery.order]
    return most is None or most >= minimum


def _most_an_order_is_worth(workshop: Workshop) -> dict[tuple[str, int], int | None]:
    """Minor units, by supplier and order day; None where some line has no limit."""
    worth: dict[tuple[str, int], int | None] = {}
    for offer in workshop.offers.values():
        if workshop.suppliers[offer.supplier].minimum_order is None:
            continue
        line = dearest_line(offer)
        for delivery in offer.deliveries:
            key = offer.supplier, delivery.order
            so_far = worth.get(key, 0)
            worth[key] = None if so_far is None or line is None else so_far + line
    return worth
