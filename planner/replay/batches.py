"""Reads a plan's batches: names them, works out what follows, and leaves out what cannot be.

A batch of an unknown product, of no bars or poured outside the plan is a broken rule and is not
carried out. Batches under way are carried out as the workshop records them, whatever the plan says
of them; the plan only says when they are packed, or that they stay on their trays.
"""

from collections.abc import Iterator
from functools import cache

from planner.account import BatchFacts, Rule
from planner.plan import Batch, Plan
from planner.replay.calendar import in_plan
from planner.replay.faults import Faults
from planner.replay.naming import LotNames
from planner.replay.quantities import good_bars, how_many, parts_taken, poured_mass, sound_bars
from planner.workshop import Underway, Workshop


def read_batches(
    workshop: Workshop, plan: Plan, names: LotNames, faults: Faults
) -> tuple[BatchFacts, ...]:
    """The batches that are carried out, in the plan's order: pour day, product, bars."""
    reader = _Reader(workshop, faults)
    facts = [*reader.underway(plan), *reader.planned(plan, names)]
    return tuple(sorted(facts, key=lambda batch: _sequence(workshop, batch)))


def _sequence(workshop: Workshop, batch: Batch | BatchFacts) -> tuple[int, str, int, int, int, str]:
    """Sort key; a batch without a pack day comes after those that have one."""
    pack = workshop.days if batch.pack is None else batch.pack
    return (batch.pour, batch.product, batch.bars, batch.unmould, pack, batch.lot)


class _Reader:
    """Turns decisions into facts for one workshop."""

    def __init__(self, workshop: Workshop, faults: Faults) -> None:
        self._workshop = workshop
        self._faults = faults
        self._parts = cache(self._parts_of)

    def _parts_of(self, product: str, bars: int) -> dict[str, int]:
        record = self._workshop.products[product]
        return parts_taken(self._workshop, record.formula, poured_mass(record, bars))

    def planned(self, plan: Plan, names: LotNames) -> Iterator[BatchFacts]:
        """Batches to be poured within the plan."""
        wanted = (batch for batch in plan.batches if not batch.in_progress)
        for batch in sorted(wanted, key=lambda batch: _sequence(self._workshop, batch)):
            if self._can_be_poured(batch):
                yield self._facts(batch, names.fresh(batch.product, batch.pour))

    def _can_be_poured(self, batch: Batch) -> bool:
        if batch.product not in self._workshop.products:
            message = f"a batch of {batch.bars} bars is planned, but there is no such product"
            self._faults.add(batch.pour, Rule.UNKNOWN, batch.product, message)
        elif not in_plan(self._workshop, batch.pour):
            message = f"a batch of {batch.bars} bars is poured on a day outside the plan"
            self._faults.add(batch.pour, Rule.WORKING_DAY, batch.product, message)
        elif batch.bars < 1:
            message = f"a batch of {batch.bars} bars cannot be poured"
            self._faults.add(batch.pour, Rule.BATCH_SIZE, batch.product, message)
        else:
            return True
        return False

    def underway(self, plan: Plan) -> Iterator[BatchFacts]:
        """Batches poured before the plan, each with the pack day that the plan gives it."""
        said: dict[str, Batch] = {}
        for batch in plan.batches:
            if batch.in_progress and batch.lot in said:
                self._odd(batch, "stands twice in the plan")
            elif batch.in_progress:
                said[batch.lot] = batch
        for record in self._workshop.underway:
            yield self._continued(record, said.pop(record.lot, None))
        for batch in said.values():
            self._odd(batch, "is not one of the batches under way")

    def _continued(self, record: Underway, batch: Batch | None) -> BatchFacts:
        true = Batch(
            pour=record.pour,
            product=record.product,
            bars=record.bars,
            unmould=record.unmould,
            pack=batch.pack if batch else None,
            lot=record.lot,
        )
        if batch is None:
            self._odd(true, "is under way, but the plan leaves it out")
        elif batch != true:
            self._odd(batch, "is not as it was poured: product, bars, pour or unmould day differ")
        return self._facts(true, true.lot)

    def _odd(self, batch: Batch, message: str) -> None:
        self._faults.add(0, Rule.UNDERWAY, batch.lot, f"the batch {message}")

    def _facts(self, batch: Batch, lot: str) -> BatchFacts:
        product = self._workshop.products[batch.product]
        mould = self._workshop.moulds[product.mould]
        return BatchFacts(
            pour=batch.pour,
            product=batch.product,
            bars=batch.bars,
            unmould=batch.unmould,
            pack=batch.pack,
            lot=lot,
            in_progress=batch.in_progress,
            mass=poured_mass(product, batch.bars),
            sound=sound_bars(product, batch.bars),
            good=good_bars(product, batch.bars),
            moulds=how_many(batch.bars, mould.cavities),
            trays=how_many(batch.bars, product.bars_per_tray),
            parts=self._parts(batch.product, batch.bars),
        )
