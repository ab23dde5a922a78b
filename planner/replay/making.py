"""What the work of a day takes from the shelves and puts there."""

from collections import defaultdict
from collections.abc import Callable, Sequence
from typing import TypeVar

from planner.account import BatchFacts, PreparationFacts
from planner.replay.quantities import packaging_taken
from planner.replay.stockroom import ShelfLot, Source, Stockroom, shelf_lot
from planner.workshop import Workshop

Fact = TypeVar("Fact")


class Making:
    """The work of the plan by day; within a day in the order packing, preparations, pours."""

    def __init__(
        self,
        workshop: Workshop,
        stockroom: Stockroom,
        batches: Sequence[BatchFacts],
        preparations: Sequence[PreparationFacts],
    ) -> None:
        self._workshop = workshop
        self._stockroom = stockroom
        planned = [batch for batch in batches if not batch.in_progress]
        self._poured = _by_day(planned, lambda batch: batch.pour)
        self._packed = _by_day(batches, lambda batch: batch.pack)
        self._prepared = _by_day(preparations, lambda lot: lot.make)

    def pack(self, day: int) -> None:
        """Packaging is used; the good bars can leave from the next day on."""
        for batch in self._packed.get(day, ()):
            product = self._workshop.products[batch.product]
            for material, amount in packaging_taken(product.packaging, batch.sound).items():
                self._stockroom.take(day, material, amount, batch.lot)
            self._stockroom.expect(batch.product, packed_lot(self._workshop, batch, day))

    def prepare(self, day: int) -> None:
        """Parts are used in the order of the preparations' levels.

        What needs no steeping is there at once for the preparations after it, and for the pours.
        """
        for lot in self._prepared.get(day, ()):
            self._take_parts(day, lot)
            made = shelf_lot(lot.lot, lot.amount, lot.ready, lot.use_by, Source.PLAN)
            if lot.ready <= day:
                self._stockroom.put(day, lot.preparation, made)
            else:
                self._stockroom.expect(lot.preparation, made)

    def pour(self, day: int) -> None:
        """Parts are used by product and size of the day's batches."""
        for batch in self._poured.get(day, ()):
            self._take_parts(day, batch)

    def _take_parts(self, day: int, use: BatchFacts | PreparationFacts) -> None:
        for item, amount in use.parts.items():
            self._stockroom.take(day, item, amount, use.lot)


def packed_lot(workshop: Workshop, batch: BatchFacts, pack: int) -> ShelfLot:
    """The good bars of a batch packed on day `pack`."""
    life = workshop.products[batch.product].shelf_life_days
    use_by = None if life is None else batch.pour + life
    return shelf_lot(batch.lot, batch.good, pack + 1, use_by, Source.PLAN)


def _by_day(facts: Sequence[Fact], day_of: Callable[[Fact], int | None]) -> dict[int, list[Fact]]:
    """Day -> what happens on it, in the given order."""
    days: defaultdict[int, list[Fact]] = defaultdict(list)
    for fact in facts:
        day = day_of(fact)
        if day is not None:
            days[day].append(fact)
    return dict(days)
