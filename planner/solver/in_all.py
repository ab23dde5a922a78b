"""The money goal with all that is bought in all: on which days it is ordered is left open.

A model without purchases counts what a plan makes; what its materials cost at least then follows
from how much of each is used in all. So no plan costs less, and the model is a third as large. Of
orders day by day a linear relaxation buys parts of packs; here it knows what whole ones cost.
"""

from collections.abc import Sequence

import numpy as np
from ortools.sat.python import cp_model

from planner.solver.linear import Linear, LinearModel
from planner.solver.matrix import Ints
from planner.solver.model import PlanModel
from planner.solver.money import MoneyGoal
from planner.solver.packs import (
    NEVER,
    Keeping,
    Piece,
    bought_in_all,
    least_costs,
    order_costs,
    pieces,
)
from planner.solver.rules.purchases import Costs
from planner.workshop import Material, Offer


def add_money_in_all(bare: PlanModel, full: PlanModel) -> Linear:
    """The goal, added to a model without purchases: never above that of the full model."""
    preparations = list(bare.workshop.preparations.values())
    goal = MoneyGoal(bare.model, bare.variables, bare.supply, Costs(), bare.served, preparations)
    money = goal.add()
    packs = PacksInAll(goal, full)
    for material in bare.workshop.materials.values():
        packs.add(money, material)
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
        found = pieces(keeping, bought, highest)
        if any(piece.cost or piece.slope for piece in found):
            _add_least_cost(self.model, money, material, used, found)

    def _keeping(self, material: Material) -> Keeping:
        """What lies there or is on order, and what it costs to have too much of it.

        What passes its date is charged elsewhere, each chain of lots in whole units.
        """
        worth = self.goal.value(material.id, material.unit.parts)
        wasted = self.full.supply.wasted.get(material.id, [])
        lost = [self.goal.lost_with_date(material, staircase) for staircase in wasted]
        never = self.goal.never_usable(material.id)
        return Keeping(
            stock=self._stock(material),
            wanted=material.safety_stock - never + material.unit.parts - 1,
            parts=material.unit.parts,
            worth=min([worth, *lost]),
            rounded=sum(lost),
        )

    def _stock(self, material: Material) -> int:
        """What can be used within the plan without buying anything."""
        lots, receipts = self.workshop.lots, self.workshop.receipts
        usable = [lot for lot in lots if lot.item == material.id and lot.is_usable]
        amounts = [(lot.usable, lot.amount) for lot in usable]
        amounts += [(r.usable, r.amount) for r in receipts if r.material == material.id]
        return sum(amount for usable, amount in amounts if usable < self.workshop.days)

    def _offers(self, material: Material) -> list[tuple[int, Ints]]:
        """What a pack of each offer holds, and what 0, 1, 2 ... cost beyond their value."""
        return [
            (offer.amount, self._beyond_value(offer))
            for offer in self.workshop.offers.values()
            if offer.material == material.id and offer.id in self.full.variables.bought
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
    model: LinearModel, money: Linear, material: Material, used: Linear, found: Sequence[Piece]
) -> None:
    """A column that is at least what the piece costs that the use lies in: each has a yes or no.

    Without whole numbers that says no less than the hull of all pieces.
    """
    parts = material.unit.parts
    base = min(end for piece in found for end in (piece.cost, piece.at(piece.last))) // parts
    cost, in_pieces, any_piece = Linear(-base * parts), Linear().add(used, -1), Linear(-1)
    for number, piece in enumerate(found):
        flag, part = _add_piece(model, f"{material.id} {number}", used, piece)
        any_piece.plus(flag, 1)
        in_pieces.plus(part, 1)
        cost.plus(flag, piece.cost - piece.slope * piece.first).plus(part, piece.slope)
    model.equal(any_piece, 0, f"one piece of {material.id}")
    model.equal(in_pieces, 0, f"use of {material.id} in pieces")
    most = max(max(piece.cost, piece.at(piece.last)) for piece in found) // parts + 1 - base
    least = model.variable(
        f"packs of {material.id}", most, lambda values: -(-cost.value(values) // parts)
    )
    model.at_most(Linear().add(cost).plus(least, -parts), 0, f"cost of {material.id}")
    money.plus(least, 1).constant += base


def _add_piece(
    model: LinearModel, name: str, used: Linear, piece: Piece
) -> tuple[cp_model.IntVar, cp_model.IntVar]:
    """1 if the use lies in a piece, and the use if so, else 0."""

    def inside(values: dict[int, int]) -> int:
        return int(piece.first <= used.value(values) <= piece.last)

    flag = model.variable(f"in piece {name}", 1, inside)
    part = model.variable(
        f"used in {name}", piece.last, lambda values: inside(values) * used.value(values)
    )
    model.at_most(Linear().plus(part, 1).plus(flag, -piece.last), 0, f"most in {name}")
    model.at_least(Linear().plus(part, 1).plus(flag, -piece.first), 0, f"least in {name}")
    return flag, part
