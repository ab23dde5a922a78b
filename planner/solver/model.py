"""A workshop's whole model: decisions, rules, and its two goals."""

from planner.plan import Plan
from planner.solver.exchange import decisions_of
from planner.solver.linear import Linear, LinearModel
from planner.solver.money import MoneyGoal
from planner.solver.rules import add_all_rules
from planner.solver.rules.demand import add_demand
from planner.solver.rules.purchases import add_purchases
from planner.solver.rules.stocks import supply_of
from planner.solver.variables import Variables
from planner.workshop import Workshop


class PlanModel:
    """The model of one workshop, with or without purchases as decisions.

    Without them every material counts as available from the earliest day on which it could
    arrive: fewer variables, and still no plan can serve better than this model's bound.
    There is room for all that a `stored` plan makes and buys, though nobody may want it any more.
    """

    def __init__(
        self, workshop: Workshop, with_purchases: bool, stored: Plan | None = None
    ) -> None:
        self.workshop = workshop
        self.with_purchases = with_purchases
        self.model = LinearModel(workshop.days)
        self.variables = Variables(workshop, self.model, with_purchases, stored)
        self.supply = supply_of(self.variables, with_purchases)
        add_all_rules(self.model, self.variables, self.supply)
        self.service, self.served = add_demand(self.model, self.variables)
        self.money = Linear()
        if with_purchases:
            costs = add_purchases(self.model, self.variables)
            goal = MoneyGoal(self.model, self.variables, self.supply, costs, self.served)
            self.money = goal.add()

    def values_of(self, plan: Plan) -> dict[int, int]:
        """A value for every variable, from a plan."""
        return self.model.complete(decisions_of(self.variables, plan))
