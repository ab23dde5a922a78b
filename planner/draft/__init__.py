"""The list scheduler: a quick rule of thumb that gives a complete, rule-keeping plan by itself.

draft          workshop -> plan
purchases_for  workshop, batches and lots of preparations -> the purchases that they need
"""

from planner.draft.buying import purchases_for
from planner.draft.draft import draft

__all__ = ["draft", "purchases_for"]
