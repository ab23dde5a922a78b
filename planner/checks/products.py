"""Products and preparations: times, prices and percentages that cannot work."""

from collections.abc import Iterator
from decimal import Decimal

from planner.checks.batches import vessel_minutes_faults
from planner.checks.faults import count, error, quoted, warning
from planner.findings import Finding
from planner.records.lookup import Records
from planner.records.supply import plain
from planner.tables.rows import Row
from planner.units import to_smallest
from planner.workshop import Unit

SMALLEST_PERCENT = Decimal("0.2")
"""Below this a percentage of lost mass or bars looks like a part of one."""


def check_cure_fits_plan(records: Records) -> Iterator[Finding]:
    """A batch poured on the first day can be packed within the plan: set + cure < horizon."""
    for row in records.tables.products:
        needed = row.set_days + row.cure_days
        if needed >= records.days:
            yield error(
                "products",
                row,
                "cure_days",
                found=f"{count(row.set_days, 'day')} in the mould and "
                f"{count(row.cure_days, 'day')} of cure",
                expected=f"fewer than {records.days} days together: the plan ends before",
                action="correct the days, or lengthen horizon_days in workshop",
            )


def check_shelf_life_of_products(records: Records) -> Iterator[Finding]:
    """A bar can be sold for at least one day after it is packed."""
    for row in records.tables.products:
        needed = row.set_days + row.cure_days + 1
        if row.shelf_life_days is not None and row.shelf_life_days < needed:
            yield error(
                "products",
                row,
                "shelf_life_days",
                found=f"{count(row.shelf_life_days, 'day')} from pouring, of which "
                f"{needed} are over before it can leave",
                expected=f"{needed} or more",
                action="correct the shelf life, set_days or cure_days; blank means for ever",
            )


def check_prices(records: Records) -> Iterator[Finding]:
    """A stockist pays no more than a customer, and a bar costs something."""
    for row in records.tables.products:
        if row.wholesale_price is not None and row.wholesale_price > row.price:
            yield warning(
                "products",
                row,
                "wholesale_price",
                found=f"{plain(row.wholesale_price)}, above the retail price {plain(row.price)}",
                expected="at most the retail price",
                action="exchange the two, or correct one",
            )
        if row.price == 0:
            yield warning(
                "products",
                row,
                "price",
                found="0",
                expected="a price: lost sales are counted in money, and none is lost here",
                action="write the retail price of one bar",
            )


def check_importance(records: Records) -> Iterator[Finding]:
    """What weighs nothing is given up first."""
    weights: list[tuple[str, Row, Decimal]] = [
        *(("products", row, row.importance) for row in records.tables.products),
        *(("demand", row, row.importance) for row in records.tables.demand),
    ]
    for table, row, weight in weights:
        if weight == 0:
            yield warning(
                table,
                row,
                "importance",
                found="0",
                expected="above 0: what has no weight is never planned for",
                action="write 1, or remove the row if it is not wanted",
            )


def check_percentages(records: Records) -> Iterator[Finding]:
    """A loss of 0.02 percent is usually one of 2 percent, a yield of 0.9 one of 90."""
    for row in records.tables.products:
        for column in ("loss_percent", "reject_percent"):
            percent: Decimal = getattr(row, column)
            if 0 < percent < SMALLEST_PERCENT:
                yield _not_a_percentage("products", row, column, percent)
    for made in records.tables.preparations:
        if made.yield_percent <= 1:
            yield _not_a_percentage("preparations", made, "yield_percent", made.yield_percent)


def _not_a_percentage(table: str, row: Row, column: str, percent: Decimal) -> Finding:
    return warning(
        table,
        row,
        column,
        found=f"{plain(percent)} percent",
        expected="hundredths: 2 for two in a hundred",
        action=f"write {plain(percent * 100)} if {plain(percent)} is a part of one",
    )


# Preparations


def check_preparation_life(records: Records) -> Iterator[Finding]:
    """A preparation is ready before it is used up, and before the plan ends."""
    for row in records.tables.preparations:
        life = row.shelf_life_days
        if life is not None and life < row.ready_days:
            yield error(
                "preparations",
                row,
                "shelf_life_days",
                found=f"{count(life, 'day')} of shelf life and {row.ready_days} to get ready",
                expected=f"{row.ready_days} or more: both count from its making",
                action="correct one of the two; blank means for ever",
            )
        elif row.ready_days >= records.days:
            yield warning(
                "preparations",
                row,
                "ready_days",
                found=count(row.ready_days, "day"),
                expected=f"fewer than {records.days}: no lot of this plan gets ready within it",
                action="correct ready_days, or lengthen horizon_days in workshop",
            )


def check_preparation_vessels(records: Records) -> Iterator[Finding]:
    """A lot of a preparation fits into its vessel and into a day of it."""
    for row in records.tables.preparations:
        if row.vessel is None:
            if row.vessel_minutes:
                yield warning(
                    "preparations",
                    row,
                    "vessel_minutes",
                    found=f"{row.vessel_minutes} min, but no vessel",
                    expected="the vessel that it takes; without one the minutes do not count",
                    action="write the vessel, or leave both blank",
                )
            continue
        yield from vessel_minutes_faults(
            records, "preparations", row, row.vessel, row.vessel_minutes
        )
        vessel = records.vessels.get(row.vessel)
        density = records.density_of(row.preparation)
        if vessel is None or row.unit is Unit.PIECE:
            continue
        if row.unit is Unit.MILLILITRE and density is None:
            continue
        mass = to_smallest(row.batch_size, row.unit.value, Unit.GRAM, density)
        if mass > to_smallest(vessel.capacity_g, "g", Unit.GRAM):
            yield error(
                "preparations",
                row,
                "batch_size",
                found=f"{plain(row.batch_size)} {row.unit.value} put together",
                expected=f"at most {plain(vessel.capacity_g)} g, what one "
                f"{quoted(row.vessel)} takes",
                action="make smaller lots, or correct capacity_g in vessels",
            )


def check_hands_for_preparations(records: Records) -> Iterator[Finding]:
    """A lot of a preparation can be made in some day of the plan."""
    most = max(records.calendar.minutes, default=0)
    for row in records.tables.preparations:
        if row.make_minutes > most > 0:
            yield error(
                "preparations",
                row,
                "make_minutes",
                found=f"{row.make_minutes} min for a lot",
                expected=f"at most {most} min, the longest working day of the plan",
                action="correct make_minutes or the hands",
            )
