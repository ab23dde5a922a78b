"""The list scheduler: a quick rule of thumb that gives a complete, rule-keeping plan by itself.

draft          workshop -> plan
ListScheduler  the same step by step, and better plans the longer it works
resumed        the same, near a kept plan whose frozen days stand
REBUILDS       how often parts are placed anew for a first plan
purchases_for  workshop, batches and lots of preparations -> the purchases that they need
"""

from planner.draft.buying import purchases_for
from planner.draft.draft import REBUILDS, ListScheduler, draft, resumed

__all__ = ["REBUILDS", "ListScheduler", "draft", "purchases_for", "resumed"]
