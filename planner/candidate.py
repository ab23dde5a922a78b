"""A plan that may be chosen, which of two is better, and what its stages have come to."""

from dataclasses import dataclass, replace

from planner.account import Account
from planner.plan import Plan, Stage, Status

WORTH = 50
"""A plan that still holds is given up only for one that gains one part in so many of a goal."""


@dataclass(frozen=True)
class Candidate:
    """A plan with its account; the better of two changes less that is frozen, loses less, ..."""

    plan: Plan
    account: Account
    changes: int = 0

    @property
    def rank(self) -> tuple[int, int, int]:
        """Changes in the frozen days, then what the goals say, the first goal first."""
        return (self.changes, self.account.money.service, self.account.money.money)


def pays(new: Candidate, old: Candidate) -> bool:
    """True if a new plan gains enough to give the old one up."""
    if new.changes != old.changes:
        return new.rank < old.rank
    goals = zip(new.rank[1:], old.rank[1:], strict=True)
    after, before = next((pair for pair in goals if pair[0] != pair[1]), (0, 0))
    return (before - after) * WORTH > abs(before)


def reached(stage: Stage, account: Account) -> Stage:
    """A stage with what the final plan comes to in its goal: later stages may have moved it.

    They may lose less than the stage itself found, and the calm stage may cost a little more. The
    calm goal is no money and keeps its value.
    """
    values = {"service": account.money.service, "money": account.money.money}
    return noted(stage, values.get(stage.goal, stage.value))


def noted(stage: Stage, value: int) -> Stage:
    """A stage with another value, and a bound that is not above it; optimal where equal."""
    bound = min(stage.bound, value)
    status = Status.OPTIMAL if bound == value else Status.FEASIBLE
    return replace(stage, value=value, bound=bound, status=status)
