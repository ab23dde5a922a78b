"""Which supply serves which use, followed from lot to lot (textbook: pegging).

The replay's account holds one peg for each amount that a batch, a preparation or a demand took
from a lot. Following them answers what a delivery is for, and who misses what does not come.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from planner.account import Account, BatchFacts, Peg


@dataclass(frozen=True, kw_only=True)
class Pegging:
    """The pegs of one account, found by the lot that was taken from."""

    account: Account

    @cached_property
    def taken(self) -> Mapping[tuple[str, str], tuple[Peg, ...]]:
        """(item, lot) -> the pegs that took from it, by day."""
        found: dict[tuple[str, str], list[Peg]] = defaultdict(list)
        for peg in sorted(self.account.pegs):
            found[peg.item, peg.lot].append(peg)
        return {key: tuple(pegs) for key, pegs in found.items()}

    @cached_property
    def batches(self) -> Mapping[str, BatchFacts]:
        """The account's batches by lot."""
        return {batch.lot: batch for batch in self.account.batches}

    @cached_property
    def preparations(self) -> Mapping[str, str]:
        """Lot of a preparation made in the plan -> the preparation."""
        return {made.lot: made.preparation for made in self.account.preparations}

    def uses(self, item: str, lot: str) -> tuple[Peg, ...]:
        """What took from a lot, by day; empty if nothing did."""
        return self.taken.get((item, lot), ())

    def batches_from(self, item: str, lot: str) -> tuple[BatchFacts, ...]:
        """The batches that took from a lot, directly or through preparations; by pour day."""
        return self.batches_of(peg.use for peg in self.uses(item, lot))

    def batches_of(self, uses: Iterable[str]) -> tuple[BatchFacts, ...]:
        """The batches among these uses, and those that took from the preparations among them."""
        found: dict[str, BatchFacts] = {}
        for use in uses:
            if use in self.batches:
                found[use] = self.batches[use]
            elif use in self.preparations:
                for batch in self.batches_from(self.preparations[use], use):
                    found[batch.lot] = batch
        return tuple(sorted(found.values()))

    def demand_of(self, batches: Iterable[BatchFacts]) -> Mapping[str, int]:
        """Demand row -> bars of these batches that it takes, by the day of the first of them."""
        bars: dict[str, int] = {}
        pegs = (peg for batch in batches for peg in self.uses(batch.product, batch.lot))
        for peg in sorted(pegs):
            bars[peg.use] = bars.get(peg.use, 0) + peg.amount
        return bars
