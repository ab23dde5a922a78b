"""Everything that is short under a plan: demand in table order, then materials and preparations."""

from planner.account import Account
from planner.causes.demand import DemandShortfalls
from planner.causes.items import item_shortfalls
from planner.causes.records import Shortfall
from planner.plan import Plan
from planner.workshop import Workshop


def shortfalls(workshop: Workshop, plan: Plan, account: Account) -> tuple[Shortfall, ...]:
    """All that is late, lost or below its wish under a plan, each with its cause.

    `account` is the plan's replay. A row whose losses fall into separate stretches of days, or
    have causes of different kinds, has several shortfalls.
    """
    demand = DemandShortfalls(workshop, account)
    return (*demand.found(), *item_shortfalls(workshop, account, demand.stocks))
