"""What is wanted: fields that belong to a kind, and days that fit the plan."""

from collections.abc import Iterator

from planner.checks.faults import count, error, on, quoted, warning
from planner.days import date_of
from planner.findings import Finding
from planner.records.lookup import Records
from planner.records.wants import first_launch, is_over, launch_days, lies_beyond
from planner.tables.rows import DemandRow
from planner.workshop import DemandKind

LASTING = (DemandKind.RETAIL, DemandKind.RESTOCK)
"""The kinds that go on from their day to their last day."""


def check_demand_fields(records: Records) -> Iterator[Finding]:
    """`per` belongs to retail, `last_day` to retail and restock, `launch` to launches."""
    for row in records.tables.demand:
        if row.kind is DemandKind.RETAIL and row.per is None:
            yield error(
                "demand",
                row,
                "per",
                found="blank for retail",
                expected="week: the quantity is bars a week",
                action="write week, and as quantity the bars sold in a week",
            )
        if row.kind is not DemandKind.RETAIL and row.per is not None:
            yield _does_not_belong(row, "per", row.per.value)
        if row.kind not in LASTING and row.last_day is not None:
            yield _does_not_belong(row, "last_day", on(row.last_day))
        if row.kind is DemandKind.LAUNCH and row.launch is None:
            yield error(
                "demand",
                row,
                "launch",
                found="blank for a launch",
                expected="the launch's name; rows of one name are launched together",
                action="write a name, for example that of the line",
            )
        if row.kind is not DemandKind.LAUNCH and row.launch is not None:
            yield warning(
                "demand",
                row,
                "launch",
                found=f"{quoted(row.launch)} for {row.kind.value}",
                expected="blank: only rows of kind launch are launched together",
                action="leave the cell blank, or write launch as the kind",
            )


def _does_not_belong(row: DemandRow, column: str, cell: str) -> Finding:
    return error(
        "demand",
        row,
        column,
        found=f"{quoted(cell)} for {row.kind.value}",
        expected="blank: it belongs to " + ("retail" if column == "per" else "retail and restock"),
        action="leave the cell blank, or correct the kind",
    )


def check_demand_days(records: Records) -> Iterator[Finding]:
    """A row ends no earlier than it begins, and matters to the plan."""
    for row in records.tables.demand:
        if row.last_day is not None and row.last_day < row.day:
            yield error(
                "demand",
                row,
                "last_day",
                found=f"{on(row.last_day)}, before the first day {on(row.day)}",
                expected="the first day or a later one",
                action="exchange the two dates, or correct the year",
            )
        elif row.kind in LASTING and is_over(records, row):
            yield warning(
                "demand",
                row,
                "last_day",
                found=f"{on(row.last_day or row.day)}, which is past",
                expected=f"{on(records.today)} or later; the row is left out",
                action="remove the row, or correct the date",
            )
        elif lies_beyond(records, row):
            yield warning(
                "demand",
                row,
                "day",
                found=_beyond(records, row),
                expected=f"a day before {on(date_of(records.today, records.days))}; "
                "the row is left out",
                action="lengthen horizon_days in workshop if it should be planned for",
            )


def _beyond(records: Records, row: DemandRow) -> str:
    if records.day(row.day) >= records.days:
        return f"{on(row.day)}, after the plan's end"
    return f"{on(row.day)}, but it begins with a launch after the plan's end"


def check_past_demand(records: Records) -> Iterator[Finding]:
    """A launch lies ahead; an order that is overdue is late already."""
    for row in records.tables.demand:
        if row.day >= records.today:
            continue
        if row.kind is DemandKind.LAUNCH:
            yield error(
                "demand",
                row,
                "day",
                found=f"a launch on {on(row.day)}, which is past",
                expected=f"{on(records.today)} or later",
                action="remove the row if it is launched, else write the new day",
            )
        if row.kind is DemandKind.ORDER:
            days = count(-records.day(row.day), "day")
            yield warning(
                "demand",
                row,
                "day",
                found=f"order {quoted(row.demand)} was due on {on(row.day)}",
                expected=f"{on(records.today)} or later; it is {days} late already",
                action="remove it if it has left, else agree on a new day",
            )


def check_demand_quantities(records: Records) -> Iterator[Finding]:
    """A row asks for something."""
    for row in records.tables.demand:
        if row.quantity == 0:
            yield warning(
                "demand",
                row,
                "quantity",
                found="0",
                expected="1 bar or more; this asks for nothing",
                action="write the quantity, or remove the row",
            )


def check_launch_days(records: Records) -> Iterator[Finding]:
    """All rows of a launch have the same day; else the latest counts."""
    days = launch_days(records)
    for row in records.tables.demand:
        if row.kind is DemandKind.LAUNCH and row.launch and row.day != days[row.launch]:
            yield warning(
                "demand",
                row,
                "day",
                found=f"{on(row.day)}, but launch {quoted(row.launch)} has a row on "
                f"{on(days[row.launch])}",
                expected="one day for all rows of a launch; the latest counts",
                action="write the same day, or give this row a launch of its own",
            )


def check_launch_products(records: Records) -> Iterator[Finding]:
    """A launch has one row for each product; of two the larger quantity counts."""
    seen: dict[tuple[str, str], DemandRow] = {}
    for row in records.tables.demand:
        if row.kind is not DemandKind.LAUNCH or row.launch is None:
            continue
        earlier = seen.setdefault((row.launch, row.product), row)
        if earlier is not row:
            yield warning(
                "demand",
                row,
                "product",
                found=f"{quoted(row.product)} again, as in row {earlier.row} of the launch "
                f"{quoted(row.launch)}",
                expected="one row for each product; now the larger quantity is enough for both",
                action="add the two quantities in one row",
            )


def check_retail_before_launch(records: Records) -> Iterator[Finding]:
    """Retail of a product begins with its launch; what falls before is lost."""
    launched = first_launch(records)
    for row in records.tables.demand:
        day = launched.get(row.product)
        if row.kind is not DemandKind.RETAIL or day is None or lies_beyond(records, row):
            continue
        if records.day(row.day) < day:
            yield warning(
                "demand",
                row,
                "day",
                found=f"retail of {quoted(row.product)} from {on(row.day)} on",
                expected=f"its launch on {on(date_of(records.today, day))} or later; "
                "what falls before is lost",
                action="begin the row on the day of the launch",
            )
