"""The bars of one product, and what is asked of them, as sums of variables."""

from dataclasses import dataclass
from functools import cached_property

from planner.needs import retail_on
from planner.recipes import recipe_of
from planner.solver.ceilings import bars_expire
from planner.solver.linear import Linear, Staircase
from planner.solver.variables import Variables
from planner.workshop import DemandKind


@dataclass
class Served:
    """Service of one product: the weighted loss, the bars lost, and the bars asked for by day."""

    loss: Linear
    lost_bars: Linear
    asked: list[int]


class Bars:
    """Sums over the bars of one product."""

    def __init__(self, variables: Variables, product: str) -> None:
        self.variables = variables
        self.product = product
        self.days = variables.workshop.days
        self.orders = [
            d
            for d in variables.workshop.demand
            if d.product == product and d.kind is DemandKind.ORDER
        ]
        self.underway = [
            (variables.finished[b.lot], recipe_of(variables.workshop, product, b.bars).good, b.pour)
            for b in variables.workshop.underway
            if b.product == product
        ]
        self.lots = [
            lot for lot in variables.workshop.lots if lot.item == product and lot.is_usable
        ]

    @cached_property
    def most(self) -> int:
        """As many bars as there can ever be."""
        there = sum(lot.amount for lot in self.lots) + sum(good for _, good, _ in self.underway)
        for key in self.variables.sizes(self.product):
            good = self.variables.recipes[key].good
            there += good * self.variables.ceilings.poured(key)
        return there

    def available(self, row: Linear, day: int, factor: int = 1) -> None:
        """Opening bars usable by the day, and good bars packed before it."""
        row.constant += factor * sum(lot.amount for lot in self.lots if lot.usable <= day)
        for key in self.variables.sizes(self.product):
            good = self.variables.recipes[key].good
            row.step(self.variables.packed[key], day - 1, factor * good)
        for finished, good, _ in self.underway:
            row.step(finished, day - 1, factor * good)

    def sent(self, row: Linear, day: int, factor: int = 1) -> None:
        """Bars that left with orders by the end of the day."""
        for order in self.orders:
            row.step(self.variables.sent[order.id], day, factor * order.quantity)

    def expired(self, row: Linear, day: int, factor: int = 1) -> None:
        """Bars whose use-by date is not after the day."""
        for lot in self.lots:
            if lot.use_by is not None and lot.use_by <= day:
                row.constant += factor * lot.amount
        life = self.variables.workshop.products[self.product].shelf_life_days
        if life is None:
            return
        for key in self.variables.sizes(self.product):
            good = self.variables.recipes[key].good
            row.step(self.variables.poured[key], day - life, factor * good)
        for finished, good, pour in self.underway:
            if pour + life <= day:  # bars packed later than that were never there to expire
                row.step(finished, day - 1, factor * good)


class Shop:
    """What is asked of one product: shop rows by weight, levels to keep, launches."""

    def __init__(self, variables: Variables, product: str) -> None:
        self.variables = variables
        self.product = product
        self.days = variables.workshop.days
        self.bars = Bars(variables, product)
        rows = [d for d in variables.workshop.demand if d.product == product]
        retail = [d for d in rows if d.kind is DemandKind.RETAIL]
        self.levels = [d for d in rows if d.kind is DemandKind.RESTOCK]
        self.launches: list[tuple[Staircase, int]] = [
            (variables.launched[launch.name], quantity)
            for launch in variables.launches.values()
            if (quantity := sum(r.quantity for r in launch.rows if r.product == product))
        ]
        self.weights = sorted({row.weight for row in retail}, reverse=True)
        self.asked = {
            weight: [
                sum(retail_on(row, day) for row in retail if row.weight == weight)
                for day in range(self.days)
            ]
            for weight in self.weights
        }
        self.expires = bars_expire(variables.workshop, variables.workshop.products[product])

    @property
    def is_simple(self) -> bool:
        """True if one variable says all that the shop loses."""
        return (
            len(self.weights) <= 1
            and not self.levels
            and not self.expires
            and len(self.launches) <= 1
        )

    def asked_in_all(self) -> list[int]:
        """Bars asked for on each day, all weights together."""
        return [sum(day) for day in zip([0] * self.days, *self.asked.values(), strict=True)]

    def days_before_bars_come(self) -> list[int]:
        """The days on which cumulative demand is highest against the bars there are."""
        changes = {day + 1 for day in self.variables.timeline.working}
        changes |= {lot.usable for lot in self.bars.lots}
        return sorted({day - 1 for day in changes if 0 < day < self.days} | {self.days - 1})
