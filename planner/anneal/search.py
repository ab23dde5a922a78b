"""The door of the compiled search: better and better plans of a workshop, told on the way."""

from collections.abc import Callable, Sequence
from copy import copy
from time import monotonic, process_time, time

import numpy as np

from planner.anneal.annealing import BATCHES, LOST, anneal, room_aside, settled
from planner.anneal.facts import Ints
from planner.anneal.shortages import shortages
from planner.anneal.state import MISSING, keep, put, state_of
from planner.anneal.tables import facts_of, places_of
from planner.draft import REBUILDS, ListScheduler, resumed
from planner.draft.choice import Choice
from planner.plan import Batch, Plan
from planner.workshop import Workshop

HOTTEST, COLDEST = 1.0, 0.003
"""What a schedule may typically lose more, at first and in the end, in shares of the best one's
loss for each of its batches."""

TRIES, COOL = 300, 0.1
"""Rebuilds for each batch of a search that can begin so hot, and how cool a shorter one begins."""

ROUNDS = (0.0, 0.7, HOTTEST, False), (0.7, 1.0, COOL, True)
ROUNDS_OF_PLENTY = (0.0, 0.3, HOTTEST, False), (0.3, 1.0, HOTTEST, True)
ONE_ROUND = ((0.0, 1.0, HOTTEST, False),)
"""Of a run: which share of it each round is, how hot it begins, and whether preparations are made
before it. At first their minutes are spread over the batches; then the lots stay where the schedule
that follows has them. Where days are full a lot hardly fits in afterwards: with rebuilds in plenty
a quick first round tells where the lots are, and the second is as hot."""

ENOUGH = 3_000
"""Rebuilds for each batch that are plenty for a run; where there are more, it begins again."""

TRIAL = 200
"""Rebuilds that tell how many there is time for."""

SPARE = 500
"""Room for more batches than four times those that there are to begin with."""

PARTS = 400
"""Parts of a search, between which it looks at the clock."""

AHEAD = 0.02
"""The clock sets the pace only where it is ahead of the rebuilds by more than this share, so that a
search that ends with its rebuilds does not depend on it."""

EVERY = 5.0
"""Seconds between two plans that are told on the way: a large one takes a second to write."""

SIGN = 0.5
"""Seconds between two signs that it works."""

Tell = Callable[[tuple[int, Plan | None]], None]
"""Hears the loss of the best plan, and now and then that plan."""

Clock = Callable[[], float]
"""Tells which share of the time is over; 1 ends the search."""


class Annealing:
    """A search from the best schedule of a list scheduler on, which then judges what is found.

    Where preparations are `made`, the lots of that schedule stay as they are.
    """

    def __init__(self, scheduler: ListScheduler, made: bool, draw: np.random.Generator) -> None:
        self._scheduler, self._made = scheduler, made
        self._bench = scheduler.bench(with_lots=made)
        start, placed = scheduler.start, scheduler.best.schedule.placed
        self._facts, self._jobs, free, arrived = facts_of(
            start, self._bench, made, scheduler.rules, scheduler.kept
        )
        self._state = state_of(self._facts, free, arrived, 4 * len(placed) + SPARE)
        self._short, self._aside = shortages(self._facts), room_aside(self._state)
        self._draw = draw
        places = places_of(self._jobs)
        for one in placed:
            job = places[one.job.product.id, one.job.recipe.bars]
            put(self._facts, self._state, job, one.pour, one.pack)
            keep(self._state)
        self._state.dirty[:] = 1
        self._losses: Ints = np.zeros(len(self._facts.asked), np.int64)
        lost = settled(self._facts, self._state, self._losses, self._losses)
        keep(self._state)
        self._best = self._state.batches.copy()
        value = lost + self._facts.worth * self._state.counts[MISSING]
        self._reached: Ints = np.array([value, value, lost, len(placed)], np.int64)

    def run(self, rebuilds: int, hottest: float, clock: Clock, tell: Callable[[], None]) -> None:
        """So many rebuilds, cooler and cooler, or until the time is over."""
        done = 0
        for part in range(PARTS):
            passed = clock()
            if passed >= 1:
                break
            share = done / rebuilds
            over, tries = (passed, done / passed) if passed > share + AHEAD else (share, rebuilds)
            batches = max(1, self._reached[BATCHES])
            hot = min(hottest, max(COOL, hottest * tries / (TRIES * batches)))
            some = rebuilds * (part + 1) // PARTS - done
            self.rebuild(some, hot * (COLDEST / hot) ** over)
            done += some
            tell()

    def rebuild(self, rebuilds: int, heat: float) -> None:
        """So many rebuilds at a heat. None at all compiles what has not been compiled yet."""
        anneal(
            self._facts,
            self._state,
            self._short,
            self._aside,
            self._losses,
            self._reached,
            self._best,
            rebuilds,
            heat,
            self._draw,
        )

    def rebuilds_within(self, seconds: float) -> float:
        """About how many there is time for on a core of its own, after some for a trial.

        In time of the processor: a moment in which others have it must not change the plan.
        """
        begun = process_time()
        self.rebuild(TRIAL, HOTTEST)
        return seconds * TRIAL / max(1e-9, process_time() - begun)

    @property
    def found(self) -> list[Batch]:
        """The batches of the best."""
        size = self._reached[BATCHES]
        return [self._batch(*row) for row in self._best[:size].tolist()]

    @property
    def loss(self) -> int:
        """What the best loses, in thousandths of a minor unit."""
        return int(self._reached[LOST])

    def followed(self) -> Choice:
        """The schedule of the list scheduler that follows what was found."""
        return self._scheduler.following(self.found, self._bench if self._made else None)

    def _batch(self, job: int, pour: int, pack: int) -> Batch:
        made = self._jobs[job]
        return Batch(
            product=made.product.id,
            bars=made.recipe.bars,
            pour=pour,
            unmould=made.unmould[pour],
            pack=pack,
        )


