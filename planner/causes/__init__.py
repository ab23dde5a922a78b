"""Why a demand is short, late or lost: what held up the batches more that would have helped.

Every working day on which such a batch could have been poured in time is tried against all the
rest of the plan, as its account shows it, and batches that fit are poured one after the other.
What then still stands in the way is lifted, one thing at a time: the cause is the one with more of
which, and of nothing else, most of the missing bars could be made.
"""

from planner.causes.records import Cause, Shortfall
from planner.causes.shortfalls import shortfalls
from planner.causes.unpacked import Unpacked, first_pack_day, unpacked

__all__ = ["Cause", "Shortfall", "Unpacked", "first_pack_day", "shortfalls", "unpacked"]
