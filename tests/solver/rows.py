"""Rows and domains of a model, evaluated in Python: no solver takes part."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from planner.plan import Plan
from planner.replay import earliest_promises
from planner.solver.exchange import plan_of
from planner.solver.linear import Cover, LinearModel
from planner.solver.model import PlanModel
from planner.workshop import Workshop

NOT_HELD = "no variable"
"""Stands among the refusals of a plan for decisions that the model has no variable for."""


def settled(workshop: Workshop, plan: Plan) -> Plan:
    """The plan with each promise on the earliest day that it can keep; no stages."""
    return replace(plan, promises=earliest_promises(workshop, plan), stages=())


def broken_rows(model: LinearModel, values: Mapping[int, int]) -> list[str]:
    """Names of the rows and variables whose bounds an assignment of all variables breaks."""
    proto = model.proto.proto
    broken = [
        variable.name
        for index, variable in enumerate(proto.variables)
        if not _inside(variable.domain, values[index])
    ]
    for row in proto.constraints:
        if not row.has_linear():  # an empty disjunction: the model's way to say "never"
            broken.append(row.name)
            continue
        terms = zip(row.linear.vars, row.linear.coeffs, strict=True)
        total = sum(coefficient * values[variable] for variable, coefficient in terms)
        if not _inside(row.linear.domain, total):
            broken.append(row.name)
    return sorted(set(broken))


def broken_covers(model: LinearModel, values: Mapping[int, int]) -> list[Cover]:
    """Covers that do not hold, as they stand and before anything is rounded."""
    known = dict(values)
    return [
        cover
        for mixing in model.mixings
        for cover in mixing.covers
        if mixing.missing.value(known)
        + sum(size * count.value(known) for size, count in cover.counts.items())
        < cover.amount - sum(quantity * (1 - known[flag.index]) for flag, quantity in cover.flags)
    ]


def _inside(domain: Sequence[int], value: int) -> bool:
    """True if a value lies in one of the closed intervals domain[0] .. domain[1], and so on."""
    return any(domain[i] <= value <= domain[i + 1] for i in range(0, len(domain), 2))


def refused_by(workshop: Workshop, plan: Plan, with_purchases: bool = True) -> list[str]:
    """What refuses a plan, row by row; empty if the model allows it just as it stands."""
    model = PlanModel(workshop, with_purchases)
    values = model.values_of(plan)
    broken = broken_rows(model.model, values)
    if any(row.endswith("by the end") for row in broken):
        return broken  # some batch is poured and not packed: that is no plan to compare with
    kept = plan if with_purchases else replace(plan, purchases=())
    held = plan_of(model.variables, values.__getitem__)
    return [*broken, NOT_HELD] if _decisions(kept) - _decisions(held) else broken


def _decisions(plan: Plan) -> "Counter[object]":
    """All decisions, pack days apart: the model packs first what was poured first."""
    pours = [replace(batch, pack=None) for batch in plan.batches]
    packs = [(batch.product, batch.bars, batch.pack) for batch in plan.batches]
    return Counter([*pours, *packs, *plan.preparations, *plan.purchases, *plan.promises])
