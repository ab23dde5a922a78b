"""One round of buying: orders written in the order of their days until no use falls short."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from heapq import heappop, heappush

import numpy as np

from planner.draft.offers import Span
from planner.draft.orders import Key, Market, OrderBook, OrderPart
from planner.draft.shelves import Shelf, Short
from planner.draft.sourcing import (
    Bid,
    Source,
    all_sources,
    bid,
    first_from_others,
    latest_sources,
    source_on,
)
from planner.draft.supply import spans_on_hand
from planner.draft.topping import cheapest_addition
from planner.draft.uses import DailyUses
from planner.workshop import Offer


@dataclass(frozen=True, kw_only=True)
class Terms:
    """How a round buys.

    cover     days of use that are ordered together
    covers    the same of suppliers that have their own
    never     parts of orders that are not written
    safety    order as soon as safety stock would be touched, and fill it up
    thrifty   keep every month's budget: the latest order day whose month can still pay
    """

    cover: int
    covers: Mapping[str, int] = field(default_factory=dict)
    never: frozenset[OrderPart] = frozenset()
    safety: bool = False
    thrifty: bool = False

    def cover_of(self, supplier: str) -> int:
        """Days of use that are ordered together from a supplier."""
        return self.covers.get(supplier, self.cover)

    def with_cover(self, supplier: str, cover: int) -> "Terms":
        """The same, with a span of days of the supplier's own."""
        return replace(self, covers={**self.covers, supplier: cover})

    def without(self, parts: Iterable[OrderPart]) -> "Terms":
        """The same, with more parts that are not ordered."""
        return replace(self, never=self.never.union(parts))


