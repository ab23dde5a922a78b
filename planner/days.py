"""The one border between dates and day numbers, and all counting of days.

Day 0 is the plan's first day; the past is negative. Outside this file the planner knows day
numbers only; dates come in from the tables and go out to the reports through these functions.
"""

from bisect import bisect_left
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache

import pendulum

from planner.tables.values import YearlyDay
from planner.workshop import Delivery

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
OFFICE_WEEK = (0, 1, 2, 3, 4)


class UnknownCountryError(ValueError):
    """No public holidays are known for this country code."""


class UnknownSubdivisionError(ValueError):
    """The country is known, but has no subdivision of this code."""


# Dates and day numbers


def today() -> date:
    """The date on this machine's clock, in its own time zone."""
    now = pendulum.today()
    return date(now.year, now.month, now.day)


def day_number(first_day: date, day: date) -> int:
    """How many days `day` lies after the plan's first day (negative: before it)."""
    return (day - first_day).days


def date_of(first_day: date, number: int) -> date:
    """The date of a day number."""
    return date.fromordinal(first_day.toordinal() + number)


def weekday_of(first_day: date, number: int) -> int:
    """The weekday of a day number, 0 = Monday ... 6 = Sunday."""
    return (first_day.weekday() + number) % 7


def week_text(first_day: date, number: int) -> str:
    """The ISO 8601 week of a day number, for example "2026-W36"."""
    year, week, _ = date_of(first_day, number).isocalendar()
    return f"{year}-W{week:02d}"


def add_months(day: date, months: int) -> date:
    """The same day of the month `months` later, or that month's last day where it is shorter."""
    moved = pendulum.date(day.year, day.month, day.day).add(months=months)
    return date(moved.year, moved.month, moved.day)


def month_days(first_day: date, year: int, month: int) -> tuple[int, int]:
    """The day numbers of a month's first and last day."""
    opening = date(year, month, 1)
    return (
        day_number(first_day, opening),
        day_number(first_day, add_months(opening, 1)) - 1,
    )


# Spans and windows


@dataclass(frozen=True, kw_only=True, order=True)
class Span:
    """Day numbers from `first` up to and including `last`."""

    first: int
    last: int

    def __contains__(self, day: int) -> bool:
        return self.first <= day <= self.last


@dataclass(frozen=True, kw_only=True)
class Window:
    """When an offer can be ordered: between two dates, or in a season of every year.

    Both ends belong to it. A blank date leaves that side open. A season whose first day comes
    after its last one runs across New Year.
    """

    first: date | YearlyDay | None = None
    last: date | YearlyDay | None = None

    def holds(self, day: date) -> bool:
        """True if the offer can be ordered on this date."""
        if isinstance(self.first, YearlyDay) and isinstance(self.last, YearlyDay):
            return _in_season(self.first, self.last, YearlyDay(day.month, day.day))
        return _not_before(day, self.first) and _not_after(day, self.last)


def _in_season(first: YearlyDay, last: YearlyDay, day: YearlyDay) -> bool:
    if first <= last:
        return first <= day <= last
    return day >= first or day <= last


def _not_before(day: date, first: date | YearlyDay | None) -> bool:
    if isinstance(first, YearlyDay):  # a season without an end lasts until the year's end
        return YearlyDay(day.month, day.day) >= first
    return first is None or day >= first


def _not_after(day: date, last: date | YearlyDay | None) -> bool:
    if isinstance(last, YearlyDay):  # a season without a beginning starts with the year
        return YearlyDay(day.month, day.day) <= last
    return last is None or day <= last


# Working days


@dataclass(frozen=True, kw_only=True)
class OpenDays:
    """The day numbers on which work is done, ascending.

    `end` is the first day number beyond what is known; a count that runs out of days answers
    `end`, which callers read as "beyond the plan".
    """

    days: tuple[int, ...]
    end: int

    def __contains__(self, day: int) -> bool:
        place = bisect_left(self.days, day)
        return place < len(self.days) and self.days[place] == day

    def first(self, day: int) -> int:
        """The first open day on or after `day`."""
        return self.plus(day, 0)

    def plus(self, day: int, count: int) -> int:
        """The `count`-th open day after `day`; a closed `day` is first moved on to an open one.

        A negative count goes back. Raises ValueError if it goes back beyond what is known.
        """
        place = bisect_left(self.days, day) + count
        if place < 0:
            raise ValueError(f"{-count} open days before day {day} are not known")
        return self.days[place] if place < len(self.days) else self.end


def open_days(
    first_day: date, known: Span, weekdays: Iterable[int], closed: Iterable[Span]
) -> OpenDays:
    """The days of `known` that fall on one of `weekdays` (0 = Monday) outside all closures."""
    wanted, closures = tuple(weekdays), tuple(closed)
    return OpenDays(
        days=tuple(
            day
            for day in range(known.first, known.last + 1)
            if weekday_of(first_day, day) in wanted and not any(day in span for span in closures)
        ),
        end=known.last + 1,
    )


# Public holidays


@lru_cache(maxsize=256)
def public_holidays(country: str, subdivision: str, year: int) -> Mapping[date, str]:
    """The names of a year's public holidays by date.

    `country` is an ISO 3166-1 code, `subdivision` the part of the ISO 3166-2 code after the
    hyphen, or empty. Raises UnknownCountryError or UnknownSubdivisionError.
    """
    import holidays  # only a workshop that names its country pays for this

    if len(country) not in (2, 3):  # the library would take a country's English name as well
        raise UnknownCountryError(country)
    try:
        holidays.country_holidays(country)
    except (NotImplementedError, AttributeError) as fault:
        raise UnknownCountryError(country) from fault
    try:
        found = holidays.country_holidays(country, subdiv=subdivision or None, years=year)
    except NotImplementedError as fault:
        raise UnknownSubdivisionError(subdivision) from fault
    return dict(sorted(found.items()))


