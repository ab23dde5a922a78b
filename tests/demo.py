"""The demo workshop, as it stands in data/demo and in the cases that data/README.md names."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path

from planner.build import build
from planner.tables.reader import read_folder
from planner.tables.rows import Tables
from planner.workshop import Workshop

FOLDER = Path(__file__).parent.parent / "data" / "demo"
TODAY = date(2026, 8, 31)
PAIL_DAY = date(2026, 9, 1)


def demo_tables(*, drum_on_time: bool = False, trays: int = 18, early_pails: bool = True) -> Tables:
    """The tables with the changes of a case; as they stand, the drum comes two weeks late."""
    tables, _ = read_folder(FOLDER)
    orders, offers = tables.open_orders, tables.offers
    if drum_on_time:
        orders = tuple(
            replace(row, expected=date(2026, 9, 14)) if row.reference == "N-118" else row
            for row in orders
        )
    if not early_pails:
        offers = tuple(row for row in offers if row.first_day != PAIL_DAY)
    return replace(
        tables,
        open_orders=orders,
        offers=offers,
        trays=tuple(replace(row, count=trays) for row in tables.trays),
    )


def demo_workshop(
    *, drum_on_time: bool = False, trays: int = 18, early_pails: bool = True
) -> Workshop:
    """The demo in one of its cases, as it is on the first day of its plan."""
    tables = demo_tables(drum_on_time=drum_on_time, trays=trays, early_pails=early_pails)
    workshop, findings = build(tables, TODAY)
    assert workshop is not None, findings
    return workshop


def demo_cases() -> Mapping[str, Workshop]:
    """The four cases: drum on time and late, each with the 18 trays there are and with 24."""
    return {
        f"drum {'on time' if on_time else 'late'}, {trays} trays": demo_workshop(
            drum_on_time=on_time, trays=trays
        )
        for on_time in (True, False)
        for trays in (18, 24)
    }
