"""Dates, day numbers, working days, order days and lead times."""

import random
from datetime import date, timedelta

import numpy
import pytest

from planner.days import (
    OFFICE_WEEK,
    Hands,
    OpenDays,
    Span,
    SupplierDays,
    UnknownCountryError,
    UnknownSubdivisionError,
    Window,
    add_months,
    date_of,
    day_number,
    deliveries,
    holiday_spans,
    month_days,
    open_days,
    public_holidays,
    receipt_days,
    release_day,
    supplier_days,
    today,
    week_text,
    weekday_of,
    working_days,
)
from planner.tables.values import YearlyDay

MONDAY = date(2026, 8, 31)


def span(first: int, last: int | None = None) -> Span:
    return Span(first=first, last=first if last is None else last)


def office(first_day: date, holidays: tuple[str, ...] = (), week: str = "1111100") -> OpenDays:
    """Open days for two years around first_day, from numpy's own weekmask notation."""
    closed = [day_number(first_day, date.fromisoformat(day)) for day in holidays]
    weekdays = [number for number, mark in enumerate(week) if mark == "1"]
    return open_days(first_day, Span(first=-400, last=800), weekdays, [span(day) for day in closed])


# Dates and day numbers


def test_day_numbers_count_from_the_first_day() -> None:
    assert day_number(MONDAY, MONDAY) == 0
    assert day_number(MONDAY, date(2026, 8, 30)) == -1
    assert day_number(MONDAY, date(2027, 8, 31)) == 365
    assert date_of(MONDAY, 118) == date(2026, 12, 27)


def test_date_and_day_number_are_inverse_over_a_leap_day() -> None:
    start = date(2027, 12, 1)
    for number in range(-40, 500):
        assert day_number(start, date_of(start, number)) == number
        assert weekday_of(start, number) == date_of(start, number).weekday()


def test_today_is_a_plain_date() -> None:
    assert type(today()) is date
    assert abs((today() - date.today()).days) <= 1


# ISO 8601, week date: the year's first week holds 4 January; weeks start on Monday.
@pytest.mark.parametrize(
    ("day", "week"),
    [
        ("2005-01-01", "2004-W53"),
        ("2005-01-02", "2004-W53"),
        ("2005-12-31", "2005-W52"),
        ("2006-01-01", "2005-W52"),
        ("2007-01-01", "2007-W01"),
        ("2007-12-31", "2008-W01"),
        ("2008-12-28", "2008-W52"),
        ("2008-12-29", "2009-W01"),
        ("2009-12-31", "2009-W53"),
        ("2010-01-03", "2009-W53"),
        ("2010-01-04", "2010-W01"),
        ("2020-12-31", "2020-W53"),
        ("2021-01-03", "2020-W53"),
        ("2024-12-30", "2025-W01"),
        ("2026-12-31", "2026-W53"),
        ("2027-01-03", "2026-W53"),
        ("2028-02-29", "2028-W09"),
    ],
)
def test_iso_8601_weeks(day: str, week: str) -> None:
    assert week_text(MONDAY, day_number(MONDAY, date.fromisoformat(day))) == week


def test_iso_8601_has_71_long_years_in_400() -> None:
    """A year has 53 weeks when 28 December lies in week 53."""
    long_years = [
        year for year in range(1900, 2300) if week_text(date(year, 12, 28), 0).endswith("W53")
    ]
    assert len(long_years) == 71
    assert [year for year in long_years if 2000 <= year <= 2050] == [
        2004, 2009, 2015, 2020, 2026, 2032, 2037, 2043, 2048,
    ]  # fmt: skip


# pendulum, documented month arithmetic: a day that the month lacks becomes its last day.
@pytest.mark.parametrize(
    ("day", "months", "later"),
    [
        ("2026-01-31", 1, "2026-02-28"),
        ("2028-01-31", 1, "2028-02-29"),
        ("2026-08-31", 6, "2027-02-28"),
        ("2026-11-30", 30, "2029-05-30"),
        ("2026-03-31", -1, "2026-02-28"),
    ],
)
def test_month_arithmetic(day: str, months: int, later: str) -> None:
    moved = add_months(date.fromisoformat(day), months)
    assert moved == date.fromisoformat(later)
    assert type(moved) is date


def test_a_month_is_its_first_to_its_last_day() -> None:
    assert month_days(MONDAY, 2026, 8) == (-30, 0)
    assert month_days(MONDAY, 2026, 9) == (1, 30)
    first, last = month_days(MONDAY, 2028, 2)
    assert last - first + 1 == 29
    assert date_of(MONDAY, last) == date(2028, 2, 29)
    assert date_of(MONDAY, month_days(MONDAY, 2026, 12)[1]) == date(2026, 12, 31)


