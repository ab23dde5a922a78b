"""Pieces that test workshops are put together from: calendar, delivery days, weights and values."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from math import floor

from planner.recipes import lot_recipe_of, recipe_of
from planner.workshop import Costs, Delivery, Demand, DemandKind, Product, Workshop

ORDER_LATE = Fraction(2, 100)  # share of an order's value lost with each late day
LAUNCH_LATE = Fraction(1)  # share of a launch's stock value lost with each late day
RESTOCK_BELOW = Fraction(1, 100)  # share of the price lost with each bar and day below a level
COSTS = Costs(clean_down=300)


def rounded(value: Fraction) -> int:
    """The nearest whole number, halves up."""
    return floor(value + Fraction(1, 2))


@dataclass(frozen=True, kw_only=True)
class Calendar:
    """Working days of a test workshop: Monday to Friday less the closed day numbers."""

    first_day: date
    days: int
    closed: frozenset[int] = frozenset()

    def weekday(self, day: int) -> int:
        """0 = Monday ... 6 = Sunday; also for days before or beyond the plan."""
        return (self.first_day.weekday() + day) % 7

    def works(self, day: int) -> bool:
        """True if the workshop works on that day."""
        return self.weekday(day) < 5 and day not in self.closed

    def first_working(self, day: int, more: int = 0) -> int:
        """The first working day on or after `day`, and `more` working days after that."""
        while not self.works(day):
            day += 1
        return day if more == 0 else self.first_working(day + 1, more - 1)

    def minutes(self, per_day: int) -> tuple[int, ...]:
        """Working minutes of each day of the plan."""
        return tuple(per_day if self.works(day) else 0 for day in range(self.days))

    def working_days(self, until: int) -> tuple[int, ...]:
        """Working days from 0 up to but not including `until`."""
        return tuple(day for day in range(max(0, until)) if self.works(day))

    def deliveries(
        self, lead: int, weekdays: tuple[int, ...], *, receive_days: int = 1, first: int = 0
    ) -> tuple[Delivery, ...]:
        """Order days on the weekdays from `first` on, with `lead` in calendar days."""
        found = []
        for order in range(max(0, first), self.days):
            if self.weekday(order) not in weekdays:
                continue
            arrive = self.first_working(order + lead)
            usable = self.first_working(arrive, receive_days)
            if usable < self.days:
                found.append(Delivery(order=order, arrive=arrive, usable=usable))
        return tuple(found)


def demand_row(
    product: Product, kind: DemandKind, quantity: int, day: int, **more: object
) -> Demand:
    """A demand row whose loss weights follow from the product's prices.

    With importance 1 for the row: a retail bar weighs its price; a bar-day below a restock level
    a hundredth of it; a late day of an order 2 % of its value, of a launch its whole value.
    """
    price = product.price
    if kind is DemandKind.ORDER:
        price = product.wholesale_price or product.price
    bar = 1000 * product.importance * price
    whole = bar * quantity
    weight = {
        DemandKind.RETAIL: bar,
        DemandKind.RESTOCK: bar * RESTOCK_BELOW,
        DemandKind.ORDER: whole * ORDER_LATE,
        DemandKind.LAUNCH: whole * LAUNCH_LATE,
    }[kind]
    waits = kind in (DemandKind.ORDER, DemandKind.LAUNCH)
    fields: dict[str, object] = {
        "id": f"{kind}-{product.id}-{day}",
        "kind": kind,
        "product": product.id,
        "quantity": quantity,
        "day": day,
        "weight": rounded(weight),
        "unmet": rounded(whole) if waits else 0,
    }
    return Demand(**{**fields, **more})  # type: ignore[arg-type]


def values_of(workshop: Workshop) -> dict[str, int]:
    """Cost price per 1,000 smallest units (or bars) in thousandths of a minor unit."""
    values = {material: _cheapest(workshop, material) for material in workshop.materials}

    def worth(parts: dict[str, int]) -> Fraction:
        return sum(
            (Fraction(amount * value(item), 1000) for item, amount in parts.items()), Fraction()
        )

    def value(item: str) -> int:
        if item not in values:
            lot = lot_recipe_of(workshop, workshop.preparations[item])
            values[item] = rounded(worth(dict(lot.parts)) * 1000 / lot.amount)
        return values[item]

    for preparation in workshop.preparations:
        value(preparation)
    for product in workshop.products.values():
        batch = recipe_of(workshop, product.id, max(product.sizes))
        cost = worth(dict(batch.parts)) + worth(dict(batch.packaging))
        values[product.id] = rounded(cost * 1000 / batch.good)
    return values


def _cheapest(workshop: Workshop, material: str) -> int:
    """The lowest price of all offers' steps per 1,000 smallest units; 0 without an offer."""
    prices = [
        Fraction(step.price * 1000 * 1000, offer.amount)
        for offer in workshop.offers.values()
        if offer.material == material
        for step in offer.steps
    ]
    return rounded(min(prices)) if prices else 0
