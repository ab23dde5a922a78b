"""What a plan changes against a stored one, and the frozen days, in which that is least."""

from collections import Counter
from collections.abc import Iterator

from ortools.sat.python import cp_model

from planner.plan import Plan
from planner.solver.exchange import rises_of
from planner.solver.linear import Linear, LinearModel, Staircase
from planner.solver.variables import Variables


def add_changes(model: LinearModel, variables: Variables, stored: Plan, end: int) -> Linear:
    """Batches, lots and packs before day `end` that are not where the stored plan has them.

    What is moved counts twice: it is missing on one day and new on another. What the stored plan
    does on a day on which it can no longer be done is missing in every plan and not counted.
    """
    changes = Linear()
    for staircase, rises in rises_of(variables, stored):
        _add_staircase(model, changes, staircase, rises, end)
    return changes


def _add_staircase(
    model: LinearModel, changes: Linear, staircase: Staircase, rises: Counter[int], end: int
) -> None:
    """(stored - kept) + (planned - kept), kept on a day <= what rises and what was stored there."""
    changes.step(staircase, end - 1, 1)
    for kept, count in _kept(model, staircase, rises, end):
        changes.plus(kept, -2)
        changes.constant += count


def add_moved(model: LinearModel, variables: Variables, stored: Plan) -> Linear:
    """Batches that the stored plan pours on a day, and this one does not on that day."""
    moved = Linear()
    poured = {staircase.name for staircase in variables.poured.values()}
    for staircase, rises in rises_of(variables, stored):
        if staircase.name in poured:
            for kept, count in _kept(model, staircase, rises, variables.workshop.days):
                moved.plus(kept, -1)
                moved.constant += count
    return moved


def _kept(
    model: LinearModel, staircase: Staircase, rises: Counter[int], end: int
) -> Iterator[tuple[cp_model.IntVar, int]]:
    """How much of what rises on a day before `end` still does, at most; and how much it was."""
    for day in staircase.days:
        count = rises.get(day, 0)
        if not count or day >= end:
            continue
        rise = Linear().rise(staircase, day, 1)
        kept = model.variable(
            f"kept {staircase.name}[{day}]",
            count,
            lambda values, rise=rise, count=count: min(count, rise.value(values)),  # type: ignore[misc]
        )
        model.at_most(Linear().plus(kept, 1).add(rise, -1), 0, f"kept {staircase.name}")
        yield kept, count


def outweighing(goal: Linear) -> int:
    """A weight large enough that no difference in a sum outweighs one unit of what it weighs."""
    return 1 + sum(
        abs(coefficient) * _upper(variable)
        for variable, coefficient in zip(goal.variables, goal.coefficients, strict=True)
    )


def _upper(variable: object) -> int:
    # A domain counts its elements from the front only: a negative index gives the first one.
    return int(list(variable.proto.domain)[-1])  # type: ignore[attr-defined]


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
