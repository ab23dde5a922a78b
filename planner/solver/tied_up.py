"""The capital that what is bought ties up at least, told by what is used instead of by orders.

What of a material has been used by a day and did not come without an order, was bought and could be
used by then; and it could be since the last delivery before. So for any days T of the plan

  sum of held(packs) >= sum over t in T of daily x value x (use(t') - stock(t'))

where t' is the last day before the next that anything ordered can be used from. On the right are no
orders, and whatever T is, it is never above what a plan's orders tie up. It tells most where T is
the days on which that plan has used more than its stock.
"""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import pairwise
from math import ceil

from planner.solver.linear import Linear
from planner.solver.model import PlanModel
from planner.solver.money import MoneyGoal
from planner.workshop import Material, Offer


def add_tied_up(
    money: Linear, goal: MoneyGoal, full: PlanModel, material: Material, values: Mapping[int, int]
) -> None:
    """Add it to the money of a model without purchases, in thousandths of a minor unit.

    The days are those on which an assignment of that model has used more than its stock.
    """
    workshop, offers = goal.workshop, full.variables.offers_of(material.id)
    bought = Linear()
    for last, days in _between_deliveries(offers, workshop.days):
        more = Linear(-goal.stock(material.id, last))
        goal.uses.add(more, material.id, last)
        if more.value(values) > 0:
            bought.add(more, days)
    if bought.variables:
        money.add(bought.at_rate(goal.daily * Fraction(workshop.values.get(material.id, 0), 1000)))
        # Of each pack its value is rounded, and then what holding it costs.
        packs = sum(full.variables.ceilings.packs(offer) for offer in offers)
        money.constant -= ceil(packs * (1 + goal.daily * workshop.days) / 2)


def _between_deliveries(offers: list[Offer], days: int) -> Iterator[tuple[int, int]]:
    """The last day and the number of days, for each time in which nothing ordered can come."""
    comes = {delivery.usable for offer in offers for delivery in offer.deliveries}
    first = sorted({max(0, day) for day in comes if day < days})
    for begin, end in pairwise([*first, days]):
        yield end - 1, end - begin
