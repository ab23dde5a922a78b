"""The types of cells: enumerations, bounded numbers, dates and codes.

Bounds that look arbitrary (amounts below a thousand million, counts up to a million, the years
2000 to 2199) keep slips of the keyboard out and later sums within 64 bits.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Annotated

from annotated_types import Ge, Gt, Le, Lt, MaxLen

from planner.tables.columns import Kind

LARGEST = 1_000_000_000
LARGEST_COUNT = 1_000_000
MINUTES_OF_A_DAY = 1440
FIRST_DATE = date(2000, 1, 1)
LAST_DATE = date(2199, 12, 31)


class Weekday(StrEnum):
    """The days of the week, Monday first as in ISO 8601."""

    MONDAY = "monday"
    TUESDAY = "tuesday"
    WEDNESDAY = "wednesday"
    THURSDAY = "thursday"
    FRIDAY = "friday"
    SATURDAY = "saturday"
    SUNDAY = "sunday"

    @property
    def number(self) -> int:
        """0 for Monday ... 6 for Sunday, as `datetime.date.weekday` counts."""
        return tuple(Weekday).index(self)


class MaterialKind(StrEnum):
    """What a material is for."""

    INGREDIENT = "ingredient"
    PACKAGING = "packaging"
    CONSUMABLE = "consumable"


class LeadCounts(StrEnum):
    """The days that a supplier's lead time counts."""

    CALENDAR = "calendar"
    WORKING = "working"


class StockStatus(StrEnum):
    """Whether a lot can be used."""

    FREE = "free"
    QUARANTINE = "quarantine"
    BLOCKED = "blocked"


class OrderStatus(StrEnum):
    """Whether the supplier has confirmed an open order."""

    CONFIRMED = "confirmed"
    UNCONFIRMED = "unconfirmed"


class Per(StrEnum):
    """The time to which a retail quantity belongs."""

    WEEK = "week"


class Every(StrEnum):
    """How often a cash row comes again."""

    WEEK = "week"
    MONTH = "month"


class CashKind(StrEnum):
    """What a cash row is."""

    BALANCE = "balance"
    INCOME = "income"
    COST = "cost"


@dataclass(frozen=True, order=True)
class YearlyDay:
    """A day of every year, written --MM-DD."""

    month: int
    day: int

    def __str__(self) -> str:
        return f"--{self.month:02d}-{self.day:02d}"


Name = Annotated[str, Kind.NAME, MaxLen(80)]
Text = Annotated[str, MaxLen(2000)]
UnitName = Annotated[str, Kind.UNIT]
Currency = Annotated[str, Kind.CURRENCY]
Country = Annotated[str, Kind.COUNTRY]
Subdivision = Annotated[str, Kind.SUBDIVISION]
Month = Annotated[str, Kind.MONTH]

Day = Annotated[date, Ge(FIRST_DATE), Le(LAST_DATE)]
SeasonDay = Annotated[Day | YearlyDay, Kind.YEARLY_DATE]

Whole = Annotated[int, Ge(-LARGEST_COUNT), Le(LARGEST_COUNT)]
Count = Annotated[int, Ge(0), Le(LARGEST_COUNT)]
PositiveCount = Annotated[int, Ge(1), Le(LARGEST_COUNT)]
Days = Annotated[int, Ge(0), Le(3650)]
PositiveDays = Annotated[int, Ge(1), Le(3650)]
Minutes = Annotated[int, Ge(0), Le(MINUTES_OF_A_DAY)]

Money = Annotated[Decimal, Ge(0), Lt(LARGEST)]
SignedMoney = Annotated[Decimal, Gt(-LARGEST), Lt(LARGEST)]
Quantity = Annotated[Decimal, Ge(0), Lt(LARGEST)]
PositiveQuantity = Annotated[Decimal, Gt(0), Lt(LARGEST)]
Percent = Annotated[Decimal, Ge(0), Le(100)]
"""A share in hundredths; 100 means all."""
PartPercent = Annotated[Decimal, Gt(0), Le(100)]
LossPercent = Annotated[Decimal, Ge(0), Lt(100)]
Weight = Annotated[Decimal, Ge(0), Le(1_000_000)]