class Round:
    """Shelves that are served day by day, and the orders written for them."""

    def __init__(self, market: Market, uses: DailyUses, group: Sequence[str], terms: Terms) -> None:
        self.market = market
        self.terms = terms
        self.book = OrderBook(market, terms.never)
        workshop = market.workshop
        spans = spans_on_hand(workshop)
        self.shelves = {
            material: Shelf(
                material,
                uses[material],
                spans[material],
                workshop.days,
                workshop.materials[material].safety_stock,
                market.worth_having[material],
            )
            for material in group
            if uses[material] or workshop.materials[material].safety_stock
        }
        self._waiting: dict[str, tuple[Short, Source]] = {}
        self._queue: list[tuple[int, str]] = []
        self._growing: dict[Key, int] = {}  # the day up to which each order of today looks ahead

    def run(self) -> bool:
        """Write orders until all uses are covered; False if some use cannot be."""
        if not all(self._look(material) for material in self.shelves):
            return False
        while self._queue or self._growing:
            if not self._step():
                return False
        return all(self._meets_minimum(key) for key in list(self.book.orders))

    def _step(self) -> bool:
        """Complete the orders of days gone by, or write the next order."""
        order, material = self._queue[0] if self._queue else (self.market.workshop.days, "")
        done = [key for key in self._growing if key[0] < order]
        if done:
            self._growing = {key: day for key, day in self._growing.items() if key[0] >= order}
            return all(self._complete(key) for key in done)
        heappop(self._queue)
        waiting = self._waiting.get(material)
        if waiting is None or waiting[1].order != order:
            return True
        return self._write(*waiting)

    def _look(self, material: str) -> bool:
        """Find where a material falls short next, and from where it is to come."""
        self._waiting.pop(material, None)
        shelf = self.shelves[material]
        while (short := shelf.run(self._wish(material))) is not None:
            source = self._choose(shelf, short)
            if source is not None:
                self._waiting[material] = short, source
                heappush(self._queue, (source.order, material))
                return True
            if short.hard and not self._exchange(shelf, short):
                return False
        return True

    def _wish(self, material: str) -> int:
        if not self.terms.safety:
            return 0
        return self.shelves[material].safety_stock

    def _choose(self, shelf: Shelf, short: Short) -> Source | None:
        """The source with the best price for what is short; None if none is in time."""
        if self.terms.thrifty:
            return self._affordable(shelf, short)
        sources = latest_sources(self.book, shelf.material, short.day)
        if len(sources) < 2:
            return sources[0] if sources else None
        offered = [self._offered(shelf, source, short) for source in sources]
        return min(offered, key=lambda pair: (pair[0], -pair[1].order))[1]

    def _offered(self, shelf: Shelf, source: Source, short: Short) -> tuple[float, Source]:
        """What a unit costs from a source, ordered for as long as from its supplier."""
        until = short.day + self.terms.cover_of(source.supplier)
        amount = self._amount(shelf, short, until)
        return self._bid(shelf, source, amount).each(amount), source

    def _affordable(self, shelf: Shelf, short: Short) -> Source | None:
        """The latest source whose month can pay for what is missing."""
        for source in all_sources(self.book, shelf.material, short.day):
            if self._can_pay(self._bid(shelf, source, short.missing)):
                return source
        return None

    def _bid(self, shelf: Shelf, source: Source, amount: int) -> Bid:
        return bid(self.book, source, amount, shelf.surplus(amount))

    def _can_pay(self, offered: Bid) -> bool:
        self._order(offered, 1)
        affordable = self.book.keeps_budget_of(offered.source.key)
        self._order(offered, -1)
        return affordable

    def _amount(self, shelf: Shelf, short: Short, until: int) -> int:
        """What to order for the uses up to a day, and to have the safety stock left then."""
        until = min(until, first_from_others(self.market, shelf.material, short.day) - 1)
        return max(short.missing, shelf.wanted(until) + self._wish(shelf.material))

    def _write(self, short: Short, source: Source) -> bool:
        """Order what is short, and all else this supplier's goods are soon needed for.

        How soon the first to be short on the order tells: what comes to it later from days that it
        may not be ordered on brings nothing else with it.
        """
        until = short.day + self.terms.cover_of(source.supplier)
        soon = self._growing.setdefault(source.key, until)
        together = [
            (material, other, until if other is short else soon)
            for material, (other, theirs) in self._waiting.items()
            if theirs.supplier == source.supplier and (other is short or other.day <= soon)
        ]
        for material, other, last in together:
            found = source_on(self.book, material, source.key, other.day)
            if found is not None:
                self._fill(self.shelves[material], other, found, last)
        return all(self._look(material) for material, _, _ in together)

    def _fill(self, shelf: Shelf, short: Short, source: Source, until: int) -> None:
        until = min([until, *(self._last(offer, source.order) for offer in source.offers)])
        amount = self._amount(shelf, short, until)
        offered = self._bid(shelf, source, amount)
        if self.terms.thrifty and not self._can_pay(offered):
            offered = self._bid(shelf, source, short.missing)
            if not self._can_pay(offered):
                return
        self._order(offered, 1)
        for place, packs in offered.mix.packs:
            shelf.add(self._span(offered.lines[place].offer, source.order, packs))

    def _order(self, offered: Bid, sign: int) -> None:
        for place, packs in offered.mix.packs:
            self.book.add(offered.lines[place].offer, offered.source.order, sign * packs)

    def _exchange(self, shelf: Shelf, short: Short) -> bool:
        """Order for earlier uses, which then leave their lots to the use that falls short."""
        for day in sorted(shelf.exchangeable(short.day), reverse=True):
            source = self._choose(shelf, Short(day=day, missing=short.missing, hard=True))
            if source is None:
                continue
            offered = self._bid(shelf, source, short.missing)
            self._order(offered, 1)
            self._growing.setdefault(source.key, day + self.terms.cover_of(source.supplier))
            spans = [
                self._span(offered.lines[place].offer, source.order, packs)
                for place, packs in offered.mix.packs
            ]
            shelf.add_anew(spans)
            return True
        return False

    def _complete(self, key: Key) -> bool:
        """Bring an order to its supplier's minimum, and to free freight where that is cheaper."""
        if key not in self.book.orders:
            return True
        if not self._meets_minimum(key):
            return False
        if not self.terms.thrifty:
            self._save_freight(key)
        materials = [self.market.workshop.offers[offer].material for offer in self.book.orders[key]]
        return all(self._look(material) for material in materials if material in self._waiting)

    def _save_freight(self, key: Key) -> None:
        """Add what brings the order to free freight, if that costs less than the freight."""
        target = self.market.workshop.suppliers[key[1]].free_freight_from
        freight = self.book.freight(key)
        if target is None or not freight:
            return
        addition = cheapest_addition(self.book, self.shelves, key, target)
        if addition is None or self.book.goods(key) + addition.worth < target:
            return
        if addition.cost < 1000 * freight:
            self._add(addition.offer, key[0], addition.packs)

    def _meets_minimum(self, key: Key) -> bool:
        """Add what is cheapest until the supplier's minimum order is reached."""
        minimum = self.market.workshop.suppliers[key[1]].minimum_order
        while minimum is not None and self.book.goods(key) < minimum:
            addition = cheapest_addition(self.book, self.shelves, key, minimum)
            if addition is None:
                return False
            self._add(addition.offer, key[0], addition.packs)
        return True

    def _add(self, offer: Offer, order: int, packs: int) -> None:
        self.book.add(offer, order, packs)
        if offer.material in self.shelves:
            self.shelves[offer.material].add(self._span(offer, order, packs))

    def _span(self, offer: Offer, order: int, packs: int) -> Span:
        delivery = self.market.by_order[offer.id][order]
        last = self.market.last(offer, delivery)
        return Span(first=delivery.usable, last=last, amount=packs * offer.amount)

    def _last(self, offer: Offer, order: int) -> int:
        return self.market.last(offer, self.market.by_order[offer.id][order])

    def cost(self) -> float:
        """What the round costs in thousandths of a minor unit, beyond what is left in the end.

        Goods and freight, less their value, and on top the capital they tie up, what spoils or is
        more than is worth keeping, and what the days below safety stock cost.
        """
        offers = self.market.workshop.offers
        total = 0.0
        for key, lines in self.book.orders.items():
            total += 1000 * self.book.cost(key)
            for name, packs in lines.items():
                offer = offers[name]
                usable = self.market.by_order[name][key[0]].usable
                value = packs * offer.amount * self.market.value(offer.material)
                total -= value * (1 - self.market.holding(usable))
        return total + sum(self._losses(shelf) for shelf in self.shelves.values())

    def _losses(self, shelf: Shelf) -> float:
        workshop = self.market.workshop
        value = self.market.value(shelf.material)
        lost = value * (shelf.left_to_spoil() + shelf.worthless())
        wish = shelf.safety_stock
        if not wish:
            return lost
        change = np.zeros(workshop.days, np.int64)
        for span in shelf.spans():
            change[span.first] += span.amount
        for day, amount in shelf.uses:
            change[day] -= amount
        below = int(np.maximum(0, wish - np.cumsum(change)).sum())
        return lost + value * float(workshop.costs.safety) * below
