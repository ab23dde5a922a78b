"""Fewer batches where the monthly budgets cannot pay for the materials of all."""

from collections.abc import Sequence
from dataclasses import dataclass

from planner.draft.buying import Buyer
from planner.draft.choice import Choice, drop_idle_lots, judged
from planner.draft.placing import Placed
from planner.draft.schedule import Schedule, Start
from planner.draft.uses import material_uses
from planner.draft.writing import all_batches, all_lots
from planner.plan import Purchase
from planner.workshop import Workshop

SECOND_TRIES = 8
"""Batches beyond the first that cannot be paid for that are tried one by one."""


@dataclass(frozen=True, kw_only=True)
class Affordable:
    """A schedule whose purchases keep the budgets, and these purchases."""

    choice: Choice
    purchases: tuple[Purchase, ...]


def affordable(workshop: Workshop, start: Start, choice: Choice) -> Affordable | None:
    """The batches that spare most loss for the money, as many as the budgets can pay for.

    None if not even the batches under way can be packed within the budgets.
    """
    purse = _Purse(workshop, start, choice)
    ranked = sorted(choice.schedule.placed, key=lambda placed: -_value_for_money(workshop, placed))
    kept = _most_that_fit(purse, ranked)
    fitting = purse.pays_for(ranked[:kept])
    chosen = ranked[:kept]
    for placed in ranked[kept + 1 : kept + 1 + SECOND_TRIES]:
        larger = purse.pays_for([*chosen, placed])
        if larger is not None:
            fitting = larger
            chosen.append(placed)
    return fitting


def _value_for_money(workshop: Workshop, placed: Placed) -> float:
    parts = {**placed.job.recipe.packaging, **placed.job.recipe.parts}
    cost = sum(amount * workshop.values.get(item, 0) for item, amount in parts.items())
    return placed.value / max(1, cost)


class _Purse:
    """Tells which batches of a schedule the budgets can pay for."""

    def __init__(self, workshop: Workshop, start: Start, choice: Choice) -> None:
        self.workshop = workshop
        self.start = start
        self.whole = choice.schedule
        self.buyer = Buyer(workshop)

    def pays_for(self, placed: Sequence[Placed]) -> Affordable | None:
        """The schedule with only these batches, and its purchases; None if they cost too much."""
        schedule = self._only(placed)
        batches, lots = all_batches(self.start, schedule), all_lots(self.start, schedule)
        uses = material_uses(self.workshop, batches, lots)
        purchases = self.buyer.within_budgets(uses)
        if purchases is None:
            return None
        return Affordable(choice=judged(self.start, schedule), purchases=purchases)

    def _only(self, placed: Sequence[Placed]) -> Schedule:
        bench = self.whole.bench.copy()
        for batch in self.whole.placed:
            if batch not in placed:
                bench.undo(batch.task)
        kept = tuple(batch for batch in self.whole.placed if batch in placed)
        schedule = Schedule(placed=kept, bench=bench)
        drop_idle_lots(schedule)
        return schedule


def _most_that_fit(purse: _Purse, ranked: list[Placed]) -> int:
    """How many of the ranked batches can be paid for, found by halving."""
    fits, fails = 0, len(ranked) + 1
    while fails - fits > 1:
        middle = (fits + fails) // 2
        if purse.pays_for(ranked[:middle]) is None:
            fails = middle
        else:
            fits = middle
    return fits
