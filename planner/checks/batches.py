"""Whether a batch of each size can be made with the workshop's equipment and hands."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from planner.checks.faults import count, error, quoted, warning
from planner.findings import Finding
from planner.recipes import Recipe
from planner.records.lookup import Records
from planner.records.making import batch_of
from planner.records.supply import plain
from planner.tables.rows import BatchSizeRow, ProductRow, Row
from planner.units import to_smallest
from planner.workshop import Unit


@dataclass(frozen=True, kw_only=True)
class Sized:
    """One batch size of a product, and what such a batch takes."""

    row: BatchSizeRow
    product: ProductRow
    batch: Recipe

    def fault(self, *, found: str, expected: str, action: str) -> Finding:
        """An error at this batch size."""
        return error(
            "batch_sizes",
            self.row,
            "bars",
            found=f"a batch of {self.row.bars} bars of {quoted(self.row.product)} {found}",
            expected=expected,
            action=action,
        )


def _sizes(records: Records) -> Iterator[Sized]:
    for row in records.tables.batch_sizes:
        product = records.products.get(row.product)
        batch = batch_of(records, product, row.bars) if product is not None else None
        if product is not None and batch is not None:
            yield Sized(row=row, product=product, batch=batch)


def check_batch_sizes_given(records: Records) -> Iterator[Finding]:
    """A product has at least one batch size."""
    for row in records.tables.products:
        if row.product not in records.sizes:
            yield error(
                "products",
                row,
                "product",
                found=f"{quoted(row.product)} without a batch size",
                expected="at least one size that is poured, in bars",
                action=f"add a row with {quoted(row.product)} to batch_sizes",
            )


def check_vessel_capacity(records: Records) -> Iterator[Finding]:
    """A batch fits into one vessel: bars x pour_g / (1 - loss) <= capacity_g."""
    for sized in _sizes(records):
        vessel = records.vessels.get(sized.product.vessel)
        if vessel is None:
            continue
        capacity = to_smallest(vessel.capacity_g, "g", Unit.GRAM)
        if sized.batch.mass > capacity:
            yield sized.fault(
                found=f"weighs {_grams(sized.batch.mass)}",
                expected=f"at most {_grams(capacity)}, what one {quoted(vessel.vessel)} takes",
                action="pour fewer bars, or correct pour_g, loss_percent or capacity_g",
            )


def check_vessels_there(records: Records) -> Iterator[Finding]:
    """There is a vessel of the kind that a product or preparation is made in."""
    users = [(row.vessel, quoted(row.product)) for row in records.tables.products]
    users += [
        (row.vessel, quoted(row.preparation)) for row in records.tables.preparations if row.vessel
    ]
    for vessel in records.tables.vessels:
        needed_for = [user for name, user in users if name == vessel.vessel]
        if vessel.count == 0 and needed_for:
            yield error(
                "vessels",
                vessel,
                "count",
                found=f"no {quoted(vessel.vessel)}, which {needed_for[0]} is made in",
                expected="1 or more",
                action="write how many there are",
            )


def check_vessel_minutes(records: Records) -> Iterator[Finding]:
    """A batch's vessel minutes fit into a day of its kind of vessel, better of one vessel."""
    for row in records.tables.products:
        yield from vessel_minutes_faults(records, "products", row, row.vessel, row.vessel_minutes)


def vessel_minutes_faults(
    records: Records, table: str, row: Row, vessel_name: str, minutes: int
) -> Iterator[Finding]:
    """Vessel minutes that no day, or no single vessel, can hold."""
    vessel = records.vessels.get(vessel_name)
    if vessel is None or vessel.count == 0:
        return
    whole_day = vessel.count * vessel.minutes_per_day
    if minutes > whole_day:
        yield error(
            table,
            row,
            "vessel_minutes",
            found=f"{minutes} min in {quoted(vessel_name)}",
            expected=f"at most {whole_day} min, a day of all that there are",
            action="correct vessel_minutes, or minutes_per_day in vessels",
        )
    elif minutes > vessel.minutes_per_day:
        yield warning(
            table,
            row,
            "vessel_minutes",
            found=f"{minutes} min in {quoted(vessel_name)}",
            expected=f"at most {vessel.minutes_per_day} min, a day of one vessel; "
            "all are counted together",
            action="correct vessel_minutes, or minutes_per_day in vessels",
        )


