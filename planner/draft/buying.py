"""Purchases that cover what a set of batches and lots of preparations uses.

One round of buying writes orders as a maker would: whenever something falls short it is ordered
on the latest day that is early enough, together with everything else that the same supplier's
goods will be needed for within the next so many days. Rounds with different spans of days are
compared, for each group of suppliers that share a material, by what they cost; a thorough buyer
also looks for a span for each supplier, and then joins orders to the ones before them.
"""

from collections.abc import Iterable, Sequence
from itertools import pairwise

from planner.draft.offers import possible_deliveries
from planner.draft.orders import Market, OrderBook, OrderPart, market_of
from planner.draft.rounds import Round, Terms
from planner.draft.uses import DailyUses, material_uses
from planner.plan import Batch, PreparationLot, Purchase
from planner.workshop import Workshop

COVERS = (0, 21, 70)
"""Days of use ordered together that are tried."""

MORE_COVERS = (0, 10, 21, 40, 70, 120)
"""The same for a thorough buyer."""


def purchases_for(
    workshop: Workshop,
    batches: Iterable[Batch],
    preparations: Iterable[PreparationLot],
    *,
    thorough: bool = False,
) -> tuple[Purchase, ...] | None:
    """Purchases that cover every use of material on its day; None if none were found.

    To be thorough takes three to ten times as long and saves up to half a hundredth.

    Without budgets there are none only if no purchases can cover the uses. Where a month's budget
    is too small for the cheapest way of buying, others are tried, not all there are: first what a
    quick buyer orders, since joined orders are paid earlier.
    """
    buyer = Buyer(workshop, thorough=thorough)
    uses = material_uses(workshop, batches, preparations)
    orders = buyer.cheapest(uses)
    if orders is None or orders.keeps_budgets():
        return orders.purchases() if orders else None
    if thorough:
        quick = Buyer(workshop).cheapest(uses)
        if quick is not None and quick.keeps_budgets():
            return quick.purchases()
    return buyer.within_budgets(uses)


class Buyer:
    """Buys for one workshop after another set of uses."""

    def __init__(self, workshop: Workshop, *, thorough: bool = False) -> None:
        self.covers = MORE_COVERS if thorough else COVERS
        self.thorough = thorough
        self.market = market_of(workshop, possible_deliveries(workshop))
        self._groups = _groups(self.market)

    def cheapest(self, uses: DailyUses) -> OrderBook | None:
        """The cheapest orders found, whatever the budgets; None if uses cannot be covered."""
        book = OrderBook(self.market)
        for group in self._groups:
            bought = self._cheapest_round(uses, group)
            if bought is None:
                return None
            book.take_over(bought.orders)
        return book

    def within_budgets(self, uses: DailyUses) -> tuple[Purchase, ...] | None:
        """Buy on the latest days whose months can still pay, as little as it takes or more."""
        for cover in self.covers:
            buying = Round(self.market, uses, list(uses), Terms(cover=cover, thrifty=True))
            if buying.run() and buying.book.keeps_budgets():
                return buying.book.purchases()
        return None

    def _cheapest_round(self, uses: DailyUses, group: Sequence[str]) -> OrderBook | None:
        """The orders of the cheapest round for a group; None if its uses cannot be covered."""
        wishes = any(self.market.workshop.materials[item].safety_stock for item in group)
        alike = [
            Terms(cover=cover, safety=safety)
            for cover in self.covers
            for safety in ((False, True) if wishes else (False,))
        ]
        rounds: list[Round] = []
        for terms in alike:
            buying = self._round(uses, group, terms)
            if buying is None:
                return None
            rounds.append(buying)
        best = min(rounds, key=Round.cost)
        if self.thorough:
            best = self._with_own_covers(uses, group, best)
            best = self._with_fewer_orders(uses, group, best)
        return best.book

    def _with_own_covers(self, uses: DailyUses, group: Sequence[str], best: Round) -> Round:
        """The cheapest round found where one supplier after the other may have its own span."""
        for supplier in sorted({s for item in group for s in self.market.offers.get(item, {})}):
            others = (
                self._round(uses, group, best.terms.with_cover(supplier, cover))
                for cover in self.covers
            )
            best = min([best, *(other for other in others if other is not None)], key=Round.cost)
        return best

    def _with_fewer_orders(self, uses: DailyUses, group: Sequence[str], best: Round) -> Round:
        """The cheapest round found where one order after the other may join the one before it.

        First whole orders, then what they bring of a material.
        """
        for joinable in (_whole_orders, _single_materials):
            place = 0
            while place < len(choices := joinable(best)):
                other = self._round(uses, group, best.terms.without(choices[place]))
                if other is not None and other.cost() < best.cost():
                    best = other
                else:
                    place += 1
        return best

    def _round(self, uses: DailyUses, group: Sequence[str], terms: Terms) -> Round | None:
        buying = Round(self.market, uses, group, terms)
        return buying if buying.run() else None


def _whole_orders(bought: Round) -> list[list[OrderPart]]:
    """For each order but a supplier's first one all that would be ordered after the one before."""
    orders = sorted((supplier, day) for day, supplier in bought.book.orders)
    return [
        [part for item in bought.shelves for part in _between(supplier, item, before, day)]
        for (supplier, before), (same, day) in pairwise(orders)
        if supplier == same
    ]


def _single_materials(bought: Round) -> list[list[OrderPart]]:
    """The same for each of a supplier's materials."""
    offers = bought.market.workshop.offers
    parts = {
        (supplier, offers[offer].material, day)
        for (day, supplier), lines in bought.book.orders.items()
        for offer in lines
    }
    return [
        _between(supplier, item, before, day)
        for (supplier, item, before), (*same, day) in pairwise(sorted(parts))
        if [supplier, item] == same
    ]


def _between(supplier: str, material: str, before: int, day: int) -> list[OrderPart]:
    """What may be ordered of a material from after one day up to another."""
    return [(between, supplier, material) for between in range(before + 1, day + 1)]


def _groups(market: Market) -> list[list[str]]:
    """Materials that have to be bought with an eye on each other: they share suppliers."""
    group_of: dict[str, list[str]] = {
        material: [material] for material in market.workshop.materials
    }
    first_of: dict[str, str] = {}
    for material, suppliers in market.offers.items():
        for supplier in suppliers:
            other = group_of[first_of.setdefault(supplier, material)]
            mine = group_of[material]
            if other is not mine:
                other += mine
                group_of.update(dict.fromkeys(mine, other))
    return [group for material, group in group_of.items() if group[0] == material]
