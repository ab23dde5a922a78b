"""Batches more, one after the other, until nothing is missing or none fits any more."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from planner.causes.adding import Pour
from planner.causes.attempts import Attempt, Attempts
from planner.workshop import Product

MOST_BATCHES = 12
"""Batches more that are tried for one shortfall: what is scarce shows long before."""


@dataclass(frozen=True, kw_only=True)
class Want:
    """Bars that are missing, and the first and last day on which they can still be handed over."""

    first: int
    last: int
    bars: int


@dataclass(frozen=True, kw_only=True)
class Wants:
    """The bars of a product that a shortfall lacks.

    `whole` if they must be there together, as for an order: then batches large enough are tried.
    """

    product: Product
    rows: tuple[Want, ...]
    whole: bool

    @property
    def bars(self) -> int:
        """All that is missing."""
        return sum(want.bars for want in self.rows)

    def served_by(self, batch: Pour) -> int:
        """How many of the missing bars a batch gives."""
        return self.bars - self.without(batch).bars

    def without(self, batch: Pour) -> "Wants":
        """What is still missing after a batch; its bars go where they are missing first."""
        left, rows = batch.recipe.good, []
        for want in self.rows:
            served = min(left, want.bars) if self._is_in_time(batch, want) else 0
            left -= served
            rows.append(replace(want, bars=want.bars - served))
        return replace(self, rows=tuple(rows))

    def _is_in_time(self, batch: Pour, want: Want) -> bool:
        life = self.product.shelf_life_days
        keeps = life is None or batch.pour + life >= want.first
        return batch.pack < want.last and keeps


@dataclass(frozen=True, kw_only=True)
class Filled:
    """The batches that fitted, what is still missing, and what could be tried next."""

    batches: tuple[Pour, ...]
    wants: Wants
    attempts: Attempts


def fill(attempts: Attempts, wants: Wants) -> Filled:
    """Pour batches as long as one fits and gives a missing bar, the most useful one first.

    Of batches equally useful the smallest is poured, and on the latest day.
    """
    batches: list[Pour] = []
    while wants.bars and len(batches) < MOST_BATCHES:
        fitting = [attempt.batch for attempt in useful(attempts, wants) if not attempt.blocks]
        if not fitting:
            break
        best = max(
            fitting, key=lambda batch: (wants.served_by(batch), -batch.recipe.bars, batch.pour)
        )
        batches.append(best)
        attempts, wants = attempts.after(best), wants.without(best)
    return Filled(batches=tuple(batches), wants=wants, attempts=attempts)


def useful(attempts: Attempts, wants: Wants) -> Iterator[Attempt]:
    """Every batch that would give a missing bar, whether it fits or not."""
    open_rows = [want for want in wants.rows if want.bars]
    if not open_rows:
        return
    first, last = min(row.first for row in open_rows), max(row.last for row in open_rows)
    for size in _sizes(attempts, wants):
        for attempt in attempts.tried(wants.product, size, first, last):
            if wants.served_by(attempt.batch):
                yield attempt


def _sizes(attempts: Attempts, wants: Wants) -> Sequence[int]:
    """The sizes to try: all that give bars, or the least that gives all that is missing."""
    if not wants.whole:
        return attempts.useful_sizes(wants.product)
    size = attempts.size_for(wants.product, wants.bars)
    return [] if size is None else [size]
