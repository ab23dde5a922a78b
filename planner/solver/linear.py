"""Sums of variables that can be added to, posted as rows, and evaluated for a hint."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import accumulate, pairwise
from math import floor, gcd

from ortools.sat.python import cp_model


@dataclass
class Staircase:
    """A cumulative count that can rise on `days` only: `steps[i]` is its value from days[i] on.

    Before the first of its days it is 0. `index[t]` is the step in force on day t, -1 before it.
    """

    name: str
    days: tuple[int, ...]
    steps: tuple[cp_model.IntVar, ...]
    index: list[int]

    def at(self, day: int) -> cp_model.IntVar | None:
        """The variable in force on `day`, None where the count is still 0."""
        if day < 0 or not self.steps:
            return None
        step = self.index[min(day, len(self.index) - 1)]
        return None if step < 0 else self.steps[step]

    @property
    def last(self) -> cp_model.IntVar | None:
        """The count at the end of the plan; None if it can never rise."""
        return self.steps[-1] if self.steps else None


@dataclass
class Linear:
    """constant + sum of coefficient x variable."""

    constant: int = 0
    variables: list[cp_model.IntVar] = field(default_factory=list)
    coefficients: list[int] = field(default_factory=list)

    def plus(self, variable: cp_model.IntVar | None, coefficient: int) -> "Linear":
        """Add coefficient x variable; None stands for 0."""
        if variable is not None and coefficient:
            self.variables.append(variable)
            self.coefficients.append(coefficient)
        return self

    def step(self, staircase: Staircase, day: int, coefficient: int) -> "Linear":
        """Add coefficient x the staircase's count on `day`."""
        return self.plus(staircase.at(day), coefficient)

    def rise(self, staircase: Staircase, day: int, coefficient: int) -> "Linear":
        """Add coefficient x what the staircase rises by on `day`."""
        now, before = staircase.at(day), staircase.at(day - 1)
        if now is None or now is before:
            return self
        return self.plus(now, coefficient).plus(before, -coefficient)

    def add(self, other: "Linear", factor: int = 1) -> "Linear":
        """Add factor x another sum."""
        self.constant += factor * other.constant
        self.variables += other.variables
        self.coefficients += [factor * c for c in other.coefficients]
        return self

    def at_rate(self, rate: Fraction) -> "Linear":
        """Rate x the sum, each coefficient rounded down: no more, as variables are not negative."""
        found = {variable.index: variable for variable in self.variables}
        sums = dict.fromkeys(found, 0)
        for variable, coefficient in zip(self.variables, self.coefficients, strict=True):
            sums[variable.index] += coefficient
        scaled = Linear(floor(rate * self.constant))
        for index, coefficient in sums.items():
            scaled.plus(found[index], floor(rate * coefficient))
        return scaled

    @property
    def unit(self) -> int:
        """The greatest whole number of which every coefficient is a multiple; 1 without any."""
        return gcd(*self.coefficients) or 1

    def expression(self) -> cp_model.LinearExprT:
        """The sum as OR-Tools wants it."""
        return cp_model.LinearExpr.weighted_sum(self.variables, self.coefficients) + self.constant

    def value(self, values: Mapping[int, int]) -> int:
        """The sum under an assignment of variable index -> value."""
        total = self.constant
        for variable, coefficient in zip(self.variables, self.coefficients, strict=True):
            total += coefficient * values[variable.index]
        return total


@dataclass(frozen=True, kw_only=True)
class Knapsack:
    """Whole counts that share a day's capacity: the sum of size x count is at most the capacity.

    `counts` holds each size once, with how many there are of it.
    """

    counts: Mapping[int, Linear]
    capacity: int
    day: int


@dataclass(frozen=True, kw_only=True)
class Cover:
    """How whole counts cover what is asked for up to a day.

    missing + the sum of size x count >= amount - the sum of quantity x (1 - flag), with flags that
    are 0 or 1. `counts` holds each size once, with how many there are of it.
    """

    counts: Mapping[int, Linear]
    amount: int
    flags: Sequence[tuple[cp_model.IntVar, int]] = ()


@dataclass(frozen=True, kw_only=True)
class Mixing:
    """Covers that share what is missing, a whole number that is never below 0: a mixing set."""

    missing: Linear
    covers: Sequence[Cover]


Derive = Callable[[dict[int, int]], Sequence[int]]
"""From the values so far, by variable index, to those of some derived variables."""