def check_moulds(records: Records) -> Iterator[Finding]:
    """A batch needs no more moulds than can be filled in a day.

    moulds <= count if they are held over night, <= count x turns_per_day if unmoulded that day.
    """
    for sized in _sizes(records):
        mould = records.moulds[sized.product.mould]
        most = _fillings(mould.count, mould.turns_per_day, sized.product)
        if sized.batch.moulds > most:
            yield sized.fault(
                found=f"needs {count(sized.batch.moulds, 'mould')} of {mould.cavities} cavities",
                expected=f"at most {most}{_turns(mould.turns_per_day, sized.product)} "
                f"of {quoted(mould.mould)}",
                action="pour fewer bars, or correct count or cavities in moulds",
            )


def check_places(records: Records) -> Iterator[Finding]:
    """A batch needs no more moulds than its place takes."""
    for sized in _sizes(records):
        place = records.places.get(sized.product.place or "")
        if place is None:
            continue
        most = _fillings(place.moulds, place.turns_per_day, sized.product)
        if sized.batch.moulds > most:
            yield sized.fault(
                found=f"needs room for {count(sized.batch.moulds, 'mould')}",
                expected=f"at most {most}{_turns(place.turns_per_day, sized.product)} "
                f"on {quoted(place.place)}",
                action="pour fewer bars, or correct moulds in places",
            )


def _fillings(there: int, turns_per_day: int, product: ProductRow) -> int:
    return there if product.set_days else there * turns_per_day


def _turns(turns_per_day: int, product: ProductRow) -> str:
    return "" if product.set_days or turns_per_day == 1 else f" (in {turns_per_day} turns)"


def check_trays(records: Records) -> Iterator[Finding]:
    """A batch that cures over night needs no more trays than there are."""
    for sized in _sizes(records):
        tray = records.trays.get(sized.product.tray)
        if tray is None or sized.product.cure_days == 0:
            continue
        if sized.batch.trays > tray.count:
            yield sized.fault(
                found=f"needs {count(sized.batch.trays, 'tray')}",
                expected=f"at most {tray.count} of {quoted(tray.tray)}",
                action="pour fewer bars, or correct bars_per_tray or count in trays",
            )


def check_hands_for_batches(records: Records) -> Iterator[Finding]:
    """Making, unmoulding and packing a batch each fit into some day of the plan.

    A product that is unmoulded on its pour day needs both on one day.
    """
    most = max(records.calendar.minutes, default=0)
    for sized in _sizes(records):
        batch = sized.batch
        steps = {"making": batch.make_minutes, "unmoulding": batch.unmould_minutes}
        if sized.product.set_days == 0:
            steps = {"making and unmoulding": batch.make_minutes + batch.unmould_minutes}
        for step, minutes in {**steps, "packing": batch.pack_minutes}.items():
            if minutes > most > 0:
                yield sized.fault(
                    found=f"takes {minutes} min for {step}",
                    expected=f"at most {most} min, the longest working day of the plan",
                    action="pour fewer bars, or correct the product's minutes or the hands",
                )


def check_good_bars(records: Records) -> Iterator[Finding]:
    """Something is left to sell of a batch after rejects and kept bars."""
    for sized in _sizes(records):
        if sized.batch.good < 1:
            yield sized.fault(
                found=f"leaves {sized.batch.sound} sound bars, "
                f"of which {sized.product.keep_bars} are kept",
                expected="at least 1 bar to sell",
                action="pour more bars, or correct reject_percent or keep_bars",
            )


def _grams(milligrams: int) -> str:
    return f"{plain(Fraction(milligrams, 1000))} g"
