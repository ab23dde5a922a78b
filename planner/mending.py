"""What of a stored plan still holds on the tables as they stand, though the whole of it does not.

A day may have been closed since, a lot may have spoiled, an offer may have gone. The plan is put
together again piece by piece, the frozen days first; what breaks a day rule is left out. A batch
keeps its pour day; it is unmoulded and packed later where its days have moved.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace

from planner.account import Rule
from planner.plan import Batch, Plan, PreparationLot, Purchase, continued, in_plan_order
from planner.replay import replay
from planner.workshop import Workshop

Piece = Batch | PreparationLot | Purchase

DAYS_LATER = 4
"""Working days after its own on which packing is tried."""

MOST_REPLAYS = 150
"""Enough for some twenty pieces that fail; pieces left untried after so many are left out."""


def mended(
    workshop: Workshop, stored: Plan, go_on: Callable[[], bool] = lambda: True
) -> Plan | None:
    """The pieces of a stored plan that keep every day rule together, without promises.

    Batches under way that cannot be packed stay on their trays. None if not even they fit. Once
    `go_on` says no, pieces left untried are left out.
    """
    return _Mending(workshop, go_on).run(stored)


class _Mending:
    """Puts one plan together; a group of pieces that breaks a rule is tried again in halves."""

    def __init__(self, workshop: Workshop, go_on: Callable[[], bool]) -> None:
        self.workshop = workshop
        self.go_on = go_on
        self.replays = 0

    def run(self, stored: Plan) -> Plan | None:
        """What is bought first, then what leaves trays, then what takes hands, moulds and trays."""
        plan = self._begun(stored)
        if plan is None:
            return None
        end = self.workshop.costs.frozen_days
        planned = [self._timed(batch) for batch in stored.batches if not batch.in_progress]
        batches = [batch for batch in planned if batch is not None]
        for group in (
            [lot for lot in stored.preparations if lot.make < end],
            [batch for batch in batches if batch.pour < end],
            [lot for lot in stored.preparations if lot.make >= end],
            [batch for batch in batches if batch.pour >= end],
        ):
            plan = self._with(plan, group)
        return plan

    def _begun(self, stored: Plan) -> Plan | None:
        """What is ordered, and the batches under way, packed as far as can be."""
        end = self.workshop.costs.frozen_days
        left = [continued(batch, None) for batch in self.workshop.underway]
        packed = self._packed(left, stored)
        plan = Plan(batches=tuple(sorted(left, key=in_plan_order)))
        whole = _joined(plan, [*stored.purchases, *packed])
        if self._holds(whole):
            return whole
        if not self._holds(plan):
            return None
        plan = self._with(plan, [order for order in stored.purchases if order.order < end])
        plan = self._with(plan, [order for order in stored.purchases if order.order >= end])
        return self._with(plan, packed)

    def _packed(self, left: Sequence[Batch], stored: Plan) -> list[Batch]:
        """The batches under way, packed when the stored plan says, or else as soon as can be."""
        packs = {batch.lot: batch.pack for batch in stored.batches if batch.in_progress}
        timed = [self._timed(replace(batch, pack=packs.get(batch.lot) or 0)) for batch in left]
        return [batch for batch in timed if batch is not None]

    def _with(self, plan: Plan, group: Sequence[Piece]) -> Plan:
        """The plan with as many pieces of a group as hold."""
        if not group or self.replays >= MOST_REPLAYS or not self.go_on():
            return plan
        larger = _joined(plan, group)
        if self._holds(larger):
            return larger
        if len(group) == 1:
            return self._packed_later(plan, group[0])
        middle = len(group) // 2
        return self._with(self._with(plan, group[:middle]), group[middle:])

    def _packed_later(self, plan: Plan, piece: Piece) -> Plan:
        """The plan with a batch on one of the next days on which it can be packed, if any does."""
        if isinstance(piece, Batch) and piece.pack is not None:
            days = [day for day in self.workshop.working_days if day > piece.pack]
            for day in days[:DAYS_LATER]:
                larger = _joined(plan, [replace(piece, pack=day)])
                if self._holds(larger):
                    return larger
        return plan

    def _timed(self, batch: Batch) -> Batch | None:
        """A batch with the days of unmoulding and packing that its pour day leads to now."""
        product = self.workshop.products.get(batch.product)
        if product is None:
            return None
        unmould: int | None = batch.unmould if batch.in_progress else batch.pour
        if product.set_days and not batch.in_progress:
            unmould = self.workshop.first_working_day(batch.pour + product.set_days)
        if unmould is None or batch.pack is None:
            return None
        cured = max(batch.pack, unmould + product.cure_days)
        pack = self.workshop.first_working_day(cured)
        return None if pack is None else replace(batch, unmould=unmould, pack=pack)

    def _holds(self, plan: Plan) -> bool:
        self.replays += 1
        broken = replay(self.workshop, plan).broken
        return all(one.rule is Rule.PROMISE for one in broken)


def _joined(plan: Plan, pieces: Sequence[Piece]) -> Plan:
    """A plan with more pieces; a batch under way takes the place of itself."""
    batches = [piece for piece in pieces if isinstance(piece, Batch)]
    lots = [batch.lot for batch in batches if batch.in_progress]
    kept = [batch for batch in plan.batches if batch.lot not in lots]
    made = [piece for piece in pieces if isinstance(piece, PreparationLot)]
    bought = [piece for piece in pieces if isinstance(piece, Purchase)]
    return replace(
        plan,
        batches=tuple(sorted([*kept, *batches], key=in_plan_order)),
        preparations=tuple(sorted([*plan.preparations, *made])),
        purchases=tuple(sorted([*plan.purchases, *bought])),
    )
