"""What is under way: its facts, and whether the workshop can hold it."""

from collections.abc import Iterator

from planner.checks.faults import error, on, quoted, warning
from planner.checks.packing import BatchUnderWay, batches_under_way
from planner.days import date_of
from planner.findings import Finding
from planner.records.lookup import Records
from planner.tables.rows import InProgressRow


def check_under_way_fields(records: Records) -> Iterator[Finding]:
    """A row is a batch of a product with its bars, or a lot of a preparation with its quantity."""
    for row in records.tables.in_progress:
        if (row.product is None) == (row.preparation is None):
            yield error(
                "in_progress",
                row,
                "product",
                found="a product and a preparation" if row.product else "neither is named",
                expected="a product, or else a preparation",
                action="name the one that is under way, and leave the other blank",
            )
        elif row.product is not None:
            yield from _wrong_amount(row, "bars", "quantity", "the bars that were poured")
        else:
            yield from _wrong_amount(row, "quantity", "bars", "the amount that can be used")
            if row.unmoulded is not None:
                yield warning(
                    "in_progress",
                    row,
                    "unmoulded",
                    found=f"{on(row.unmoulded)} for a preparation",
                    expected="blank: only bars come out of moulds",
                    action="leave the cell blank",
                )


def _wrong_amount(
    row: InProgressRow, wanted: str, unwanted: str, meaning: str
) -> Iterator[Finding]:
    if getattr(row, wanted) is None:
        yield error(
            "in_progress",
            row,
            wanted,
            found="blank",
            expected=meaning,
            action=f"write it in the column {wanted}",
        )
    if getattr(row, unwanted) is not None:
        yield error(
            "in_progress",
            row,
            unwanted,
            found=f"{getattr(row, unwanted)}",
            expected=f"blank: {wanted} says how much there is",
            action="leave the cell blank",
        )


def check_under_way_dates(records: Records) -> Iterator[Finding]:
    """What is under way was poured by today, and unmoulded between then and today."""
    for row in records.tables.in_progress:
        if row.poured > records.today:
            yield error(
                "in_progress",
                row,
                "poured",
                found=f"{on(row.poured)}, which is still to come",
                expected=f"{on(records.today)} or earlier",
                action="correct the date; remove the row if it is not poured yet",
            )
        elif row.poured == records.today:
            yield warning(
                "in_progress",
                row,
                "poured",
                found="poured on the plan's first day",
                expected="a day before it: the minutes that it took today are planned again",
                action="plan with tomorrow as the first day",
            )
        if row.unmoulded is None:
            continue
        if row.unmoulded < row.poured:
            yield error(
                "in_progress",
                row,
                "unmoulded",
                found=f"{on(row.unmoulded)}, before it was poured on {on(row.poured)}",
                expected="the day of pouring or a later one",
                action="exchange the two dates, or correct one",
            )
        elif row.unmoulded > records.today:
            yield error(
                "in_progress",
                row,
                "unmoulded",
                found=f"{on(row.unmoulded)}, which is still to come",
                expected="blank while it sits in its moulds",
                action="leave the cell blank until it is unmoulded",
            )


def check_under_way_life(records: Records) -> Iterator[Finding]:
    """What is under way has not passed its shelf life."""
    lives: dict[str, int | None] = {
        row.preparation: row.shelf_life_days for row in records.tables.preparations
    }
    lives |= {row.product: row.shelf_life_days for row in records.tables.products}
    for row in records.tables.in_progress:
        life = lives.get(row.product or row.preparation or "")
        if life is not None and records.day(row.poured) + life < 0:
            yield warning(
                "in_progress",
                row,
                "poured",
                found=f"{on(row.poured)}; it keeps {life} days",
                expected="a lot that can still be used",
                action="remove it if it is thrown away, or correct the date",
            )


# What they hold


def check_equipment_under_way(records: Records) -> Iterator[Finding]:
    """Batches under way hold no more moulds, places and trays than there are.

    Each is taken as packed on the first day on which it alone could be, so trays that are short
    here are short in every plan.
    """
    batches = batches_under_way(records)
    moulds = {name: row.count for name, row in records.moulds.items()}
    places = {name: row.moulds for name, row in records.places.items()}
    trays = {name: row.count for name, row in records.trays.items()}
    for name, there in moulds.items():
        held = [(one, one.needs.moulds) for one in batches if one.product.mould == name]
        yield from _overfull(records, held, there, f"moulds {quoted(name)}", in_mould=True)
    for name, there in places.items():
        held = [(one, one.needs.moulds) for one in batches if one.product.place == name]
        yield from _overfull(records, held, there, f"moulds on {quoted(name)}", in_mould=True)
    for name, there in trays.items():
        held = [(one, one.needs.trays) for one in batches if one.product.tray == name]
        yield from _overfull(records, held, there, f"trays {quoted(name)}", in_mould=False)


def _overfull(
    records: Records,
    held: list[tuple[BatchUnderWay, int]],
    there: int,
    what: str,
    *,
    in_mould: bool,
) -> Iterator[Finding]:
    """The first day on which the batches hold more than there is."""
    for day in range(records.days):
        holding = [
            (batch, number)
            for batch, number in held
            if (batch.in_mould(day) if in_mould else batch.on_trays(day))
        ]
        total = sum(number for _, number in holding)
        if total > there:
            last, _ = holding[-1]
            yield error(
                "in_progress",
                last.row,
                "unmoulded" if in_mould else "bars",
                found=f"{total} {what} held by batches under way on "
                f"{on(date_of(records.today, day))}",
                expected=f"at most {there}",
                action="correct how many there are; remove what is packed, and write the day "
                "on which a batch was unmoulded",
            )
            return


def check_unmoulding_under_way(records: Records) -> Iterator[Finding]:
    """The batches that leave their moulds on a day can be unmoulded within its minutes."""
    batches = batches_under_way(records)
    for day, minutes in enumerate(records.calendar.minutes):
        leaving = [batch for batch in batches if batch.is_unmoulded_on(day)]
        needed = sum(batch.needs.unmould_minutes for batch in leaving)
        if needed > minutes:
            yield error(
                "in_progress",
                leaving[-1].row,
                "unmoulded",
                found=f"{needed} min to unmould {len(leaving)} batches on "
                f"{on(date_of(records.today, day))}",
                expected=f"at most the {minutes} min of that day",
                action="write the day on which a batch was unmoulded, or add to extra_days",
            )