class LinearModel:
    """A CP-SAT model that remembers how each variable's hint follows from the variables before it.

    Every variable is either a decision, hinted from a plan, or derived: made together with a
    function from the values so far to its own value.
    """

    def __init__(self, days: int) -> None:
        self.days = days
        self.proto = cp_model.CpModel()
        self.derived: list[tuple[tuple[cp_model.IntVar, ...], Derive]] = []
        self.shared_rows: list[int] = []
        self.staircases: list[Staircase] = []
        self.knapsacks: list[Knapsack] = []
        self.mixings: list[Mixing] = []
        self._is_shared = False

    @property
    def size(self) -> int:
        """Number of variables and rows."""
        return len(self.proto.proto.variables) + len(self.proto.proto.constraints)

    @contextmanager
    def shared(self) -> Iterator[None]:
        """Rows posted inside share something out between products: without them each is alone."""
        self._is_shared = True
        try:
            yield
        finally:
            self._is_shared = False

    def variable(
        self, name: str, upper: int, derive: Callable[[dict[int, int]], int]
    ) -> cp_model.IntVar:
        """A derived whole variable in 0 .. upper; `derive` computes its hint."""
        variable = self.proto.new_int_var(0, upper, name)
        self.derived.append(((variable,), lambda values: [derive(values)]))
        return variable

    def derive_staircase(self, staircase: Staircase, derive: Derive) -> None:
        """Let `derive` compute the hints of all steps of a staircase."""
        self.derived.append((staircase.steps, derive))

    def derive_running_maximum(self, staircase: Staircase, sums: Sequence[Linear]) -> None:
        """Hint step i with the largest of 0 and sums[0 .. i]."""
        self.derive_staircase(
            staircase,
            lambda values: list(accumulate((max(0, s.value(values)) for s in sums), max)),
        )

    def staircase(
        self, name: str, days: Sequence[int], uppers: Sequence[int], final: int | None = None
    ) -> Staircase:
        """A new staircase with its non-decreasing rows; uppers[i] bounds steps[i]."""
        steps = tuple(
            self.proto.new_int_var(0, upper if final is None else min(upper, final), f"{name}[{d}]")
            for d, upper in zip(days, uppers, strict=True)
        )
        for before, after in pairwise(steps):
            self.proto.add(after >= before).with_name(f"{name} rises")
        staircase = Staircase(name, tuple(days), steps, step_index(days, self.days))
        self.staircases.append(staircase)
        return staircase

    def at_most(self, linear: Linear, bound: int, name: str) -> None:
        """linear <= bound; nothing is posted where no variable takes part and the row holds."""
        if not linear.variables:
            if linear.constant > bound:
                self.proto.add_bool_or([]).with_name(f"{name}: cannot hold")
            return
        if self._is_shared:
            self.shared_rows.append(len(self.proto.proto.constraints))
        sum_ = cp_model.LinearExpr.weighted_sum(linear.variables, linear.coefficients)
        self.proto.add(sum_ <= bound - linear.constant).with_name(name)

    def knapsack(self, knapsack: Knapsack, name: str) -> None:
        """Post its row, and keep it for those who can say more about it than the row does."""
        row = Linear()
        for size, count in knapsack.counts.items():
            row.add(count, size)
        self.at_most(row, knapsack.capacity, name)
        self.knapsacks.append(knapsack)

    def at_least(self, linear: Linear, bound: int, name: str) -> None:
        """linear >= bound."""
        negative = Linear().add(linear, -1)
        self.at_most(negative, -bound, name)

    def equal(self, linear: Linear, value: int, name: str) -> None:
        """linear = value, a sum of at least one variable."""
        sum_ = cp_model.LinearExpr.weighted_sum(linear.variables, linear.coefficients)
        self.proto.add(sum_ == value - linear.constant).with_name(name)

    def least(self, linear: Linear) -> int:
        """What a sum cannot be below whatever the rows: it follows from the domains."""
        variables = self.proto.proto.variables
        ends: list[list[int]] = [list(variables[v.index].domain) for v in linear.variables]
        return linear.constant + sum(
            min(coefficient * end[0], coefficient * end[-1])
            for coefficient, end in zip(linear.coefficients, ends, strict=True)
        )

    def complete(self, values: dict[int, int]) -> dict[int, int]:
        """Add the derived variables' values to those of the decisions."""
        for variables, derive in self.derived:
            for variable, value in zip(variables, derive(values), strict=True):
                values[variable.index] = value
        return values


def step_index(days: Sequence[int], horizon: int) -> list[int]:
    """For each day 0 .. horizon-1 the position of the last of `days` on or before it; or -1."""
    index = [-1] * horizon
    position = -1
    for day in range(horizon):
        while position + 1 < len(days) and days[position + 1] <= day:
            position += 1
        index[day] = position
    return index
