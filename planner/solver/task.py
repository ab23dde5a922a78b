"""What a stage is asked, and what comes back from looking for it."""

from dataclasses import dataclass, replace

from planner.solver.linear import Linear
from planner.solver.model import PlanModel

SLOWEST = 4.0
"""Seconds that a unit of work takes on a slow machine."""


@dataclass(frozen=True, kw_only=True)
class Limits:
    """Bounds on the work of one stage; see planner.settings.Settings."""

    work: float
    seconds: float
    seed: int
    workers: int

    def of_step(self, share: float, after: float, left: float) -> "Limits":
        """Those of a step with a share of the work, when so many seconds are left.

        It may take all of them but those of the steps after it, which have a share of the work too:
        they need their share of the seconds at the most, and no more than that work takes. So it is
        the work that ends a step, and what comes of it repeats, wherever there is time enough.
        """
        spared = min(left * after / (share + after), SLOWEST * after * self.work)
        return replace(self, work=share * self.work, seconds=left - spared)


@dataclass(frozen=True, kw_only=True)
class Task:
    """A goal to minimise over a model, from values of all variables on, within limits.

    What is found may be judged by more than the goal: near a kept plan by what has moved, too.
    Bounds are always the goal's.
    """

    stage: str
    model: PlanModel
    goal: Linear
    hint: dict[int, int]
    limits: Limits
    judged_by: Linear | None = None

    @property
    def measure(self) -> Linear:
        """What the found are judged by: the goal, unless something else was said."""
        return self.goal if self.judged_by is None else self.judged_by


@dataclass(frozen=True)
class Found:
    """The best assignment found, and the bound that none can be below; None if none is known."""

    values: dict[int, int]
    bound: int | None


def better_of(goal: Linear, first: Found, second: Found) -> Found:
    """The assignment with less of the goal, the first if equal, and the higher bound."""
    values = min(first.values, second.values, key=goal.value)
    bounds = [bound for bound in (first.bound, second.bound) if bound is not None]
    return Found(values, max(bounds, default=None))
