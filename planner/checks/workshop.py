"""The workshop's own row, its holidays and its hands."""

from collections.abc import Iterator

from planner.checks.faults import count, error, on, quoted, warning
from planner.days import (
    UnknownCountryError,
    UnknownSubdivisionError,
    public_holidays,
)
from planner.findings import Finding
from planner.records.lookup import Records


def check_one_workshop(records: Records) -> Iterator[Finding]:
    """The table `workshop` has exactly one row."""
    rows = records.tables.workshop
    if not rows:
        yield error(
            "workshop",
            None,
            "",
            found="no row",
            expected="one row: the workshop itself",
            action="write its name and currency in a row",
        )
    for row in rows[1:]:
        yield error(
            "workshop",
            row,
            "name",
            found=f"{quoted(row.name)}, a second workshop",
            expected="one row: the workshop itself",
            action="remove the row; each workshop has a folder of its own",
        )


def check_country(records: Records) -> Iterator[Finding]:
    """Public holidays must be known for the country and subdivision, if given."""
    row = records.workshop
    if not row.country:
        if row.subdivision:
            yield error(
                "workshop",
                row,
                "country",
                found=f"no country for subdivision {quoted(row.subdivision)}",
                expected="the country too, as an ISO 3166-1 code",
                action="write the country, for example DE, or leave both blank",
            )
        return
    try:
        public_holidays(row.country, row.subdivision or "", records.today.year)
    except UnknownCountryError:
        yield error(
            "workshop",
            row,
            "country",
            found=quoted(row.country),
            expected="an ISO 3166-1 code whose public holidays are known, for example DE",
            action="correct the code; or leave it blank and write the holidays in closures",
        )
    except UnknownSubdivisionError:
        yield error(
            "workshop",
            row,
            "subdivision",
            found=quoted(row.subdivision or ""),
            expected=f"a part of {row.country} as in ISO 3166-2 after the hyphen: "
            + _subdivisions(row.country),
            action="correct the code, or leave it blank for the holidays of the whole country",
        )


def _subdivisions(country: str) -> str:
    """The codes that would do, or that there are none."""
    import holidays  # the calendar has loaded it already by the time a code is found wrong

    return ", ".join(holidays.country_holidays(country).subdivisions) or "none is known"


def check_hands(records: Records) -> Iterator[Finding]:
    """Somebody must work on some day of the plan."""
    if any(records.calendar.minutes):
        return
    yield error(
        "hands",
        None,
        "minutes",
        found=f"no working minute in the {count(records.days, 'day')} from {on(records.today)}",
        expected="somebody with minutes on a day that is not closed",
        action="add rows to hands, or shorten the closures",
    )


def check_closures(records: Records) -> Iterator[Finding]:
    """A closure ends no earlier than it begins."""
    for row in records.tables.closures:
        if row.last_day < row.first_day:
            yield error(
                "closures",
                row,
                "last_day",
                found=f"{on(row.last_day)}, before the first day {on(row.first_day)}",
                expected="the first day or a later one",
                action="exchange the two dates, or correct the year",
            )


def check_frozen_days(records: Records) -> Iterator[Finding]:
    """Frozen days beyond the plan would forbid every change."""
    row = records.workshop
    if row.frozen_days >= records.days:
        yield warning(
            "workshop",
            row,
            "frozen_days",
            found=f"{count(row.frozen_days, 'frozen day')} of {count(records.days, 'day')} planned",
            expected="fewer frozen days than the plan has",
            action="write 7 or so, or leave it blank",
        )


def check_budget(records: Records) -> Iterator[Finding]:
    """A month that is over limits nothing."""
    this_month = f"{records.today:%Y-%m}"
    for row in records.tables.budget:
        if row.month < this_month:
            yield warning(
                "budget",
                row,
                "month",
                found=f"{row.month}, which is over",
                expected=f"{this_month} or a later month",
                action="remove the row, or correct the year",
            )


def check_cash(records: Records) -> Iterator[Finding]:
    """A balance is one amount on one day; only incomes and costs come again."""
    for row in records.tables.cash:
        if row.kind == "balance" and row.every is not None:
            yield error(
                "cash",
                row,
                "every",
                found=f"a balance every {row.every.value}",
                expected="blank: a balance holds on its day",
                action="leave the cell blank, or write income or cost as the kind",
            )
        if row.kind == "balance" and row.day > records.today:
            yield warning(
                "cash",
                row,
                "day",
                found=f"a balance of {on(row.day)}, which is still to come",
                expected=f"{on(records.today)} or earlier",
                action="write the balance of today",
            )


def check_sales(records: Records) -> Iterator[Finding]:
    """What was sold was sold by today."""
    for row in records.tables.sales:
        if row.day > records.today:
            yield warning(
                "sales",
                row,
                "day",
                found=f"a sale on {on(row.day)}, which is still to come",
                expected=f"{on(records.today)} or earlier",
                action="correct the date; what is to be sold stands in demand",
            )
