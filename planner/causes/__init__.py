"""Why a demand is short, late or lost: what held up the one batch more that would have helped.

Every working day on which such a batch could have been poured in time is tried against all the
rest of the plan, as its account shows it. The resource that alone stands in the way on most of
those days is the cause: with a little more of it, and nothing else, the batch would have fitted.
"""

from planner.causes.records import Cause, Shortfall
from planner.causes.shortfalls import shortfalls
from planner.causes.unpacked import Unpacked, first_pack_day, unpacked

__all__ = ["Cause", "Shortfall", "Unpacked", "first_pack_day", "shortfalls", "unpacked"]
