"""Demand: orders leave whole, launches need their stock, the shop sells what is left."""

from planner.solver.linear import Linear, LinearModel, Staircase
from planner.solver.rules.shop import Served, Shop
from planner.solver.rules.shop_by_day import add_shop_by_day
from planner.solver.rules.shop_in_all import add_shop_in_all
from planner.solver.variables import Variables
from planner.workshop import Demand, DemandKind


def add_demand(model: LinearModel, variables: Variables) -> tuple[Linear, dict[str, Served]]:
    """All demand rules; returns the service goal and what each product's shop loses."""
    goal = Linear()
    served: dict[str, Served] = {}
    for demand in variables.workshop.demand:
        if demand.kind is DemandKind.ORDER:
            _add_lateness(goal, variables.sent[demand.id], demand, variables.workshop.days)
    for launch in variables.launches.values():
        for row in launch.rows:
            _add_lateness(goal, variables.launched[launch.name], row, variables.workshop.days)
    for product in variables.workshop.products:
        shop = Shop(variables, product)
        add_shop = add_shop_in_all if shop.is_simple else add_shop_by_day
        served[product] = add_shop(model, shop)
        goal.add(served[product].loss)
    return goal, served


def _add_lateness(goal: Linear, met: Staircase, demand: Demand, days: int) -> None:
    """weight x days from the row's day on which it is not met yet, + unmet if it never is."""
    goal.constant += demand.weight * (days - demand.day) + demand.unmet
    goal.plus(met.last, -demand.unmet)
    for day, following, step in zip(met.days, [*met.days[1:], days], met.steps, strict=True):
        goal.plus(step, -demand.weight * (following - day))
