"""The orders of a plan while they are written: lines, goods, freight, and the months they cost."""

from collections.abc import Container, Mapping
from dataclasses import dataclass

from planner.draft.offers import last_use, line_price
from planner.draft.packs import Line
from planner.needs import worth_having
from planner.plan import Purchase, PurchaseLine
from planner.workshop import Budget, Delivery, Offer, Supplier, Workshop

Key = tuple[int, str]
"""An order: its day and its supplier."""

OrderPart = tuple[int, str, str]
"""What an order brings of a material: its day, its supplier and the material."""


@dataclass(frozen=True, kw_only=True)
class Market:
    """The offers of each material by supplier, and every delivery that can be used.

    deliveries   offer -> deliveries by the day from which they are usable
    by_order     offer -> order day -> delivery
    worth_having material -> how much of it counts for something
    """

    workshop: Workshop
    offers: Mapping[str, Mapping[str, tuple[Offer, ...]]]
    deliveries: Mapping[str, tuple[Delivery, ...]]
    by_order: Mapping[str, Mapping[int, Delivery]]
    worth_having: Mapping[str, int]

    def last(self, offer: Offer, delivery: Delivery) -> int:
        """The last day of the plan on which what is delivered can be used."""
        return last_use(offer, delivery, self.workshop.days)

    def credit(self, offer: Offer, delivery: Delivery) -> float:
        """What a unit of surplus is worth, in thousandths of a minor unit.

        Its value less the cost of holding it to the plan's end; nothing if it expires before.
        """
        days = self.workshop.days
        if self.last(offer, delivery) < days - 1:
            return 0.0
        return self.value(offer.material) * (1 - self.holding(delivery.usable))

    def value(self, material: str) -> float:
        """Thousandths of a minor unit for the smallest unit of a material."""
        return self.workshop.values.get(material, 0) / 1000

    def holding(self, day: int) -> float:
        """The share of a value that holding it from a day to the plan's end costs."""
        return float(self.workshop.costs.capital) * max(0, self.workshop.days - day) / 365


class OrderBook:
    """Orders with their lines, but for parts that are `never` ordered; amounts in minor units."""

    def __init__(self, market: Market, never: Container[OrderPart] = ()) -> None:
        self.market = market
        self.never = never
        self.orders: dict[Key, dict[str, int]] = {}
        self._goods: dict[Key, int] = {}

    def line(self, offer: Offer, day: int) -> Line:
        """An offer's line in the order of a day, as it stands now."""
        ordered = self.orders.get((day, offer.supplier), {}).get(offer.id, 0)
        return Line(offer=offer, ordered=ordered)

    def takes(self, offer: Offer, day: int) -> bool:
        """True if one more pack can be ordered on a day."""
        part = day, offer.supplier, offer.material
        return part not in self.never and self.line(offer, day).allowed(1) > 0

    def add(self, offer: Offer, day: int, packs: int) -> None:
        """Order more packs (negative: fewer); an order without packs vanishes."""
        key = day, offer.supplier
        self._goods.pop(key, None)
        lines = self.orders.setdefault(key, {})
        lines[offer.id] = lines.get(offer.id, 0) + packs
        if not lines[offer.id]:
            del lines[offer.id]
        if not lines:
            del self.orders[key]

    def goods(self, key: Key) -> int:
        """What the goods of an order cost; counted once for as long as it stays as it is."""
        if key not in self._goods:
            offers = self.market.workshop.offers
            lines = self.orders.get(key, {})
            self._goods[key] = sum(line_price(offers[offer], n) for offer, n in lines.items())
        return self._goods[key]

    def take_over(self, orders: Mapping[Key, dict[str, int]]) -> None:
        """Put in whole orders, in place of those of the same day and supplier."""
        for key, lines in orders.items():
            self._goods.pop(key, None)
            self.orders[key] = lines

    def freight(self, key: Key) -> int:
        """Freight of an order: none once its goods are worth enough, none without an order."""
        if key not in self.orders:
            return 0
        return freight_of(self.market.workshop.suppliers[key[1]], self.goods(key))

    def cost(self, key: Key) -> int:
        """Goods and freight of an order; goods at least for the minimum, which it must come to."""
        minimum = self.market.workshop.suppliers[key[1]].minimum_order or 0
        return max(minimum, self.goods(key)) + self.freight(key)

    def spent(self, budget: Budget) -> int:
        """What leaves in a budget's month."""
        return sum(self.cost(key) for key in self.orders if self.falls_in(key, budget))

    def falls_in(self, key: Key, budget: Budget) -> bool:
        """True if an order is paid in a budget's month."""
        pay = key[0] + self.market.workshop.suppliers[key[1]].pay_days
        return budget.first <= pay <= budget.last

    def keeps_budgets(self) -> bool:
        """True if no month costs more than its budget."""
        budgets = self.market.workshop.budgets
        return all(self.spent(budget) <= budget.amount for budget in budgets)

    def keeps_budget_of(self, key: Key) -> bool:
        """True if the month in which an order is paid costs no more than its budget."""
        return all(
            self.spent(budget) <= budget.amount
            for budget in self.market.workshop.budgets
            if self.falls_in(key, budget)
        )

    def purchases(self) -> tuple[Purchase, ...]:
        """The orders as the plan holds them."""
        return tuple(
            Purchase(
                order=day,
                supplier=supplier,
                lines=tuple(
                    PurchaseLine(offer=offer, packs=packs) for offer, packs in sorted(lines.items())
                ),
            )
            for (day, supplier), lines in sorted(self.orders.items())
        )


def freight_of(supplier: Supplier, goods: int) -> int:
    """Freight of an order of goods that cost so much."""
    free = supplier.free_freight_from is not None and goods >= supplier.free_freight_from
    return 0 if free else supplier.freight


def market_of(workshop: Workshop, deliveries: Mapping[str, tuple[Delivery, ...]]) -> Market:
    """The market with the deliveries that can be had."""
    offers: dict[str, dict[str, tuple[Offer, ...]]] = {}
    for offer in workshop.offers.values():
        if deliveries[offer.id]:
            sources = offers.setdefault(offer.material, {})
            sources[offer.supplier] = (*sources.get(offer.supplier, ()), offer)
    return Market(
        workshop=workshop,
        offers=offers,
        deliveries=deliveries,
        by_order={
            offer: {delivery.order: delivery for delivery in kept}
            for offer, kept in deliveries.items()
        },
        worth_having=worth_having(workshop),
    )