def holiday_spans(first_day: date, known: Span, country: str, subdivision: str) -> tuple[Span, ...]:
    """The public holidays within `known`, each a span of one day; none without a country."""
    if not country:
        return ()
    years = range(date_of(first_day, known.first).year, date_of(first_day, known.last).year + 1)
    numbers = [
        day_number(first_day, day)
        for year in years
        for day in public_holidays(country, subdivision, year)
    ]
    return tuple(Span(first=number, last=number) for number in numbers if number in known)


# Hands


@dataclass(frozen=True, kw_only=True)
class Hands:
    """Who works when, in minutes.

    weekly   person -> minutes on Monday ... Sunday
    away     person -> the spans on which that person is away
    closed   spans on which the workshop is closed, public holidays included
    extra    (person, day) -> minutes on that day, whatever the others say
    """

    weekly: Mapping[str, tuple[int, ...]] = field(default_factory=dict)
    away: Mapping[str, tuple[Span, ...]] = field(default_factory=dict)
    closed: tuple[Span, ...] = ()
    extra: Mapping[tuple[str, int], int] = field(default_factory=dict)

    def minutes_of(self, person: str, first_day: date, day: int) -> int:
        """One person's working minutes on a day.

        An extra day counts as written; else a closure of the workshop or of the person makes it
        0; else the weekday's minutes count.
        """
        if (person, day) in self.extra:
            return self.extra[person, day]
        if any(day in span for span in (*self.closed, *self.away.get(person, ()))):
            return 0
        return self.weekly.get(person, (0,) * 7)[weekday_of(first_day, day)]

    def minutes(self, first_day: date, known: Span) -> tuple[int, ...]:
        """Everybody's working minutes on each day of `known`, in its order."""
        people = sorted({*self.weekly, *(person for person, _ in self.extra)})
        return tuple(
            sum(self.minutes_of(person, first_day, day) for person in people)
            for day in range(known.first, known.last + 1)
        )


def working_days(minutes: tuple[int, ...], known: Span) -> OpenDays:
    """The days of `known` on which somebody has minutes; `minutes` starts at its first day."""
    return OpenDays(
        days=tuple(known.first + place for place, worked in enumerate(minutes) if worked > 0),
        end=known.last + 1,
    )


# Suppliers


@dataclass(frozen=True, kw_only=True)
class SupplierDays:
    """When a supplier takes orders, and how its lead time counts.

    weekdays  on which orders go out, 0 = Monday
    office    its working days: Monday to Friday outside its closures
    working   the lead time counts its working days; else calendar days
    """

    first_day: date
    weekdays: tuple[int, ...]
    closures: tuple[Span, ...]
    office: OpenDays
    working: bool = False

    def takes_order(self, day: int) -> bool:
        """True on an order day on which the supplier is not closed."""
        right_weekday = weekday_of(self.first_day, day) in self.weekdays
        return right_weekday and not any(day in span for span in self.closures)

    def delivery_day(self, order: int, lead_days: int) -> int:
        """The day on which goods ordered on `order` come, before the workshop's own calendar.

        order + lead_days, in calendar days or in the supplier's working days; a count that ends
        inside a closure of the supplier goes on to the day after it.
        """
        day = self.office.plus(order, lead_days) if self.working else order + lead_days
        for closure in sorted(self.closures):
            if day in closure:
                day = closure.last + 1
        return day


def supplier_days(
    first_day: date,
    known: Span,
    weekdays: Iterable[int],
    closures: Iterable[Span],
    working: bool,
) -> SupplierDays:
    """A supplier's calendar over the days of `known`."""
    spans = tuple(sorted(closures))
    return SupplierDays(
        first_day=first_day,
        weekdays=tuple(weekdays),
        closures=spans,
        office=open_days(first_day, known, OFFICE_WEEK, spans),
        working=working,
    )


def deliveries(
    supplier: SupplierDays,
    workshop: OpenDays,
    window: Window,
    *,
    lead_days: int,
    receive_days: int,
    days: int,
) -> tuple[Delivery, ...]:
    """Every day of the plan on which an offer can be ordered and still be used within the plan.

    arrive = first working day of the workshop on or after the supplier's delivery day;
    usable = arrive + receive_days working days.
    """
    found = []
    for order in range(days):
        if not supplier.takes_order(order) or not window.holds(date_of(supplier.first_day, order)):
            continue
        arrive = workshop.first(supplier.delivery_day(order, lead_days))
        usable = workshop.plus(arrive, receive_days)
        if usable < days:
            found.append(Delivery(order=order, arrive=arrive, usable=usable))
    return tuple(found)


def receipt_days(workshop: OpenDays, expected: int, receive_days: int) -> tuple[int, int]:
    """(arrive, usable) of an open order expected on day `expected`.

    arrive = first working day on or after it, an overdue one counting as expected on day 0;
    usable = arrive + receive_days working days.
    """
    arrive = workshop.first(max(0, expected))
    return arrive, workshop.plus(arrive, receive_days)


def release_day(workshop: OpenDays, received: int, receive_days: int) -> int:
    """The day from which a lot in quarantine can be used, never before day 0.

    received, moved on to a working day, + receive_days working days.
    """
    return max(0, workshop.plus(received, receive_days))
