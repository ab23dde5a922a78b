"""Batches under way, and whether they can be packed within the plan: cured, by hands, in boxes.

One that cannot be packed stays on its trays to the plan's end. That is a plan all the same, so
these findings are warnings.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import ceil

from planner.checks.faults import on, quoted, warning
from planner.days import date_of
from planner.findings import Finding
from planner.recipes import Recipe, sound_bars
from planner.records.lookup import Records
from planner.records.making import batch_of, product_of
from planner.records.supply import lot_of, offers_of, plain, receipt_of, underway_of
from planner.tables.rows import InProgressRow, ProductRow
from planner.tables.values import StockStatus
from planner.units import UnitError
from planner.workshop import Underway


@dataclass(frozen=True, kw_only=True)
class BatchUnderWay:
    """A batch under way with its row, product and needs.

    cured      the first working day on which it is cured; may lie beyond the plan
    packaging  material -> amount that packing it takes, in the smallest unit
    free       the first day on which it could be packed if it were alone, the number of the plan's
               days if there is none: up to the day before it holds its trays in every plan
    """

    row: InProgressRow
    product: ProductRow
    facts: Underway
    needs: Recipe
    packaging: Mapping[str, int]
    cured: int
    free: int

    def in_mould(self, day: int) -> bool:
        """True if it sits in its moulds over the night after a day."""
        return self.facts.in_mould and day < self.facts.unmould

    def on_trays(self, day: int) -> bool:
        """True if it holds its trays on a day in every plan."""
        return self.facts.unmould <= day < self.free

    def is_unmoulded_on(self, day: int) -> bool:
        """True if it leaves its moulds on a day."""
        return self.facts.in_mould and day == self.facts.unmould


@lru_cache(maxsize=4)
def batches_under_way(records: Records) -> tuple[BatchUnderWay, ...]:
    """The batches whose product, mould and bars are known."""
    found = []
    for row in records.tables.in_progress:
        product = records.products.get(row.product or "")
        needs = batch_of(records, product, row.bars) if product and row.bars else None
        if product is None or needs is None:
            continue
        facts = underway_of(records, row, product)
        packaging = _packaging(records, product, facts.bars)
        cured = records.calendar.working.first(max(0, facts.unmould + product.cure_days))
        found.append(
            BatchUnderWay(
                row=row,
                product=product,
                facts=facts,
                needs=needs,
                packaging=packaging,
                cured=cured,
                free=_first_pack_day(records, cured, needs.pack_minutes, packaging),
            )
        )
    return tuple(found)


def _packaging(records: Records, row: ProductRow, bars: int) -> dict[str, int]:
    """Packaging of the sound bars of a batch; materials that are not known are left out."""
    product = product_of(records, row)
    sound = sound_bars(product, bars)
    return {
        use.material: ceil(use.per_bar * sound)
        for use in product.packaging
        if use.material in records.materials
    }


def _first_pack_day(
    records: Records, cured: int, minutes: int, packaging: Mapping[str, int]
) -> int:
    for day in range(cured, records.days):
        there = records.calendar.minutes[day]
        if there > 0 and there >= minutes:
            lots = (_amount_there(records, material, day, day) for material in packaging)
            enough = zip(packaging.values(), lots, strict=True)
            if all(there is None or there >= amount for amount, there in enough):
                return day
    return records.days


def check_packing_under_way(records: Records) -> Iterator[Finding]:
    """A batch under way that is cured within the plan can be packed in one of its days."""
    for batch in batches_under_way(records):
        most = max(records.calendar.minutes[batch.cured :], default=None)
        if most is not None and batch.needs.pack_minutes > most:
            yield warning(
                "in_progress",
                batch.row,
                "bars",
                found=f"{batch.needs.pack_minutes} min to pack lot {quoted(batch.row.lot)}, "
                "which therefore stays on its trays",
                expected=f"at most {most} min, the longest day from "
                f"{on(date_of(records.today, batch.cured))} on",
                action="enter it as two lots, or add to extra_days",
            )


def check_packaging_under_way(records: Records) -> Iterator[Finding]:
    """A batch under way that is cured within the plan can be packed in something.

    What it is packed in is there, on its way, or on offer, beside that of the batches before it.
    """
    last = max((day for day, minutes in enumerate(records.calendar.minutes) if minutes), default=-1)
    needed: dict[str, int] = {}
    begin = records.days
    for batch in batches_under_way(records):
        if batch.cured >= records.days:
            continue
        begin = min(begin, batch.cured)
        for material, amount in batch.packaging.items():
            needed[material] = needed.get(material, 0) + amount
            for wanted, first in ((amount, batch.cured), (needed[material], begin)):
                there = _amount_there(records, material, first, last)
                if there is not None and wanted > there:
                    yield _too_little(records, batch.row, material, wanted, there)
                    break


def _too_little(
    records: Records, row: InProgressRow, material: str, wanted: int, there: int
) -> Finding:
    return warning(
        "in_progress",
        row,
        "product",
        found=f"too little {quoted(material)} to pack lot {quoted(row.lot)}, which therefore "
        f"stays on its trays: {_shown(records, material, wanted)} needed",
        expected=f"{_shown(records, material, there)} is there or on its way, "
        "and no offer of it can be ordered",
        action="add an offer, stock or an open order of it, or correct packaging",
    )


@dataclass(frozen=True, kw_only=True)
class _Supply:
    """An amount (None: as much as is wanted) that can be used on the days from first to last."""

    amount: int | None
    first: int
    last: int | None

    def is_usable(self, first: int, last: int) -> bool:
        """True if it can be used on some day from first to last."""
        return self.first <= last and (self.last is None or self.last >= max(first, self.first))


def _amount_there(records: Records, material: str, first: int, last: int) -> int | None:
    """What of a material can be used on some day from first to last, in its smallest unit.

    None if an offer of it can come by then, or a quantity cannot be read.
    """
    amounts = [one.amount for one in _supplies(records, material) if one.is_usable(first, last)]
    known = [amount for amount in amounts if amount is not None]
    return sum(known) if len(known) == len(amounts) else None


@lru_cache(maxsize=64)
def _supplies(records: Records, material: str) -> tuple[_Supply, ...]:
    """All that there is, or can be, of a material."""
    found = [
        _Supply(
            amount=None,
            first=delivery.usable,
            last=None if offer.shelf_life_days is None else delivery.arrive + offer.shelf_life_days,
        )
        for _, offer in offers_of(records)
        if offer.material == material
        for delivery in offer.deliveries
    ]
    try:
        lots = [lot_of(records, row) for row in records.tables.stock if row.item == material]
        receipts = [
            receipt_of(records, row)
            for row in records.tables.open_orders
            if row.material == material
        ]
    except UnitError:
        return (_Supply(amount=None, first=0, last=None),)
    found += [
        _Supply(amount=lot.amount, first=lot.usable, last=lot.use_by)
        for lot in lots
        if lot.status != StockStatus.BLOCKED.value
    ]
    return (*found, *(_Supply(amount=one.amount, first=one.usable, last=None) for one in receipts))


def _shown(records: Records, item: str, amount: int) -> str:
    unit = records.materials[item].unit
    return f"{plain(Fraction(amount, unit.parts))} {unit.value}"