def annealed(
    tell: Tell,
    workshop: Workshop,
    rebuilds: int,
    seed: int,
    ends: float,
    taken_up: tuple[Plan, Sequence[Batch]] | None = None,
) -> None:
    """Tell the better and better plans of a search, each with its loss, the best one last.

    It begins with the first plan, or the one taken up near a kept plan's batches. It ends with its
    rebuilds, or at a moment of the clock on the wall (`time.time`), which another process shares;
    that may end it sooner.
    """
    until = monotonic() + ends - time()
    if taken_up is None:
        scheduler = ListScheduler(workshop)
        scheduler.improve(REBUILDS)
    else:
        scheduler = resumed(workshop, *taken_up)
    if not scheduler.loss or not scheduler.best.schedule.placed:
        tell((scheduler.loss, scheduler.plan()))
        return
    batches = len(scheduler.best.schedule.placed)
    trial = Annealing(scheduler, made=False, draw=np.random.default_rng(seed))
    # Else the clock, set back by half a minute, would set the pace: the plan would not repeat.
    trial.rebuild(0, 0.0)
    possible = min(rebuilds, trial.rebuilds_within(until - monotonic()))
    plenty = int(possible / (ENOUGH * batches))
    runs, rounds = max(1, plenty), ROUNDS_OF_PLENTY if plenty else ROUNDS
    begun = monotonic()
    telling = _Telling(copy(scheduler), tell)
    for run in range(runs):
        if monotonic() >= until:
            break
        draw = np.random.default_rng((seed, run))
        own = copy(scheduler)
        for first, last, hottest, made in rounds if own.prepares else ONE_ROUND:
            search = Annealing(own, made, draw)

            def clock(first: float = run + first, last: float = run + last) -> float:
                over = runs * (monotonic() - begun) / max(1e-9, until - begun)
                return (over - first) / (last - first)

            telling.search = search
            search.run(round(rebuilds // runs * (last - first)), hottest, clock, telling)
            own.take(search.followed())
        scheduler.take(own.best)
    tell((scheduler.loss, scheduler.plan()))


class _Telling:
    """Tells what a search has come to: its loss often, its plan now and then.

    That depends on the clock, so that the search goes on from none of these plans.
    """

    def __init__(self, scheduler: ListScheduler, tell: Tell) -> None:
        self._scheduler, self._tell = scheduler, tell
        self.search: Annealing | None = None
        self._told = scheduler.loss
        self._sign = self._due = monotonic()
        self._due += EVERY

    def __call__(self) -> None:
        """Tell the loss, and the best plan if it is better and there was none for a while."""
        now = monotonic()
        if now < self._sign:
            return
        plan = None
        if self.search is not None and self.search.loss < self._told and now >= self._due:
            self._told = self.search.loss
            self._scheduler.take(self.search.followed())
            plan = self._scheduler.plan()
            self._due = monotonic() + EVERY
        self._tell((self._scheduler.loss, plan))
        self._sign = monotonic() + SIGN