# Working days, with numpy.busday_offset as the judge


CHRISTMAS = ("2026-12-25", "2026-12-26", "2027-01-01")


@pytest.mark.parametrize(
    ("day", "count", "later"),
    [
        ("2026-12-18", 5, "2026-12-28"),
        ("2026-12-18", 10, "2027-01-05"),
        ("2026-12-19", 0, "2026-12-21"),
        ("2026-12-19", 1, "2026-12-22"),
        ("2026-12-24", 1, "2026-12-28"),
        ("2026-12-24", 5, "2027-01-04"),
        ("2026-12-25", 0, "2026-12-28"),
        ("2026-12-25", -1, "2026-12-24"),
        ("2026-12-31", 1, "2027-01-04"),
    ],
)
def test_working_days_over_christmas(day: str, count: int, later: str) -> None:
    first_day = date(2026, 12, 1)
    start = date.fromisoformat(day)
    found = office(first_day, CHRISTMAS).plus(day_number(first_day, start), count)
    assert date_of(first_day, found) == date.fromisoformat(later)
    judge = numpy.busday_offset(start, count, roll="forward", holidays=list(CHRISTMAS))
    assert str(judge) == later


# The examples in numpy's reference page of busday_offset.
@pytest.mark.parametrize(
    ("start", "count", "week", "later"),
    [
        ("2011-10-01", 0, "1111100", "2011-10-03"),  # first business day of October 2011
        ("2012-03-01", -1, "1111100", "2012-02-29"),  # last business day of February 2012
        ("2011-01-01", 2, "0010000", "2011-01-19"),  # third Wednesday of January 2011
        ("2012-05-01", 1, "0000001", "2012-05-13"),  # second Sunday of May 2012
        ("2011-03-20", 0, "1111100", "2011-03-21"),
        ("2011-03-22", 0, "1111100", "2011-03-22"),
        ("2011-03-20", 1, "1111100", "2011-03-22"),
        ("2011-03-22", 1, "1111100", "2011-03-23"),
    ],
)
def test_documented_cases_of_busday_offset(start: str, count: int, week: str, later: str) -> None:
    first_day = date.fromisoformat(start)
    found = office(first_day, week=week).plus(0, count)
    assert date_of(first_day, found) == date.fromisoformat(later)


# The examples in numpy's reference page of busday_count: January 2011, 2011, Saturdays of 2011.
def test_documented_cases_of_busday_count() -> None:
    first_day = date(2011, 1, 1)
    weekdays = office(first_day).days
    saturdays = office(first_day, week="0000010").days
    assert sum(0 <= day < 31 for day in weekdays) == 21
    assert sum(0 <= day < 365 for day in weekdays) == 260
    assert sum(0 <= day < 365 for day in saturdays) == 53


WEEKMASKS = ("1111100", "1111000", "0100100", "1111110", "1111111", "0000001", "1010101")


def test_working_days_agree_with_busday_offset_on_random_cases() -> None:
    """5,000 seeded cases: 7 weekmasks, holidays of every density, counts in both directions."""
    dice = random.Random(20260831)
    for _ in range(100):
        first_day = date(2024, 1, 1) + timedelta(days=dice.randrange(1500))
        week = dice.choice(WEEKMASKS)
        offsets = dice.sample(range(-60, 200), dice.choice((0, 3, 12, 60)))
        holidays = [str(date_of(first_day, offset)) for offset in sorted(offsets)]
        calendar = office(first_day, tuple(holidays), week)
        for _ in range(50):
            day, count = dice.randrange(-40, 200), dice.randrange(-5, 40)
            judge = numpy.busday_offset(
                date_of(first_day, day), count, roll="forward", weekmask=week, holidays=holidays
            )
            assert str(date_of(first_day, calendar.plus(day, count))) == str(judge)


def test_open_days_agree_with_is_busday_on_every_day_of_a_year() -> None:
    calendar = office(MONDAY, CHRISTMAS, "1101100")
    for day in range(365):
        judge = numpy.is_busday(date_of(MONDAY, day), weekmask="1101100", holidays=list(CHRISTMAS))
        assert (day in calendar) == bool(judge)


def test_open_days_reach_to_the_last_known_day() -> None:
    calendar = open_days(MONDAY, span(-1, 2), range(7), (span(1),))
    assert calendar.days == (-1, 0, 2)
    assert calendar.end == 3
    assert 2 in calendar
    assert 1 not in calendar
    assert 3 not in calendar


def test_a_count_that_runs_out_of_known_days_answers_the_end() -> None:
    calendar = OpenDays(days=(0, 3), end=10)
    assert calendar.first(3) == 3
    assert calendar.first(4) == 10
    assert calendar.plus(0, 2) == 10
    assert OpenDays(days=(), end=10).first(0) == 10


