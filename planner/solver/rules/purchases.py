"""Rules of buying: packs in a line, price steps, minimum orders, freight, budgets."""

from dataclasses import dataclass, field

from planner.solver.linear import Linear, LinearModel
from planner.solver.variables import Variables
from planner.workshop import Offer, Supplier


@dataclass
class Costs:
    """What the planned orders cost in minor units: goods and freight of each (supplier, day)."""

    goods: dict[tuple[str, int], Linear] = field(default_factory=dict)
    freight: dict[tuple[str, int], Linear] = field(default_factory=dict)


def add_purchases(model: LinearModel, variables: Variables) -> Costs:
    """Every rule of buying; returns the costs for goals and budgets."""
    costs = Costs()
    for supplier in variables.workshop.suppliers.values():
        offers = [
            offer
            for offer in variables.workshop.offers.values()
            if offer.supplier == supplier.id and offer.id in variables.bought
        ]
        days = sorted({day for offer in offers for day in variables.bought[offer.id].days})
        for day in days:
            _add_order(model, variables, costs, supplier, offers, day)
    _add_budgets(model, variables, costs)
    return costs


def _add_order(
    model: LinearModel,
    variables: Variables,
    costs: Costs,
    supplier: Supplier,
    offers: list[Offer],
    day: int,
) -> None:
    """One possible order: its lines, whether it is placed, its minimum and its freight."""
    lines = {offer.id: Linear().rise(variables.bought[offer.id], day, 1) for offer in offers}
    lines = {offer: packs for offer, packs in lines.items() if packs.variables}
    if not lines:
        return
    name = f"{supplier.id}[{day}]"
    placed = Linear(1)
    if supplier.freight or supplier.minimum_order:
        every_line = list(lines.values())
        variable = model.variable(
            f"placed {name}",
            1,
            lambda values: int(any(packs.value(values) for packs in every_line)),
        )
        placed = Linear().plus(variable, 1)
    goods = Linear()
    for offer in offers:
        if offer.id in lines:
            goods.add(_add_line(model, variables, offer, lines[offer.id], placed, day))
    if supplier.minimum_order:
        model.at_least(
            Linear().add(goods).add(placed, -supplier.minimum_order), 0, f"minimum order {name}"
        )
    costs.goods[supplier.id, day] = goods
    costs.freight[supplier.id, day] = _add_freight(model, supplier, goods, placed, name)


def _add_line(
    model: LinearModel,
    variables: Variables,
    offer: Offer,
    packs: Linear,
    placed: Linear,
    day: int,
) -> Linear:
    """min_packs <= packs <= max_packs if ordered at all; returns the line's cost.

    With one price from the first pack on the line needs no variable of its own; else each price
    step has its packs and a yes or no: from(i) x yes(i) <= packs(i) <= (from(i+1) - 1) x yes(i).
    """
    most = variables.ceilings.packs(offer)
    if offer.max_packs is not None:
        most = min(most, offer.max_packs)
    first = max(offer.min_packs, offer.steps[0].packs, 1)
    if len(offer.steps) == 1 and first == 1:
        model.at_most(Linear().add(packs).add(placed, -most), 0, f"packs {offer.id}")
        return Linear().add(packs, offer.steps[0].price)
    cost, in_steps, any_step = Linear(), Linear(), Linear()
    starts = [max(step.packs, first) for step in offer.steps]
    ends = [*(min(start - 1, most) for start in starts[1:]), most]
    for step, start, end in zip(offer.steps, starts, ends, strict=True):
        if start > end:
            continue
        name = f"{offer.id} from {start}[{day}]"
        taken = model.variable(
            f"packs {name}",
            end,
            lambda values, start=start, end=end: (  # type: ignore[misc]
                n if start <= (n := packs.value(values)) <= end else 0
            ),
        )
        yes = model.variable(f"step {name}", 1, lambda values, v=taken: int(values[v.index] > 0))  # type: ignore[misc]
        model.at_most(Linear().plus(taken, 1).plus(yes, -end), 0, f"most of {name}")
        model.at_least(Linear().plus(taken, 1).plus(yes, -start), 0, f"least of {name}")
        cost.plus(taken, step.price)
        in_steps.plus(taken, 1)
        any_step.plus(yes, 1)
    model.at_most(any_step.add(placed, -1), 0, f"one step of {offer.id}")
    model.proto.add(in_steps.expression() == packs.expression()).with_name(f"packs {offer.id}")
    return cost


def _add_freight(
    model: LinearModel, supplier: Supplier, goods: Linear, placed: Linear, name: str
) -> Linear:
    """Freight is paid once for a placed order unless its goods reach free_freight_from."""
    if not supplier.freight:
        return Linear()
    freight = Linear().add(placed, supplier.freight)
    threshold = supplier.free_freight_from
    if threshold is None:
        return freight
    free = model.variable(
        f"free freight {name}",
        1,
        lambda values: int(placed.value(values) > 0 and goods.value(values) >= threshold),
    )
    model.at_most(Linear().plus(free, 1).add(placed, -1), 0, f"free freight {name}")
    model.at_least(Linear().add(goods).plus(free, -threshold), 0, f"goods for free freight {name}")
    return freight.plus(free, -supplier.freight)


def _add_budgets(model: LinearModel, variables: Variables, costs: Costs) -> None:
    """Goods and freight whose pay day lies in a month <= that month's budget."""
    for budget in variables.workshop.budgets:
        row = Linear()
        for (supplier, day), goods in costs.goods.items():
            pay = day + variables.workshop.suppliers[supplier].pay_days
            if budget.first <= pay <= budget.last:
                row.add(goods).add(costs.freight[supplier, day])
        model.at_most(row, budget.amount, f"budget {budget.month}")
