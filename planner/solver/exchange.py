"""Between plans and assignments: a plan as the hint of every variable, an assignment as a plan."""

from collections import Counter
from collections.abc import Callable, Iterable

from planner.plan import (
    Batch,
    Plan,
    PreparationLot,
    Promise,
    Purchase,
    PurchaseLine,
    continued,
    in_plan_order,
)
from planner.solver.linear import Staircase
from planner.solver.variables import Variables

Value = Callable[[int], int]
"""From a variable's index to its value."""


def decisions_of(variables: Variables, plan: Plan) -> dict[int, int]:
    """The values of all decision staircases under a plan; derived variables are left out.

    Whatever the plan holds that the model has no staircase for is passed over; what it does on a
    day without a step counts from the next step on.
    """
    values: dict[int, int] = {}
    for staircase, rises in rises_of(variables, plan):
        _climb(values, staircase, rises)
    for lot, finished in variables.finished.items():
        packs = Counter(b.pack for b in plan.batches if b.lot == lot and b.pack is not None)
        _climb(values, finished, packs)
    promised = {promise.demand: promise.day for promise in plan.promises}
    for name, staircase in [*variables.sent.items(), *variables.launched.items()]:
        _climb(values, staircase, Counter([promised[name]] if name in promised else []))
    return values


def rises_of(variables: Variables, plan: Plan) -> list[tuple[Staircase, Counter[int]]]:
    """What a plan pours, packs, makes and orders: each staircase, and on which day it rises."""
    planned = [batch for batch in plan.batches if not batch.in_progress]
    pairs: list[tuple[Staircase, Counter[int]]] = []
    for key, poured in variables.poured.items():
        same = [b for b in planned if (b.product, b.bars) == key]
        pairs.append((poured, Counter(b.pour for b in same)))
        packs = Counter(b.pack for b in same if b.pack is not None)
        pairs.append((variables.packed[key], packs))
    for name, made in variables.made.items():
        pairs.append((made, Counter(p.make for p in plan.preparations if p.preparation == name)))
    for offer, bought in variables.bought.items():
        packs_on: Counter[int] = Counter()
        for purchase in plan.purchases:
            for line in purchase.lines:
                if line.offer == offer:
                    packs_on[purchase.order] += line.packs
        pairs.append((bought, packs_on))
    return pairs


def _climb(values: dict[int, int], staircase: Staircase, rises: Counter[int]) -> None:
    """Set each step to the sum of all rises up to its day."""
    for day, step in zip(staircase.days, staircase.steps, strict=True):
        values[step.index] = sum(count for when, count in rises.items() if when <= day)


def plan_of(variables: Variables, value: Value) -> Plan:
    """The plan that an assignment of all variables stands for."""
    return Plan(
        batches=tuple(
            sorted([*batches_of(variables, value), *_underway(variables, value)], key=in_plan_order)
        ),
        preparations=tuple(
            sorted(
                PreparationLot(make=day, preparation=name)
                for name, made in variables.made.items()
                for day in _rises(made, value)
            )
        ),
        purchases=_purchases(variables, value),
        promises=tuple(
            sorted(
                Promise(demand=name, day=day)
                for name, staircase in [*variables.sent.items(), *variables.launched.items()]
                for day in _rises(staircase, value)
            )
        ),
    )


def _rises(staircase: Staircase, value: Value) -> list[int]:
    """The days on which a staircase rises, each as often as it rises by."""
    heights = [value(step.index) for step in staircase.steps]
    rises = [now - before for before, now in zip([0, *heights], heights, strict=False)]
    return [day for day, rise in zip(staircase.days, rises, strict=True) for _ in range(rise)]


def batches_of(variables: Variables, value: Value) -> Iterable[Batch]:
    """The batches that an assignment pours; as many of each kind have to be packed."""
    for key, poured in variables.poured.items():
        product = variables.workshop.products[key[0]]
        pours, packs = _rises(poured, value), _rises(variables.packed[key], value)
        for pour, pack in zip(pours, packs, strict=True):
            unmould = variables.timeline.unmould(product, pour)
            yield Batch(
                pour=pour,
                product=key[0],
                bars=key[1],
                unmould=pour if unmould is None else unmould,
                pack=pack,
            )


def _underway(variables: Variables, value: Value) -> Iterable[Batch]:
    for batch in variables.workshop.underway:
        packs = _rises(variables.finished[batch.lot], value)
        yield continued(batch, packs[0] if packs else None)


def _purchases(variables: Variables, value: Value) -> tuple[Purchase, ...]:
    packs: dict[tuple[int, str], Counter[str]] = {}
    for offer_id, bought in variables.bought.items():
        supplier = variables.workshop.offers[offer_id].supplier
        for day in _rises(bought, value):
            packs.setdefault((day, supplier), Counter())[offer_id] += 1
    return tuple(
        Purchase(
            order=day,
            supplier=supplier,
            lines=tuple(
                PurchaseLine(offer=offer, packs=count) for offer, count in sorted(lines.items())
            ),
        )
        for (day, supplier), lines in sorted(packs.items())
    )