def test_a_count_back_beyond_what_is_known_is_refused() -> None:
    calendar = OpenDays(days=(0, 3), end=10)
    assert calendar.plus(3, -1) == 0
    with pytest.raises(ValueError, match="not known"):
        calendar.plus(0, -1)


# Public holidays; the dates are laid down in the countries' own holiday laws.


def test_public_holidays_of_a_country_and_a_subdivision() -> None:
    germany = public_holidays("DE", "", 2026)
    bavaria = public_holidays("DE", "BY", 2026)
    assert date(2026, 10, 3) in germany
    assert date(2026, 1, 6) not in germany
    assert date(2026, 1, 6) in bavaria
    assert date(2026, 11, 30) in public_holidays("GB", "SCT", 2026)


def test_unknown_country_and_subdivision_are_told_apart() -> None:
    with pytest.raises(UnknownCountryError):
        public_holidays("XX", "", 2026)
    with pytest.raises(UnknownCountryError):
        public_holidays("Germany", "BY", 2026)
    with pytest.raises(UnknownSubdivisionError):
        public_holidays("DE", "QQ", 2026)


def test_holidays_of_a_span_reach_over_new_year() -> None:
    found = holiday_spans(MONDAY, Span(first=0, last=130), "DE", "")
    days = [date_of(MONDAY, one.first).isoformat() for one in found]
    assert days == ["2026-10-03", "2026-12-25", "2026-12-26", "2027-01-01"]
    assert all(one.first == one.last for one in found)
    assert holiday_spans(MONDAY, Span(first=0, last=130), "", "") == ()


# Hands


WEEK = (330, 330, 330, 330, 0, 0, 0)


def test_minutes_follow_the_weekday() -> None:
    hands = Hands(weekly={"Ada": WEEK, "Ben": (0, 270, 0, 0, 270, 0, 0)})
    assert hands.minutes(MONDAY, Span(first=-1, last=6)) == (0, 330, 600, 330, 330, 270, 0, 0)


def test_closures_of_workshop_and_person() -> None:
    hands = Hands(
        weekly={"Ada": WEEK, "Ben": (0, 270, 0, 0, 270, 0, 0)},
        away={"Ada": (span(0, 1),)},
        closed=(span(4),),
    )
    assert hands.minutes(MONDAY, Span(first=0, last=6)) == (0, 270, 330, 330, 0, 0, 0)


def test_an_extra_day_outweighs_weekday_and_closure() -> None:
    hands = Hands(
        weekly={"Ada": WEEK},
        closed=(span(0, 6),),
        extra={("Ada", 5): 120, ("Ada", 1): 0, ("Cleo", 0): 60},
    )
    assert hands.minutes(MONDAY, Span(first=0, last=6)) == (60, 0, 0, 0, 0, 120, 0)
    unclosed = Hands(weekly={"Ada": WEEK}, extra={("Ada", 1): 0})
    assert unclosed.minutes(MONDAY, Span(first=0, last=2)) == (330, 0, 330)


def test_a_working_day_is_one_with_minutes() -> None:
    calendar = working_days((0, 5, 0, 1), Span(first=-2, last=1))
    assert calendar.days == (-1, 1)
    assert calendar.end == 2


# Windows


@pytest.mark.parametrize(
    ("day", "holds"),
    [
        ("2026-02-28", False),
        ("2026-03-01", True),
        ("2027-05-31", True),
        ("2027-06-01", False),
    ],
)
def test_a_season_comes_every_year(day: str, holds: bool) -> None:
    window = Window(first=YearlyDay(month=3, day=1), last=YearlyDay(month=5, day=31))
    assert window.holds(date.fromisoformat(day)) is holds


@pytest.mark.parametrize(
    ("day", "holds"),
    [
        ("2026-10-31", False),
        ("2026-11-01", True),
        ("2027-01-31", True),
        ("2027-02-01", False),
    ],
)
def test_a_season_across_new_year(day: str, holds: bool) -> None:
    window = Window(first=YearlyDay(month=11, day=1), last=YearlyDay(month=1, day=31))
    assert window.holds(date.fromisoformat(day)) is holds


def test_a_season_of_one_day() -> None:
    window = Window(first=YearlyDay(8, 31), last=YearlyDay(8, 31))
    assert [window.holds(date_of(MONDAY, day)) for day in (-1, 0, 1)] == [False, True, False]


def test_half_a_season_reaches_to_the_turn_of_the_year() -> None:
    assert Window(first=YearlyDay(8, 31)).holds(MONDAY)
    assert not Window(first=YearlyDay(9, 1)).holds(MONDAY)
    assert Window(last=YearlyDay(8, 31)).holds(MONDAY)
    assert not Window(last=YearlyDay(8, 30)).holds(MONDAY)


