"""How dates, amounts, money and counts are written for a person to read.

Every number carries its unit and every date its weekday. Amounts come in the smallest unit of
their item (thousandths of g or ml, pieces), money in minor units, days as day numbers.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from math import floor

from planner.days import date_of, weekday_of
from planner.wording import date_words
from planner.workshop import Unit

THOUSAND = Decimal(1000)
LARGE_UNIT = {Unit.GRAM: "kg", Unit.MILLILITRE: "l"}
DAYS_OF_WEEK = 7


def rounded(number: Decimal, digits: int) -> str:
    """The number with so many decimals, half rounded up, and commas between thousands."""
    return f"{number.quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP):,f}"


def amount_text(amount: int, unit: Unit) -> str:
    """An amount with a unit and as many digits as a scale in the workshop can show.

    Up to 10 g in tenths, up to 1 kg in whole grams, then in kg with two decimals (from 100 kg
    on with one); millilitres and litres alike. Pieces are whole.
    """
    if unit is Unit.PIECE:
        return f"{amount:,} {unit}"
    base = Decimal(amount) / THOUSAND
    if base == 0:
        return f"0 {unit}"
    if abs(base) < 10:
        return f"{rounded(base, 1)} {unit}"
    if abs(base) < 1000 and rounded(abs(base), 0) != "1,000":
        return f"{rounded(base, 0)} {unit}"
    large = base / THOUSAND
    return f"{rounded(large, 2 if abs(large) < 100 else 1)} {LARGE_UNIT[unit]}"


def weighed_text(amount: int, unit: Unit) -> str:
    """An amount as it is weighed out: in tenths up to 100 g or ml, then in whole ones."""
    if unit is Unit.PIECE:
        return f"{amount:,} {unit}"
    base = Decimal(amount) / THOUSAND
    return f"{rounded(base, 1 if base < 100 else 0)} {unit}"


def count_text(count: int, one: str, many: str = "") -> str:
    """A whole number with its noun: "1 batch", "2 batches"."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"


def percent_text(share: Fraction | None) -> str:
    """A share as whole percent; "-" where there is nothing to take a share of.

    Rounded to the nearest, but 100 % means all of it and 0 % none.
    """
    if share is None:
        return "-"
    percent = floor(share * 100 + Fraction(1, 2))
    if 0 < share < 1:
        percent = min(99, max(1, percent))
    return f"{percent} %"


def list_text(items: Iterable[str], most: int | None = None) -> str:
    """Items with commas between them; beyond `most` their number only."""
    known = list(items)
    if most is None or len(known) <= most:
        return ", ".join(known)
    return f"{', '.join(known[:most])} and {len(known) - most} more"


def days_text(days: int) -> str:
    """A number of days, from two weeks on in weeks: "13 days", "3.0 weeks"."""
    if days < 2 * DAYS_OF_WEEK:
        return count_text(days, "day")
    return f"{rounded(Decimal(days) / DAYS_OF_WEEK, 1)} weeks"


@dataclass(frozen=True, kw_only=True)
class Currency:
    """Writes money: `code` as in ISO 4217, `digits` of its minor unit."""

    code: str
    digits: int = 2

    def exact(self, minor: int) -> str:
        """Minor units as a decimal string without a currency, as the JSON reports carry it."""
        return f"{Decimal(minor).scaleb(-self.digits):f}"

    def exact_thousandths(self, thousandths: int) -> str:
        """Thousandths of a minor unit as an exact decimal string, at least to the minor unit."""
        whole, rest = divmod(thousandths, 1000)
        if rest == 0:
            return self.exact(whole)
        return f"{Decimal(thousandths).scaleb(-self.digits - 3):f}".rstrip("0")

    def text(self, minor: int) -> str:
        """Minor units with the currency: "EUR 1,230.00"."""
        return f"{self.code} {Decimal(minor).scaleb(-self.digits):,f}"

    def text_thousandths(self, thousandths: int) -> str:
        """Thousandths of a minor unit, rounded half up to the minor unit, with the currency."""
        minor = Decimal(thousandths) / THOUSAND
        return self.text(int(minor.to_integral_value(ROUND_HALF_UP)))


@dataclass(frozen=True, kw_only=True)
class Dates:
    """Writes day numbers as dates; `first` is day 0."""

    first: date

    def on(self, day: int) -> date:
        """The calendar date of a day number."""
        return date_of(self.first, day)

    def iso(self, day: int | None) -> str | None:
        """The date as ISO 8601, None for none."""
        return None if day is None else self.on(day).isoformat()

    def text(self, day: int) -> str:
        """The date with its weekday, and its year where it is not the year of day 0."""
        return self.written(self.on(day))

    def full(self, day: int) -> str:
        """The date with weekday and year, whichever year it is."""
        return date_words(self.on(day))

    def written(self, on: date) -> str:
        """As `text`, for a date."""
        return date_words(on, self.first.year)

    def between(self, first: int, last: int) -> str:
        """From one day to another; one date where both are the same day."""
        if first == last:
            return self.text(first)
        return f"{self.text(first)} to {self.text(last)}"

    def spans(self, days: Iterable[int]) -> list[str]:
        """Days in ascending order, those that follow one another written as one span."""
        runs: list[list[int]] = []
        for day in days:
            if runs and day == runs[-1][1] + 1:
                runs[-1][1] = day
            else:
                runs.append([day, day])
        return [self.between(first, last) for first, last in runs]

    def week_start(self, day: int) -> int:
        """The day number of the Monday on or before a day; may be negative."""
        return day - weekday_of(self.first, day)

    def week(self, day: int) -> str:
        """The week of a day as ISO 8601 counts it: "week 36"."""
        return f"week {self.on(day).isocalendar().week}"
