"""An independent day-by-day execution of a plan, which finds every broken rule.

It shares no arithmetic with the list scheduler or the solver's model, so that neither can hide a
fault from it.

replay             workshop and plan -> the full account of what happens
earliest_promises  the promise days that the plan's bars allow, as early as they can be
"""

from planner.replay.promising import earliest_promises
from planner.replay.replay import replay

__all__ = ["earliest_promises", "replay"]
