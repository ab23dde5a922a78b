"""From whom, and on which day, a material that falls short is ordered."""

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass

from planner.draft.orders import Key, Market, OrderBook, freight_of
from planner.draft.packs import Credit, Line, Mix, cheapest_mix
from planner.workshop import Delivery, Offer


@dataclass(frozen=True, kw_only=True)
class Source:
    """An order day of a supplier, with the offers that arrive in time for a day of use."""

    supplier: str
    order: int
    offers: tuple[Offer, ...]

    @property
    def key(self) -> Key:
        """The order this source writes on."""
        return self.order, self.supplier


def source_on(book: OrderBook, material: str, key: Key, day: int) -> Source | None:
    """One order as a source of a material for a day of use."""
    order, supplier = key
    market = book.market
    offers = tuple(
        offer
        for offer in market.offers.get(material, {}).get(supplier, ())
        if (delivery := market.by_order[offer.id].get(order)) is not None
        and delivery.usable <= day <= market.last(offer, delivery)
        and book.takes(offer, order)
    )
    return Source(supplier=supplier, order=order, offers=offers) if offers else None


def latest_sources(book: OrderBook, material: str, day: int) -> list[Source]:
    """For each supplier the latest order that still arrives in time for a day of use."""
    found = []
    for supplier, offers in book.market.offers.get(material, {}).items():
        orders = [next(_orders_for(book, offer, day), None) for offer in offers]
        reached = [order for order in orders if order is not None]
        if reached:
            source = source_on(book, material, (max(reached), supplier), day)
            if source is not None:
                found.append(source)
    return found


def all_sources(book: OrderBook, material: str, day: int) -> Iterator[Source]:
    """Every order that arrives in time for a day of use, the latest first."""
    keys = {
        (order, supplier): None
        for supplier, offers in book.market.offers.get(material, {}).items()
        for offer in offers
        for order in _orders_for(book, offer, day)
    }
    for key in sorted(keys, key=lambda key: (-key[0], key[1])):
        source = source_on(book, material, key, day)
        if source is not None:
            yield source


def _orders_for(book: OrderBook, offer: Offer, day: int) -> Iterator[int]:
    """Order days of an offer that serve a day of use and have packs left, the latest first."""
    deliveries = book.market.deliveries[offer.id]
    for place in range(bisect_right(deliveries, day, key=_usable) - 1, -1, -1):
        delivery = deliveries[place]
        in_time = day <= book.market.last(offer, delivery)
        if in_time and book.takes(offer, delivery.order):
            yield delivery.order


def _usable(delivery: Delivery) -> int:
    return delivery.usable


def first_from_others(market: Market, material: str, day: int) -> int:
    """The first later day on which another supplier, too slow for `day`, can deliver.

    The plan's length if there is none.
    """
    first = market.workshop.days
    for offers in market.offers.get(material, {}).values():
        usable = [
            market.deliveries[offer.id][place].usable
            for offer in offers
            if (place := bisect_right(market.deliveries[offer.id], day, key=_usable))
            < len(market.deliveries[offer.id])
        ]
        in_time = any(market.deliveries[offer.id][0].usable <= day for offer in offers)
        if usable and not in_time:
            first = min(first, *usable)
    return first


@dataclass(frozen=True, kw_only=True)
class Bid:
    """What a source asks for an amount: cost in thousandths of a minor unit, freight included."""

    source: Source
    lines: tuple[Line, ...]
    mix: Mix
    cost: float

    def each(self, amount: int) -> float:
        """Cost of each unit of the amount that is covered."""
        return self.cost / max(1, amount - self.mix.uncovered)


def bid(book: OrderBook, source: Source, amount: int, surplus: int) -> Bid:
    """The cheapest packs of a source for an amount, and what they add to the order's cost.

    `surplus` is how much more than the amount still counts for something.
    """
    market = book.market
    deliveries = [market.by_order[offer.id][source.order] for offer in source.offers]
    credit = min(market.credit(*pair) for pair in zip(source.offers, deliveries, strict=True))
    lines = tuple(book.line(offer, source.order) for offer in source.offers)
    mix = cheapest_mix(lines, amount, Credit(each=credit, most=surplus))
    goods = sum(lines[place].price(packs) for place, packs in mix.packs)
    supplier = market.workshop.suppliers[source.supplier]
    freight = freight_of(supplier, book.goods(source.key) + goods) - book.freight(source.key)
    held = market.value(source.offers[0].material) * market.holding(deliveries[0].usable) * amount
    return Bid(source=source, lines=lines, mix=mix, cost=mix.cost + held + 1000 * freight)
