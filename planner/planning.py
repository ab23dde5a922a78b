"""The door to planning: from a workshop to a certified plan and the account of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from threading import Event
from time import monotonic, time
from typing import TYPE_CHECKING

from planner.account import Account
from planner.candidate import Candidate, noted, pays, reached
from planner.draft import REBUILDS, ListScheduler, purchases_for, resumed
from planner.errors import PlanBroken
from planner.frozen import frozen_changes, orders_placed
from planner.mending import mended
from planner.plan import Batch, Plan, Stage, Status
from planner.replay import earliest_promises, replay
from planner.settings import Progress, ProgressNote, Settings
from planner.wording import day_words
from planner.workshop import Workshop

if TYPE_CHECKING:  # OR-Tools is loaded only when a solve begins
    from planner.solver.stages import Answer, Limits, Stages

__all__ = ["Progress", "ProgressNote", "Settings", "make_plan"]

SHARES = {"service": 0.76, "money": 0.2, "calm": 0.04}
SHARES_AGAIN = {"service": 0.6, "money": 0.15, "calm": 0.25}
"""How the work and the time are shared out between the stages, and where a plan is taken up again.
"""

THOROUGH = 5_000
"""Products times days up to which it takes about a second at most to buy thoroughly."""

REBUILD_WORK, REBUILD_WORK_EACH = 2.5e-5, 8e-9
"""Units of work that placing a few batches anew takes, and more for each product and day."""

MOST_REBUILDS = 5_000_000
"""About as many as a core makes in two minutes on 6 x 120; more were not tried."""

QUICKEST = 0.3
"""Seconds that a unit of work takes at least, on a quick machine; 0.5 to 0.9 were measured."""

SECOND_SEED = 1_000
"""What the seed of a second search is higher by."""

IN_TIME = 0.9
"""Share of its seconds after which a search ends by itself, and tells what it found."""

SET_UP, SET_UP_TO_BUY = 3e-4, 2e-4
"""Seconds to set a stage up, for each product and day, and for each offer too where it buys.

