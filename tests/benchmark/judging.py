"""A plan as every method is judged: its promises as early as can be, carried out by the replay."""

from dataclasses import dataclass, replace

from planner.account import Account
from planner.plan import Plan
from planner.replay import earliest_promises, replay
from planner.workshop import Workshop


@dataclass(frozen=True, kw_only=True)
class Judged:
    """A plan and its account; the better of two loses less, then costs less."""

    plan: Plan
    account: Account

    @property
    def rank(self) -> tuple[int, int]:
        """Service loss, then the money goal, in thousandths of a minor unit."""
        return (self.account.money.service, self.account.money.money)


def judged(workshop: Workshop, plan: Plan) -> Judged:
    """The plan with its promises settled, and what the replay finds it to come to."""
    settled = replace(plan, promises=earliest_promises(workshop, plan))
    return Judged(plan=settled, account=replay(workshop, settled))


def certified(workshop: Workshop, plan: Plan, maker: str) -> Judged:
    """The same for a plan that must keep every rule. Raises ValueError where it breaks one."""
    found = judged(workshop, plan)
    if not found.account.certified:
        raise ValueError(f"the plan of {maker} breaks a rule: {found.account.broken[0]}")
    return found
