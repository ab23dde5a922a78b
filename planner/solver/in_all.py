"""The money goal with all that is bought in all: on which days it is ordered is left open.

A model without purchases counts what a plan makes; what its materials cost at least then follows
from how much of each is used in all. So no plan costs less, and the model is a third as large. Of
orders day by day a linear relaxation buys parts of packs; here it knows what whole ones cost.
"""

from collections.abc import Sequence

import numpy as np
from ortools.sat.python import cp_model

from planner.plan import Plan
from planner.solver.linear import Linear, LinearModel
from planner.solver.matrix import Ints
from planner.solver.model import PlanModel
from planner.solver.money import MoneyGoal
from planner.solver.packs import (
    NEVER,
    Keeping,
    Step,
    bought_in_all,
    least_costs,
    order_costs,
    steps,
)
from planner.solver.rules.purchases import Costs
from planner.solver.tied_up import add_tied_up
from planner.workshop import Material, Offer


def add_money_in_all(bare: PlanModel, full: PlanModel, plan: Plan) -> Linear:
    """The goal, added to a model without purchases: never above that of the full model.

    Near a plan it tells most of the capital that is tied up.
    """
    values = bare.values_of(plan)
    preparations = list(bare.workshop.preparations.values())
    goal = MoneyGoal(bare.model, bare.variables, bare.supply, Costs(), bare.served, preparations)
    money = goal.add()
    packs = PacksInAll(goal, full)
    for material in bare.workshop.materials.values():
        packs.add(money, material)
        add_tied_up(money, goal, full, material, values)
    return money


class PacksInAll:
    """What the packs of each material cost at least, by what is used of it in all."""

    def __init__(self, goal: MoneyGoal, full: PlanModel) -> None:
        self.goal = goal
        self.full = full
        self.model: LinearModel = goal.model
        self.workshop = goal.workshop

    def add(self, money: Linear, material: Material) -> None:
        """Add it to the money: nothing can be used that is not there or bought."""
        used = Linear()
        self.goal.uses.add(used, material.id, self.workshop.days - 1)
        highest = -self.model.least(Linear().add(used, -1))
        keeping = self._keeping(material)
        bought = bought_in_all(self._offers(material), highest - keeping.stock)
        found = steps(keeping, bought, highest)
        if len(found) == 1 and found[0].most >= highest:
            money.constant += found[0].cost
        else:
            _add_least_cost(self.model, money, material.id, used, found)

    def _keeping(self, material: Material) -> Keeping:
        """What lies there or is on order, and what it costs to have too much of it.

        What passes its date is charged elsewhere, each chain of lots in whole units, and so is what
        nothing uses.
        """
        worth = self.goal.value(material.id, material.unit.parts)
        wasted = self.full.supply.wasted.get(material.id, [])
        lost = [self.goal.lost_with_date(material, staircase) for staircase in wasted]
        if not lost and any(source.perishable for source in self.full.supply.sources[material.id]):
            lost = [worth]
        never = self.goal.never_usable(material.id)
        return Keeping(
            stock=self.goal.stock(material.id, self.workshop.days - 1),
            enough=self.goal.enough[material.id] - never + material.unit.parts - 1,
            parts=material.unit.parts,
            worth=min([worth, *lost]),
            rounded=sum(lost),
        )

    def _offers(self, material: Material) -> list[tuple[int, Ints]]:
        """What a pack of each offer holds, and what 0, 1, 2 ... cost beyond their value."""
        return [
            (offer.amount, self._beyond_value(offer))
            for offer in self.full.variables.offers_of(material.id)
        ]

    def _beyond_value(self, offer: Offer) -> Ints:
        """In thousandths of a minor unit; NEVER where orders come to no such number."""
        most = self.full.variables.ceilings.packs(offer)
        others = [o for o in self.workshop.offers.values() if o.supplier == offer.supplier]
        supplier = self.workshop.suppliers[offer.supplier] if len(others) == 1 else None
        costs = least_costs(order_costs(offer, supplier, most))
        value = self.goal.value(offer.material, offer.amount)
        packs = np.arange(most + 1)
        possible = costs < NEVER
        beyond: Ints = np.full(most + 1, NEVER, np.int64)
        beyond[possible] = 1000 * costs[possible] - value * packs[possible]
        return beyond


def _add_least_cost(
    model: LinearModel, money: Linear, name: str, used: Linear, found: Sequence[Step]
) -> None:
    """The use lies on one of the steps, and what it tells is added to the money.

    Without whole numbers that says no less than the hull of all steps.
    """
    covered, any_step = Linear().add(used, -1), Linear(-1)
    for number, step in enumerate(found):
        below = found[number - 1].most if number else -1
        flag = _flag(model, f"packs of {name} {number}", used, below, step.most)
        covered.plus(flag, step.most)
        any_step.plus(flag, 1)
        money.plus(flag, step.cost)
    model.equal(any_step, 0, f"one step of {name}")
    model.at_least(covered, 0, f"use of {name} in its step")


def _flag(model: LinearModel, name: str, used: Linear, below: int, most: int) -> cp_model.IntVar:
    return model.variable(name, 1, lambda values: int(below < used.value(values) <= most))