Measured on a slow machine. A stage is not begun where that alone would take its time.
"""

EFFORT_AGAIN = 0.3
"""Share of the work and the time that planning again takes, since it starts from a good plan."""

RENEWALS = 200
"""Times that parts of a schedule which follows a broken plan are placed anew, to mend it."""

NEARNESS = 100
"""Staying near a kept plan may cost one part in so many of the money goal more."""


def make_plan(
    workshop: Workshop,
    settings: Settings | None = None,
    stored: Plan | None = None,
    progress: Progress | None = None,
    stop: Event | None = None,
) -> tuple[Plan, Account]:
    """The best plan found, certified by its replay, with the stages that prove how good it is.

    `stored` is the plan to stay close to, in this workshop's day numbers. Setting `stop` ends the
    search; the best plan so far is returned. Raises PlanBroken if a plan fails its replay.
    """
    return Planning(workshop, settings or Settings(), stored, progress, stop or Event()).run()


class Planning:
    """One search for a plan: the list scheduler's draft, improved stage by stage."""

    def __init__(
        self,
        workshop: Workshop,
        settings: Settings,
        stored: Plan | None,
        progress: Progress | None,
        stop: Event,
    ) -> None:
        self.workshop = workshop
        self.settings = settings
        self.stored = stored
        self.progress = progress
        self.stop = stop
        self.until = monotonic() + settings.seconds
        self.taken_up: tuple[Plan, Sequence[Batch]] | None = None
        self.near: dict[int, Plan] = {}  # what each search near a stored plan comes to, by its seed
        self.stages: list[Stage] = []
        self.scheduler = ListScheduler(workshop)

    def run(self) -> tuple[Plan, Account]:
        """Draft, then service, money and calm; each answer kept only if it is no worse."""
        from planner.solver.stages import Stages

        best = self._start()
        if self.again:
            self.until -= self.settings.seconds * (1 - self._effort)
        self._tell("draft", best.account.money.service)
        solver = Stages(self.workshop, self.stored, self.progress, self.stop)
        best = self._service(solver, best)
        best = self._money(solver, best)
        best = self._calm(solver, best)
        stages = tuple(reached(stage, best.account) for stage in self.stages)
        return replace(best.plan, stages=stages), best.account

    @property
    def again(self) -> bool:
        """True if a stored plan is taken up again."""
        return self.taken_up is not None

    @property
    def _effort(self) -> float:
        """Share of the work and the time that is spent."""
        return EFFORT_AGAIN if self.again else 1.0

    def _is_better(self, new: Candidate, old: Candidate) -> bool:
        """True if it ranks before the other and, planning again, gains enough to change plans."""
        return pays(new, old) if self.again else new.rank < old.rank

    def _goes_on(self) -> bool:
        return not self.stop.is_set() and monotonic() < self.until

    def _tell(self, stage: str, value: int) -> None:
        if self.progress is not None:
            left = max(0.0, self.until - monotonic())
            note = ProgressNote(stage=stage, value=value, bound=None, seconds_left=left)
            self.progress(note)

    def _service(self, solver: Stages, best: Candidate) -> Candidate:
        """Lose as little as can be. Losing nothing needs no proof."""
        from planner.solver.stages import Searches

        if best.account.money.service == 0 and not best.changes:
            proven = Stage(goal="service", value=0, bound=0, seconds=0.0, status=Status.OPTIMAL)
            self.stages.append(proven)
            return best
        first: Answer | None = None
        if not self.workshop.budgets:
            searches = Searches(
                first=partial(self._search, best),
                second=partial(self._search, best, higher=SECOND_SEED),
                near=self.again,
            )
            service = partial(solver.service, searches=searches, worth=self.scheduler.kept.worth)
            first = self._solve("service", best, service, buys=False)
            candidate = self._bought(first, best.plan) if first else None
            if first is None or candidate is not None:
                return self._better(best, candidate, first)
        # Budgets bind purchases, or goods spoil so soon that buying decides what can be made.
        answer = self._solve("service", best, solver.service_with_purchases)
        candidate = self._certified(answer.plan, "the service stage") if answer else None
        return self._better(best, candidate, answer or first)

    def _bought(self, answer: Answer, start: Plan) -> Candidate | None:
        """A plan without purchases, completed by them; None if none cover what it uses.

        Planning again, what a search found beside the answer may be worth more: it may lose a
        little more, and have more of the kept batches where they were.
        """
        plans = answer.plan, *(plan for _, plan in sorted(self.near.items()))
        supplied = [self._supplied(plan, start) for plan in plans]
        found = [
            self._certified(plan, "the service stage") for plan in supplied if plan is not None
        ]
        return min(found, key=self._worth, default=None)

    def _worth(self, candidate: Candidate) -> tuple[int, int]:
        """Changes in the frozen days, then the loss and what has moved of the kept plan."""
        kept, loss = self.scheduler.kept, candidate.account.money.service
        return candidate.changes, kept.value_of(loss, candidate.plan.batches)

    def _supplied(self, plan: Plan, start: Plan) -> Plan | None:
        """A plan with purchases that cover what it uses, whatever it had; None if there are none.

        In the frozen days of a stored plan the orders of the start stand.
        """
        workshop = self.workshop
        end = workshop.costs.frozen_days if self.stored is not None else 0
        placed = [order for order in start.purchases if order.order < end]
        if end:
            workshop = orders_placed(workshop, start)
        thorough = len(workshop.products) * workshop.days <= THOROUGH
        purchases = purchases_for(workshop, plan.batches, plan.preparations, thorough=thorough)
        return None if purchases is None else replace(plan, purchases=(*placed, *purchases))

    def _supplies(self, plan: Plan, start: Plan) -> Iterator[Plan]:
        """A plan with purchases that cover what it uses, if there are any."""
        supplied = self._supplied(plan, start)
        if supplied is not None:
            yield supplied

    def _supplied_near(self, plan: Plan, start: Plan) -> Iterator[Plan]:
        """The same, and with what the start or the kept plan buys: that may still do."""
        yield from self._supplies(plan, start)
        for other in (start, self.stored):
            if other is not None:
                yield replace(plan, purchases=other.purchases)

    def _better(
        self, best: Candidate, candidate: Candidate | None, answer: Answer | None
    ) -> Candidate:
        if candidate is not None and self._is_better(candidate, best):
            best = candidate
        self._note(answer, best.account.money.service)
        return best

    def _money(self, solver: Stages, best: Candidate) -> Candidate:
        """Spend as little as can be without losing more; to begin with, with the same batches."""
        if self._goes_on() and not self.again:
            best = self._bought_anew(best)
        buy = partial(self._supplies, start=best.plan)
        money = partial(solver.money, buy=buy, least=self._least_lost)
        answer = self._solve("money", best, money)
        if answer is not None:
            candidate = self._certified(answer.plan, "the money stage")
            if self._is_better(candidate, best):
                best = candidate
        self._note(answer, best.account.money.money)
        return best

    @property
    def _least_lost(self) -> int:
        """What no plan can lose less than.

        Where days are frozen that was proven for their orders only, of which another plan may have
        others.
        """
        frozen = self.stored is not None and self.workshop.costs.frozen_days
        return 0 if frozen else max((stage.bound for stage in self.stages), default=0)

    def _bought_anew(self, best: Candidate) -> Candidate:
        """What is bought for a plan thought over: drafts are bought for quickly."""
        plan = self._supplied(best.plan, best.plan)
        if plan is None:
            return best
        return min(best, self._certified(plan, "buying"), key=lambda candidate: candidate.rank)

    def _calm(self, solver: Stages, best: Candidate) -> Candidate:
        """Act early where that costs nothing; for a little money, stay near a kept plan."""
        money = best.account.money.money
        dearer = abs(money) // NEARNESS if self.again else 0
        buy = partial(self._supplied_near, start=best.plan)
        answer = self._solve("calm", best, partial(solver.calm, dearer=dearer, buy=buy))
        if answer is None:
            return best
        calm = self._certified(answer.plan, "the calm stage")
        worst = (best.changes, best.account.money.service)
        if calm.rank[:2] <= worst and calm.account.money.money <= money + dearer:
            self._note(answer, answer.stage.value)
            return calm
        return best

    def _solve(
        self,
        goal: str,
        best: Candidate,
        solve: Callable[[Plan, Limits], Answer],
        buys: bool = True,
    ) -> Answer | None:
        """Run one stage from the best plan; None if it has no time or found nothing."""
        from planner.solver.stages import Limits, NoPlanFound

        if not self._goes_on():
            return None
        shares = SHARES_AGAIN if self.again else SHARES
        after = sum(shares[later] for later in list(shares)[list(shares).index(goal) + 1 :])
        left = self.until - monotonic()
        whole = Limits(
            work=self.settings.work * self._effort,
            seconds=left,
            seed=self.settings.seed,
            workers=self.settings.workers,
        )
        limits = whole.of_step(shares[goal], after, left)
        if limits.seconds < self._seconds_to_set_up(buys):
            return None
        try:
            return solve(best.plan, limits)
        except NoPlanFound:
            return None

    def _seconds_to_set_up(self, buys: bool) -> float:
        """About how long making a stage's model takes, with or without purchases to decide."""
        products, offers = len(self.workshop.products), len(self.workshop.offers)
        if buys:
            return SET_UP_TO_BUY * (products + offers) * self.workshop.days
        return SET_UP * products * self.workshop.days

    def _note(self, answer: Answer | None, value: int) -> None:
        """Keep a stage with the value that the replay confirms."""
        if answer is None:
            return
        self.stages.append(noted(answer.stage, value))

    def _start(self) -> Candidate:
        """What still holds of the stored plan, unless the draft gains enough to change plans."""
        drafted, stored = self._drafted(), self.stored
        if stored is None:
            return drafted
        kept = min(self._kept(stored), key=lambda candidate: candidate.rank, default=None)
        if kept is None or pays(drafted, kept):
            return drafted
        self.taken_up = kept.plan, stored.batches
        self.scheduler = resumed(self.workshop, *self.taken_up)
        return kept

    def _kept(self, stored: Plan) -> list[Candidate]:
        """The stored plan; else its batches with other purchases; else what is nearest to it.

        Nearest are the pieces of it that still hold, and a list schedule that follows its batches.
        """
        for plan in (stored, self._supplied(stored, stored)):
            if plan is not None and (kept := self._settled(plan)).account.certified:
                return [kept]
        pieces = mended(self.workshop, stored, self._goes_on)
        near = [pieces]
        if self._goes_on():
            following = ListScheduler(self.workshop, frozen=pieces)
            following.take_up(stored.batches)
            following.improve(RENEWALS, clock=self._clock)
            near.append(following.plan())
        found = [self._settled(plan) for plan in near if plan is not None]
        return [candidate for candidate in found if candidate.account.certified]

    def _clock(self, loss: int) -> float:
        """Tells what a start loses so far, and has no hurry until the time is up."""
        self._tell("draft", loss)
        return 0.0 if self._goes_on() else 1.0

    def _drafted(self) -> Candidate:
        """The list scheduler's plan, after a moment's work."""
        self.scheduler.improve(REBUILDS)
        return self._certified(self.scheduler.plan(), "the list scheduler")

    def _search(
        self,
        best: Candidate,
        limits: Limits,
        progress: Progress,
        stop: Event,
        higher: int = 0,
    ) -> Plan:
        """The last plan that a search, in a process of its own, tells until it is stopped.

        Its seed is that of the limits, or higher than that.
        """
        from planner.anneal import annealed
        from planner.solver.apart import apart

        until = monotonic() + limits.seconds
        seed, ends = limits.seed + higher, time() + IN_TIME * limits.seconds
        arguments = self.workshop, self._rebuilds(limits), seed, ends, self.taken_up

        found, least = best.plan, best.account.money.service

        def goes_on() -> bool:
            progress(_searching(least, until - monotonic()))  # it may be silent while it compiles
            return not stop.is_set() and monotonic() < until

        for least, plan in apart(annealed, *arguments, goes_on=goes_on):
            found = plan or found
            progress(_searching(least, until - monotonic()))
        return self._better_plan(found, best, seed)

    def _rebuilds(self, limits: Limits) -> int:
        """How often parts are placed anew within so much work, or in so many seconds at best."""
        size = len(self.workshop.products) * self.workshop.days
        work = min(limits.work, limits.seconds / QUICKEST)
        return int(min(MOST_REBUILDS, work / (REBUILD_WORK + REBUILD_WORK_EACH * size)))

    def _better_plan(self, plan: Plan, best: Candidate, seed: int) -> Plan:
        """A plan of the list scheduler, if it is better than the best; noted near a kept plan."""
        found = self._certified(plan, "the list scheduler")
        better = found if self._is_better(found, best) else best
        if self.again:
            self.near[seed] = better.plan
        return better.plan

    def _settled(self, plan: Plan) -> Candidate:
        """The plan with every promise on the earliest day that it can keep."""
        settled = replace(plan, promises=earliest_promises(self.workshop, plan))
        changes = frozen_changes(self.workshop, self.stored, settled)
        return Candidate(settled, replay(self.workshop, settled), changes)

    def _certified(self, plan: Plan, maker: str) -> Candidate:
        candidate = self._settled(plan)
        if not candidate.account.certified:
            first = candidate.account.broken[0]
            when = day_words(self.workshop, first.day)
            raise PlanBroken(
                f"a plan made by {maker} breaks a rule, which is a fault of this program: "
                f"{when}, {first.rule}, {first.subject}: {first.message}"
            )
        return candidate


def _searching(loss: int, seconds_left: float) -> ProgressNote:
    """What a search of the service stage has come to."""
    left = max(0.0, seconds_left)
    return ProgressNote(stage="service", value=loss, bound=None, seconds_left=left)
