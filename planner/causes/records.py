"""A shortfall and its cause."""

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple


class Cause(StrEnum):
    """What holds a batch up.

    material     it is there, but other batches use it; or nobody sells it
    lead time    it cannot come, or be ready, in time though ordered or made today
    budget       it could be bought in time, but the month's budget does not allow it
    cure         set and cure from today end too late already
    daily limit  no more batches of this product can be poured in a day
    several together  no one of these alone: more of each of them is needed
    launch       nothing of the product is sold before its launch
    better plan possible  nothing stands in the way: the search has not found the better plan
    unknown      none of these
    """

    MATERIAL = "material"
    TRAYS = "trays"
    MOULDS = "moulds"
    HANDS = "hands"
    VESSEL = "vessel"
    PLACE = "place"
    LEAD_TIME = "lead time"
    BUDGET = "budget"
    CURE = "cure"
    DAILY_LIMIT = "daily limit"
    SEVERAL = "several together"
    LAUNCH = "launch"
    BETTER_PLAN = "better plan possible"
    UNKNOWN = "unknown"


@dataclass(frozen=True, kw_only=True)
class Shortfall:
    """Part of a demand that is late or lost, or an item that runs short, with the cause.

    demand    the row's id; empty for an item's shortfall
    product   the product asked for; empty for an item's shortfall
    item      the material or preparation that runs short; empty for a demand's shortfall
    first_day, last_day  the days on which it is short, late or lost (day numbers, inclusive)
    quantity  bars late or lost; for a restock row the most bars missing on a day; for an item the
              most that is missing on a day, in its smallest unit
    unit      "bars", or the item's base unit
    detail    the cause as a sentence, with names, numbers and units
    """

    demand: str = ""
    product: str = ""
    item: str = ""
    first_day: int
    last_day: int
    quantity: int
    unit: str
    cause: Cause
    detail: str


class Block(NamedTuple):
    """One thing that stands in the way, and what it takes: words that follow "it needs"."""

    cause: Cause
    need: str


class Verdict(NamedTuple):
    """The cause of a shortfall, and the sentence that explains it."""

    cause: Cause
    sentence: str
