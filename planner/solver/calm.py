"""The calm goal: few changes against the stored plan, then early days."""

from planner.plan import Plan
from planner.solver.changes import add_changes, outweighing
from planner.solver.linear import Linear, LinearModel, Staircase
from planner.solver.variables import Variables


def add_calm(model: LinearModel, variables: Variables, stored: Plan | None) -> Linear:
    """changes x weight + days: a batch, lot or order line not where it was is one change."""
    days = _day_sum(variables)
    if stored is None:
        return days
    changes = add_changes(model, variables, stored, variables.workshop.days)
    return days.add(changes, outweighing(days))


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
