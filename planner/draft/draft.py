"""The door of the list scheduler: a complete plan by rule of thumb, and better ones with time."""

from collections.abc import Callable, Mapping, Sequence
from functools import cached_property

from planner.draft.affording import Affordable, affordable
from planner.draft.bench import Bench
from planner.draft.buying import purchases_for
from planner.draft.choice import Choice, without_idle
from planner.draft.choosing import best_pass
from planner.draft.following import following
from planner.draft.freezing import frozen_start
from planner.draft.improving import improved
from planner.draft.keeping import NOTHING, kept_of
from planner.draft.ranking import rules_of
from planner.draft.schedule import Pass, Start, start_of
from planner.draft.writing import all_batches, all_lots
from planner.frozen import orders_placed
from planner.plan import Batch, Plan, Promise, Purchase, in_plan_order
from planner.workshop import Workshop

REBUILDS = 40
"""Times that a part of the schedule is placed anew for a first plan: a moment's work."""


def draft(workshop: Workshop, rebuilds: int = REBUILDS) -> Plan:
    """A plan with batches, preparations, purchases and promises that keeps every day rule.

    `rebuilds` bounds the tries at a better schedule while something is lost; the same number gives
    the same plan. The plan has no stages: nothing about it is proven.
    """
    scheduler = ListScheduler(workshop)
    scheduler.improve(rebuilds)
    return scheduler.plan()


class ListScheduler:
    """One workshop's list schedule, which grows better the more is tried.

    `packed` fixes on which day each batch under way is packed, None for not at all; without it they
    are packed as soon as can be. Of a frozen plan, which keeps every rule, that stands too, with
    all that it has in the workshop's frozen days.
    """

    def __init__(
        self,
        workshop: Workshop,
        packed: Mapping[str, int | None] | None = None,
        frozen: Plan | None = None,
    ) -> None:
        self.workshop = workshop
        self.first = 0
        if frozen is None or not workshop.costs.frozen_days:
            self.start = start_of(workshop, packed)
        else:
            self.first = workshop.costs.frozen_days
            self.workshop = orders_placed(workshop, frozen)
            packs = {batch.lot: batch.pack for batch in frozen.batches if batch.in_progress}
            self.start = frozen_start(start_of(self.workshop, packs), frozen, self.first)
        self.rules = rules_of(self.start.bench, self.start.jobs, Pass(self.start).needs)
        self.kept = NOTHING

    @cached_property
    def best(self) -> Choice:
        """The best schedule so far: at first that of the best pass, unless one was taken up."""
        return best_pass(self.start, self.rules)

    @property
    def loss(self) -> int:
        """Thousandths of a minor unit that the best schedule loses, purchases left aside."""
        return self.best.sold.loss

    def take_up(self, batches: Sequence[Batch], kept: Sequence[Batch] | None = None) -> None:
        """Go on from a schedule as near to these batches as can be, better than the best or not.

        From then on batches poured as in the kept plan, or as these, count for a little.
        """
        self.best = self.following(batches)
        self.kept = kept_of(batches if kept is None else kept, self.loss)

    def improve(
        self,
        rebuilds: int,
        seed: int = 0,
        clock: Callable[[int], float] = lambda _: 0.0,
    ) -> None:
        """Place parts anew so many times, or until the clock says that the time is over.

        The clock hears the loss of the best, which is a plan at any moment, and tells the share of
        the time that is over.
        """

        def heard(choice: Choice) -> float:
            self.take(choice)
            return clock(self.loss)

        self.take(improved(self.start, self.best, self.rules, rebuilds, seed, heard, self.kept))

    @property
    def prepares(self) -> bool:
        """True if a batch can need a preparation."""
        return any(job.preparations for jobs in self.start.jobs.batches.values() for job in jobs)

    def bench(self, with_lots: bool) -> Bench:
        """What there is before any batch, with the best schedule's lots of preparations or none."""
        if not with_lots:
            return self.start.bench
        bench = self.best.schedule.bench.copy()
        for placed in self.best.schedule.placed:
            bench.undo(placed.task)
        return bench

    def plan(self) -> Plan:
        """The best schedule as a plan, with what it needs bought.

        Where the budgets cannot pay for all of it, the batches that spare most for the money are
        kept; where they cannot even pay for packing the batches under way, those that need
        purchases for it stay on their trays.
        """
        paid = self._paid()
        if paid is not None:
            return _plan(self.start, paid.choice, paid.purchases)
        unpaid = ListScheduler(self.workshop, _packed_from_stock(self.workshop))
        unpaid.improve(REBUILDS)
        paid = unpaid._paid()
        if paid is None:
            raise AssertionError("what is on hand is not enough for what was packed from it")
        return _plan(unpaid.start, paid.choice, paid.purchases)

    def following(self, batches: Sequence[Batch], lots: Bench | None = None) -> Choice:
        """A schedule near some batches, but for those of the frozen days, which stand.

        On a bench with lots of preparations these stay as they are.
        """
        later = [batch for batch in batches if batch.pour >= self.first]
        return following(self.start, later, lots)

    def take(self, choice: Choice) -> None:
        """Make a choice the best, if it is better."""
        self.best = min(self.best, choice, key=self.kept.value)

    def _paid(self) -> Affordable | None:
        """What of the best schedule can be bought for; None if the start alone cannot be."""
        choice = without_idle(self.start, self.best)
        batches = all_batches(self.start, choice.schedule)
        purchases = purchases_for(self.workshop, batches, all_lots(self.start, choice.schedule))
        if purchases is None:
            return affordable(self.workshop, self.start, choice)
        return Affordable(choice=choice, purchases=purchases)


def resumed(workshop: Workshop, plan: Plan, kept: Sequence[Batch]) -> ListScheduler:
    """A list scheduler that goes on from a plan, whose frozen days stand, near a kept plan."""
    scheduler = ListScheduler(workshop, frozen=plan)
    scheduler.take_up(plan.batches, kept)
    return scheduler


def _packed_from_stock(workshop: Workshop) -> dict[str, int | None]:
    """The pack day of each batch under way if nothing can be bought; None without packaging."""
    underway = start_of(workshop.changed(offers={})).standing
    return {batch.lot: batch.pack for batch in underway}


def _plan(start: Start, choice: Choice, purchases: tuple[Purchase, ...]) -> Plan:
    return Plan(
        batches=tuple(sorted(all_batches(start, choice.schedule), key=in_plan_order)),
        preparations=tuple(sorted(all_lots(start, choice.schedule))),
        purchases=(*start.orders, *purchases),
        promises=tuple(
            Promise(demand=demand, day=day)
            for demand, day in sorted(choice.sold.promises.items())
            if day is not None
        ),
    )
