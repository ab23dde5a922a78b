"""The calm goal: few changes against the stored plan, then early days."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from ortools.sat.python import cp_model

from planner.plan import Plan, Stage
from planner.settings import Progress, ProgressNote
from planner.solver.changes import add_changes, outweighing
from planner.solver.linear import Linear, LinearModel, Staircase
from planner.solver.variables import Variables


@dataclass(frozen=True, kw_only=True)
class Calm:
    """The goal, and the changes in it, None without a stored plan; each has so much weight."""

    goal: Linear
    changes: Linear | None
    weight: int = 1

    def counted(self, progress: Progress | None) -> Progress:
        """Tells the changes alone: days are less than one. Without them only that it goes on."""

        def changes(value: int | None) -> int | None:
            return None if value is None or self.changes is None else value // self.weight

        def tell(note: ProgressNote) -> None:
            if progress is not None:
                progress(replace(note, value=changes(note.value), bound=changes(note.bound)))

        return tell

    def counted_in(self, stage: Stage) -> Stage:
        """The stage with its changes, and how many there are at the least; as it is without any."""
        if self.changes is None:
            return stage
        changes, least = stage.value // self.weight, stage.bound // self.weight
        return replace(stage, changes=changes, least_changes=least)

    def changes_at(self, weight: int) -> Linear:
        """The changes alone, each with another weight."""
        return Linear() if self.changes is None else Linear().add(self.changes, weight)

    def bound_at(self, values: dict[int, int], variables: Variables) -> int | None:
        """A bound of the goal from an assignment that changes nothing; None from any other.

        A plan with a change comes to more, whatever its days. One without has the same days but
        for the batches under way, whose packing is no change.
        """
        if self.changes is None or self.changes.value(values):
            return None
        sooner = sum(
            (1 - values[step.index]) * (end - day)
            for finished in variables.finished.values()
            for day, end, step in _lasting(finished, variables.workshop.days)
        )
        return self.goal.value(values) - sooner


def add_calm(model: LinearModel, variables: Variables, stored: Plan | None) -> Calm:
    """changes x weight + days: a batch, lot or order line not where it was is one change."""
    days = _day_sum(variables)
    if stored is None:
        return Calm(goal=days, changes=None)
    changes = add_changes(model, variables, stored, variables.workshop.days)
    weight = outweighing(days)
    return Calm(goal=days.add(changes, weight), changes=changes, weight=weight)


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
        for day, end, step in _lasting(staircase, days):
            total.plus(step, day - end)
    return total


def _lasting(staircase: Staircase, days: int) -> Iterator[tuple[int, int, cp_model.IntVar]]:
    """Each step with the day from which, and the day until which, it is in force."""
    ends = [*staircase.days[1:], days]
    return zip(staircase.days, ends, staircase.steps, strict=True)
