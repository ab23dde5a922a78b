"""The state of a half-made schedule: what is free, what is in store, and what was done so far.

Every change is a task that can be undone, so that a batch can be tried together with the
preparations it needs, and taken back whole where one of them does not fit.
"""

from dataclasses import dataclass

from planner.draft.capacity import Free, Take, Workdays, capacity_of, take, workdays_of
from planner.draft.offers import Span
from planner.draft.supply import Pantry, pantry_of
from planner.workshop import Workshop

Parts = tuple[tuple[int, int], ...]
"""Rows of the pantry, each with an amount of its item."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Task:
    """Something planned: what it takes, uses, and (a lot of a preparation) what it brings.

    `uses` has a day for each of its parts. `preparation` names what a lot of a preparation is of,
    and `make` the day it is put together.
    """

    takes: tuple[Take, ...] = ()
    uses: tuple[tuple[int, Parts], ...] = ()
    preparation: str = ""
    make: int = 0
    brings: Span | None = None


class Bench:
    """Free capacity and pantry, changed by doing and undoing tasks."""

    def __init__(self, free: dict[str, Free], pantry: Pantry, workdays: Workdays) -> None:
        self.free = free
        self.pantry = pantry
        self.workdays = workdays
        self.lots: dict[str, list[Task]] = {}
        self._journal: list[tuple[Task, int]] = []

    def copy(self) -> "Bench":
        """A bench in the same state that changes by itself; what was done cannot be undone."""
        free = {resource: amounts.copy() for resource, amounts in self.free.items()}
        twin = Bench(free, self.pantry.copy(), self.workdays)
        twin.lots = {preparation: list(lots) for preparation, lots in self.lots.items()}
        return twin

    def do(self, task: Task) -> None:
        """Carry a task out."""
        self._apply(task, 1)
        self._journal.append((task, 1))

    def undo(self, task: Task) -> None:
        """Take a task back, whenever it was done."""
        self._apply(task, -1)
        self._journal.append((task, -1))

    def mark(self) -> int:
        """A point to which `roll_back` can return."""
        return len(self._journal)

    def roll_back(self, mark: int) -> None:
        """Reverse everything done and undone since the mark."""
        while len(self._journal) > mark:
            task, sign = self._journal.pop()
            self._apply(task, -sign)

    def _apply(self, task: Task, sign: int) -> None:
        take(self.free, task.takes, sign)
        for day, parts in task.uses:
            for row, amount in parts:
                self.pantry.use(row, day, sign * amount)
        if task.brings is not None:
            self._bring(task, task.brings, sign)

    def _bring(self, task: Task, brings: Span, sign: int) -> None:
        row = self.pantry.index[task.preparation]
        lots = self.lots.setdefault(task.preparation, [])
        if sign > 0:
            self.pantry.add(row, brings)
            lots.append(task)
        else:
            self.pantry.remove(row, brings)
            lots.remove(task)


def empty_bench(workshop: Workshop) -> Bench:
    """The workshop before anything is planned."""
    return Bench(capacity_of(workshop), pantry_of(workshop), workdays_of(workshop))
