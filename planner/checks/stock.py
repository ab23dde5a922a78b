"""What lies on the shelf and what is on its way."""

from collections.abc import Iterator

from planner.checks.faults import error, on, quoted, warning
from planner.days import date_of, release_day
from planner.findings import Finding
from planner.records.lookup import Records
from planner.records.making import receive_days_of
from planner.tables.rows import StockRow


def check_stock_dates(records: Records) -> Iterator[Finding]:
    """A lot was received by today, and not after its use-by date."""
    for row in records.tables.stock:
        if row.received is not None and row.received > records.today:
            yield error(
                "stock",
                row,
                "received",
                found=f"{on(row.received)}, which is still to come",
                expected=f"{on(records.today)} or earlier",
                action="correct the date; what is on its way stands in open_orders",
            )
        if row.received is not None and row.use_by is not None and row.use_by < row.received:
            yield error(
                "stock",
                row,
                "use_by",
                found=f"{on(row.use_by)}, before it was received on {on(row.received)}",
                expected="the day of its receipt or a later one",
                action="exchange the two dates, or correct the year",
            )


def check_use_by(records: Records) -> Iterator[Finding]:
    """A lot past its use-by date is waste on the first day."""
    for row in records.tables.stock:
        if row.use_by is None or row.quantity == 0:
            continue
        if row.use_by < records.today:
            yield warning(
                "stock",
                row,
                "use_by",
                found=f"lot {quoted(row.lot)} of {quoted(row.item)} could be used until "
                f"{on(row.use_by)}",
                expected=f"{on(records.today)} or later; it counts as waste",
                action="throw it away and remove the row, or write the new date of its retest",
            )
        elif (released := _released(records, row)) > records.day(row.use_by):
            yield warning(
                "stock",
                row,
                "use_by",
                found=f"in quarantine until {on(date_of(records.today, released))}, "
                f"use by {on(row.use_by)}",
                expected="a use-by date after its release; it counts as waste",
                action="release it sooner with status free, or correct the dates",
            )


def _released(records: Records, row: StockRow) -> int:
    """The day number from which a lot can be used."""
    if row.status != "quarantine":
        return 0
    received = records.day(row.received or records.today)
    return release_day(records.calendar.working, received, receive_days_of(records, row.item))


def check_use_by_given(records: Records) -> Iterator[Finding]:
    """A lot of something that keeps for a limited time has a use-by date."""
    keeps = {row.preparation: row.shelf_life_days for row in records.tables.preparations}
    keeps |= {row.product: row.shelf_life_days for row in records.tables.products}
    for row in records.tables.stock:
        life = keeps.get(row.item)
        if life is not None and row.use_by is None and row.quantity > 0:
            yield warning(
                "stock",
                row,
                "use_by",
                found=f"blank for lot {quoted(row.lot)} of {quoted(row.item)}, "
                f"which keeps {life} days",
                expected="a date; without one it counts as good for ever",
                action=f"write the day {life} days after it was made",
            )


def check_open_order_dates(records: Records) -> Iterator[Finding]:
    """An open order was placed by today, and is expected after that and within the plan."""
    for row in records.tables.open_orders:
        if row.ordered is not None and row.expected < row.ordered:
            yield error(
                "open_orders",
                row,
                "expected",
                found=f"{on(row.expected)}, before it was ordered on {on(row.ordered)}",
                expected="the day of the order or a later one",
                action="exchange the two dates, or correct the year",
            )
        elif row.ordered is not None and row.ordered > records.today:
            yield warning(
                "open_orders",
                row,
                "ordered",
                found=f"{on(row.ordered)}, which is still to come",
                expected=f"{on(records.today)} or earlier; it is counted on as ordered",
                action="correct the date, or remove the row until it is ordered",
            )
        elif row.expected < records.today:
            yield warning(
                "open_orders",
                row,
                "expected",
                found=f"{quoted(row.reference)} was expected on {on(row.expected)}",
                expected=f"{on(records.today)} or later; it counts as arriving on the first day",
                action="ask the supplier, and write the new date; or book it in stock",
            )
        elif records.day(row.expected) >= records.days:
            yield warning(
                "open_orders",
                row,
                "expected",
                found=f"{on(row.expected)}, after the plan's end",
                expected=f"a day before {on(date_of(records.today, records.days))} to count",
                action="correct the date, or lengthen horizon_days in workshop",
            )