def test_a_window_of_dates_is_open_where_blank() -> None:
    assert Window().holds(MONDAY)
    assert Window(first=MONDAY).holds(MONDAY)
    assert not Window(first=date(2026, 9, 1)).holds(MONDAY)
    assert Window(last=MONDAY).holds(MONDAY)
    assert not Window(last=date(2026, 8, 30)).holds(MONDAY)


# Suppliers


KNOWN = Span(first=-30, last=300)
EVERY_DAY = open_days(MONDAY, KNOWN, range(7), ())


def supplier(
    weekdays: tuple[int, ...] = OFFICE_WEEK,
    closures: tuple[Span, ...] = (),
    working: bool = False,
) -> SupplierDays:
    return supplier_days(MONDAY, KNOWN, weekdays, closures, working)


def test_orders_go_out_on_order_days_outside_closures() -> None:
    tuesdays = supplier((1,), (span(8),))
    assert [day for day in range(30) if tuesdays.takes_order(day)] == [1, 15, 22, 29]


def test_calendar_lead_counts_every_day() -> None:
    assert supplier().delivery_day(0, 42) == 42
    assert supplier().delivery_day(5, 0) == 5


def test_working_lead_counts_like_busday_offset_without_the_closure() -> None:
    closures = (span(7, 9),)
    lead = supplier(closures=closures, working=True)
    holidays = [str(date_of(MONDAY, day)) for day in range(7, 10)]
    for order in range(20):
        for count in range(12):
            judge = numpy.busday_offset(
                date_of(MONDAY, order), count, roll="forward", holidays=holidays
            )
            assert str(date_of(MONDAY, lead.delivery_day(order, count))) == str(judge)


def test_a_calendar_lead_that_ends_in_a_closure_goes_on_to_its_end() -> None:
    shut = supplier(closures=(span(14, 20), span(10, 12), span(21, 25)))
    assert shut.delivery_day(0, 9) == 9
    assert shut.delivery_day(0, 10) == 13
    assert shut.delivery_day(0, 12) == 13
    assert shut.delivery_day(0, 14) == 26, "two closures in a row"
    assert shut.delivery_day(0, 26) == 26


def test_goods_arrive_on_a_working_day_and_are_released_after_receiving() -> None:
    weekdays = open_days(MONDAY, KNOWN, OFFICE_WEEK, (span(14),))
    found = deliveries(supplier((4,)), weekdays, Window(), lead_days=8, receive_days=1, days=20)
    # Friday 4 + 8 = Saturday 12 -> Monday 14 is closed -> Tuesday 15, usable Wednesday 16.
    assert [(one.order, one.arrive, one.usable) for one in found] == [(4, 15, 16)]


def test_only_orders_usable_within_the_plan_are_listed() -> None:
    def last_order(days: int) -> int:
        found = deliveries(
            supplier(tuple(range(7))),
            EVERY_DAY,
            Window(),
            lead_days=3,
            receive_days=1,
            days=days,
        )
        return found[-1].order

    assert last_order(5) == 0
    assert last_order(6) == 1
    none = deliveries(
        supplier(tuple(range(7))), EVERY_DAY, Window(), lead_days=3, receive_days=2, days=5
    )
    assert none == ()


def test_a_window_bounds_the_order_days() -> None:
    window = Window(first=date(2026, 9, 2), last=date(2026, 9, 3))
    found = deliveries(supplier(), EVERY_DAY, window, lead_days=1, receive_days=0, days=30)
    assert [(one.order, one.arrive, one.usable) for one in found] == [(2, 3, 3), (3, 4, 4)]


def test_an_open_order_arrives_on_a_working_day_and_an_overdue_one_on_the_first() -> None:
    weekdays = open_days(MONDAY, KNOWN, OFFICE_WEEK, ())
    assert receipt_days(weekdays, 5, 1) == (7, 8)
    assert receipt_days(weekdays, 4, 1) == (4, 7)
    assert receipt_days(weekdays, -10, 2) == (0, 2)
    assert receipt_days(weekdays, 3, 0) == (3, 3)


def test_quarantine_ends_after_receive_days_and_never_before_the_first_day() -> None:
    weekdays = open_days(MONDAY, KNOWN, OFFICE_WEEK, ())
    assert release_day(weekdays, -3, 1) == 0, "received on Friday, released on Monday"
    assert release_day(weekdays, -2, 1) == 1, "received on Saturday, counted from Monday"
    assert release_day(weekdays, 0, 3) == 3
    assert release_day(weekdays, -20, 2) == 0
