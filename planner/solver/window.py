"""A window of days: what of a program is free in it, while all around it stays as it is."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from planner.solver.linear import Staircase
from planner.solver.matrix import Flags, Ints, Program
from planner.solver.tying import FIXED, Tied
from planner.solver.variables import Variables

LATER = 6
"""Days by which a batch of the window may be packed later than it is cured."""

EARLIER = 6
"""Days by which a preparation for it may be made earlier than it has to be."""


@dataclass(frozen=True, kw_only=True)
class Window:
    """Days first .. end - 1."""

    first: int
    end: int

    @property
    def days(self) -> int:
        """How many, those outside of the plan too."""
        return self.end - self.first

    def wider(self, before: int = 0, after: int = 0) -> "Window":
        """With so many days before and after it."""
        return Window(first=self.first - before, end=self.end + after)

    def distance(self, other: "Window") -> int:
        """Days between the two; below zero where they overlap."""
        return max(self.first - other.end, other.first - self.end)


def tied_outside(
    variables: Variables, program: Program, values: Mapping[int, int], window: Window
) -> Tied:
    """A program in which only a window's batches are free, and what is made for them.

    Counts before it are fixed. After it they move along with the window's last count: what rises
    there is as it was.
    """
    workshop = variables.workshop
    leaders, offsets = np.arange(program.columns), np.zeros(program.columns, np.int64)
    for key, poured in variables.poured.items():
        product = workshop.products[key[0]]
        packing = window.wider(after=product.set_days + product.cure_days + LATER)
        _tie(poured, values, window, leaders, offsets)
        _tie(variables.packed[key], values, packing, leaders, offsets)
    for name, made in variables.made.items():
        making = window.wider(before=workshop.preparations[name].ready_days + EARLIER)
        _tie(made, values, making, leaders, offsets)
    return Tied(whole=program, leaders=leaders, offsets=offsets)


def _tie(
    staircase: Staircase,
    values: Mapping[int, int],
    window: Window,
    leaders: Ints,
    offsets: Ints,
) -> None:
    """Tie the steps of a staircase that are outside of a window."""
    leader, height = FIXED, 0
    for day, step in zip(staircase.days, staircase.steps, strict=True):
        if window.first <= day < window.end:
            leader, height = step.index, values[step.index]
        else:
            leaders[step.index] = leader
            offsets[step.index] = values[step.index] - height


def counted(variables: Variables, program: Program) -> Flags:
    """The columns of a program that count batches and lots up to a day."""
    marked = np.zeros(program.columns, np.bool_)
    for count in (*variables.poured.values(), *variables.packed.values(), *variables.made.values()):
        marked[[step.index for step in count.steps]] = True
    return marked
