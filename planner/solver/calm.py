"""The calm goal: few changes against the stored plan, then early days."""

from collections import Counter

from planner.plan import Plan
from planner.solver.exchange import rises_of
from planner.solver.linear import Linear, LinearModel, Staircase
from planner.solver.variables import Variables


def add_calm(model: LinearModel, variables: Variables, stored: Plan | None) -> Linear:
    """changes x weight + days: a batch, lot or order line not where it was is one change.

    The weight is large enough that no sum of days outweighs one change.
    """
    days = _day_sum(variables)
    if stored is None:
        return days
    changes = Linear()
    for staircase, rises in rises_of(variables, stored):
        _add_changes(model, changes, staircase, rises)
    weight = 1 + sum(
        abs(coefficient) * _upper(variable)
        for variable, coefficient in zip(days.variables, days.coefficients, strict=True)
    )
    return days.add(changes, weight)


def _upper(variable: object) -> int:
    # A domain counts its elements from the front only: a negative index gives the first one.
    return int(list(variable.proto.domain)[-1])  # type: ignore[attr-defined]


def _staircases(variables: Variables) -> list[Staircase]:
    return [
        *variables.poured.values(),
        *variables.packed.values(),
        *variables.made.values(),
        *variables.bought.values(),
    ]


def _day_sum(variables: Variables) -> Linear:
    """Sum of the days on which batches are poured and packed, preparations made, packs ordered.

    A batch under way that stays on its trays counts as packed on the day after the plan.
    """
    total, days = Linear(), variables.workshop.days
    for staircase in _staircases(variables):
        total.plus(staircase.last, days)
    for finished in variables.finished.values():
        total.constant += days if finished.steps else 0
    for staircase in [*_staircases(variables), *variables.finished.values()]:
        ends = [*staircase.days[1:], days]
        for day, end, step in zip(staircase.days, ends, staircase.steps, strict=True):
            total.plus(step, day - end)
    return total


def _add_changes(
    model: LinearModel, changes: Linear, staircase: Staircase, rises: Counter[int]
) -> None:
    """(stored - kept) + (planned - kept), kept on a day <= what rises and what was stored there."""
    changes.plus(staircase.last, 1)
    for day in staircase.days:
        count = rises.get(day, 0)
        if not count:
            continue
        rise = Linear().rise(staircase, day, 1)
        kept = model.variable(
            f"kept {staircase.name}[{day}]",
            count,
            lambda values, rise=rise, count=count: min(count, rise.value(values)),  # type: ignore[misc]
        )
        model.at_most(Linear().plus(kept, 1).add(rise, -1), 0, f"kept {staircase.name}")
        changes.plus(kept, -2)
        changes.constant += count


def add_frozen(model: LinearModel, variables: Variables, stored: Plan) -> None:
    """In the frozen days the plan does exactly what the stored plan does."""
    frozen = variables.workshop.costs.frozen_days
    for staircase, rises in rises_of(variables, stored):
        for day in staircase.days:
            if day >= frozen:
                break
            rise = Linear().rise(staircase, day, 1)
            if rise.variables:
                count = rises.get(day, 0)
                model.at_most(rise, count, f"frozen {staircase.name}")
                model.at_least(Linear().add(rise), count, f"frozen {staircase.name}")
