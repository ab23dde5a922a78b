"""The calendar of a workshop: who works when, and when suppliers take orders and deliver."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from planner.days import (
    WEEKDAYS,
    Hands,
    OpenDays,
    Span,
    SupplierDays,
    UnknownCountryError,
    UnknownSubdivisionError,
    day_number,
    holiday_spans,
    supplier_days,
    working_days,
)
from planner.tables.rows import ClosureRow, Tables, WorkshopRow
from planner.tables.values import LeadCounts, StockStatus

WORKSHOP = "workshop"
"""Who a closure names to close everything."""

DAYS_BEYOND = 400
DAYS_BEFORE = 3660


@dataclass(frozen=True, kw_only=True)
class Calendar:
    """Working minutes of each day of the plan, working days before and beyond it, suppliers."""

    minutes: tuple[int, ...]
    working: OpenDays
    suppliers: Mapping[str, SupplierDays]


def calendar_of(tables: Tables, workshop: WorkshopRow, today: date) -> Calendar:
    """The calendar from the tables. A country that is not known has no holidays here."""
    known = _known_days(tables, workshop.horizon_days, today)
    minutes = _hands(tables, workshop, today, known).minutes(today, known)
    return Calendar(
        minutes=minutes[-known.first :][: workshop.horizon_days],
        working=working_days(minutes, known),
        suppliers={
            row.supplier: supplier_days(
                today,
                known,
                [weekday.number for weekday in row.order_days],
                closures_of(tables, row.supplier, today),
                row.lead_counts is LeadCounts.WORKING,
            )
            for row in tables.suppliers
        },
    )


def closures_of(tables: Tables, who: str, today: date) -> tuple[Span, ...]:
    """The closures of the workshop, a person or a supplier, as spans of day numbers."""
    return tuple(_span(row, today) for row in tables.closures if row.who == who)


def _span(row: ClosureRow, today: date) -> Span:
    return Span(first=day_number(today, row.first_day), last=day_number(today, row.last_day))


def _known_days(tables: Tables, days: int, today: date) -> Span:
    """From the day the oldest lot in quarantine came to well beyond the last arrival."""
    received = [
        day_number(today, row.received)
        for row in tables.stock
        if row.received is not None and row.status is StockStatus.QUARANTINE
    ]
    expected = [day_number(today, row.expected) for row in tables.open_orders]
    return Span(
        first=max(-DAYS_BEFORE, min([0, *received])),
        last=min(max([days, *expected]), days + DAYS_BEFORE) + DAYS_BEYOND,
    )


def _hands(tables: Tables, workshop: WorkshopRow, today: date, known: Span) -> Hands:
    weekly: dict[str, list[int]] = {}
    for row in tables.hands:
        minutes = weekly.setdefault(row.person, [0] * len(WEEKDAYS))
        minutes[row.weekday.number] = row.minutes
    return Hands(
        weekly={person: tuple(minutes) for person, minutes in weekly.items()},
        away={person: closures_of(tables, person, today) for person in weekly},
        closed=(*closures_of(tables, WORKSHOP, today), *_holidays(workshop, today, known)),
        extra={(row.person, day_number(today, row.day)): row.minutes for row in tables.extra_days},
    )


def _holidays(workshop: WorkshopRow, today: date, known: Span) -> tuple[Span, ...]:
    try:
        return holiday_spans(today, known, workshop.country or "", workshop.subdivision or "")
    except (UnknownCountryError, UnknownSubdivisionError):
        return ()
