"""The best of several passes of the list scheduler, without the batches that serve nothing.

The rules of thumb are tried one after the other until one loses nothing. Then the best schedule is
improved by taking out a few batches that are near each other in time and placing them anew by
another rule, over and over; what loses more is thrown away (textbook: ruin and recreate; Schrimpf
and others 2000).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from random import Random

from planner.draft.bench import Task
from planner.draft.offers import Span
from planner.draft.placing import Placed
from planner.draft.ranking import Rule, due_day, rules_of
from planner.draft.schedule import Pass, Schedule, Start, bars_of
from planner.draft.selling import Sold, loss_of, sell

WORK = 12_000
"""Passes times products times days that are spent at most, beyond the first two passes."""

REBUILDS = 40
"""Times that a part of the best schedule is placed anew, unless nothing is lost before."""

FEWEST, MOST = 3, 11
"""Batches placed anew at a time."""

SPREAD = 10
"""Days by which chance may bring a batch nearer than it is."""


@dataclass(frozen=True, kw_only=True)
class Choice:
    """A schedule and what it sells."""

    schedule: Schedule
    sold: Sold


def best_schedule(start: Start, rebuilds: int = REBUILDS) -> Choice:
    """The schedule that loses least; of equal passes the first. The same start gives the same."""
    first = Pass(start)
    rules = rules_of(start.bench, start.jobs, first.needs)
    best = judged(start, first.run(due_day))
    for schedule in _other_passes(start, rules):
        if not best.sold.loss:
            break
        best = min(best, judged(start, schedule), key=lambda choice: choice.sold.loss)
    return _without_idle(start, _rebuilt(start, best, rules, rebuilds))


def _other_passes(start: Start, rules: Sequence[Rule]) -> Iterator[Schedule]:
    """As many passes as a workshop of this size is worth."""
    yield Pass(start).run_backward(due_day)
    passes = max(1, WORK // max(1, len(start.askings) * start.bench.workdays.days))
    for rule in rules[1:][:passes]:
        yield Pass(start).run(rule)


def _rebuilt(start: Start, best: Choice, rules: Sequence[Rule], rebuilds: int) -> Choice:
    draw = Random(0)
    for _ in range(rebuilds):
        if not best.sold.loss or not best.schedule.placed:
            break
        rebuilt = _rebuild(start, best.schedule, draw.choice(rules), draw)
        best = min(rebuilt, best, key=lambda choice: choice.sold.loss)
    return best


def _rebuild(start: Start, schedule: Schedule, rule: Rule, draw: Random) -> Choice:
    """The schedule with some batches poured around a day placed anew."""
    day = draw.choice(schedule.placed).pour
    nearest = sorted(
        range(len(schedule.placed)),
        key=lambda place: abs(schedule.placed[place].pour - day) + SPREAD * draw.random(),
    )
    taken = nearest[: draw.randint(FEWEST, MOST)]
    bench = schedule.bench.copy()
    for place in taken:
        bench.undo(schedule.placed[place].task)
    kept = [placed for place, placed in enumerate(schedule.placed) if place not in taken]
    return judged(start, Pass(start, bench, kept).run(rule))


def judged(start: Start, schedule: Schedule) -> Choice:
    """A schedule with what it sells."""
    return Choice(schedule=schedule, sold=sell(start.askings, bars_by_product(start, schedule)))


def bars_by_product(start: Start, schedule: Schedule) -> dict[str, list[Span]]:
    """Opening stock and the good bars of all batches."""
    bars = {product: list(asking.opening) for product, asking in start.askings.items()}
    for placed in schedule.placed:
        bars[placed.job.product.id].append(_bars(start, placed))
    return bars


def _bars(start: Start, placed: Placed) -> Span:
    return bars_of(placed.job, placed.pour, placed.pack, start.bench.workdays.days)


def _without_idle(start: Start, choice: Choice) -> Choice:
    """Drop the batches, and then the lots of preparations, without which nothing more is lost."""
    bars = bars_by_product(start, choice.schedule)
    losses = dict(choice.sold.losses)
    kept = list(choice.schedule.placed)
    bench = choice.schedule.bench
    for placed in sorted(choice.schedule.placed, key=lambda placed: (placed.value, -placed.pack)):
        product = placed.job.product.id
        fewer = [*bars[product]]
        fewer.remove(_bars(start, placed))
        loss = loss_of(start.askings[product], fewer, choice.sold.promises)
        if loss is not None and loss <= losses[product]:
            bars[product], losses[product] = fewer, loss
            kept.remove(placed)
            bench.undo(placed.task)
    schedule = replace(choice.schedule, placed=tuple(kept))
    drop_idle_lots(schedule)
    return judged(start, schedule)


def drop_idle_lots(schedule: Schedule) -> None:
    """Take back the lots of preparations that nobody needs, those used last first."""
    pantry = schedule.bench.pantry
    idle: list[Task] = []
    while True:
        for lot in _all_lots(schedule):
            row = pantry.index[lot.preparation]
            schedule.bench.undo(lot)
            if not (pantry.rooms()[row] < 0).any():
                idle.append(lot)
                break
            schedule.bench.do(lot)
        else:
            return


def _all_lots(schedule: Schedule) -> list[Task]:
    lots = [lot for planned in schedule.bench.lots.values() for lot in planned]
    return sorted(lots, key=lambda lot: (-lot.make, lot.preparation))
