"""The best of several passes of the list scheduler, without the batches that serve nothing.

The rules of thumb are tried one after the other until one loses nothing. After them the due day
rule runs again a few times with a head start for the products that came off worst in the best pass
so far (textbook: squeaky wheel optimisation; Joslin and Clements 1999).
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from planner.draft.bench import Task
from planner.draft.needs import Need
from planner.draft.offers import Span
from planner.draft.placing import Placed
from planner.draft.ranking import due_day, favouring, rules_of
from planner.draft.schedule import Pass, Schedule, Start, bars_of
from planner.draft.selling import Sold, loss_of, sell

WORK = 12_000
"""Passes times products times days that are spent at most, beyond the first two passes."""

SQUEAKS = 6
"""Passes with a head start for the products that lost most."""


@dataclass(frozen=True, kw_only=True)
class Choice:
    """A schedule and what it sells."""

    schedule: Schedule
    sold: Sold


def best_schedule(start: Start) -> Choice:
    """The schedule that loses least; of equal ones the first found."""
    first = Pass(start)
    needs = first.needs
    best = judged(start, first.run(due_day))
    for schedule in _other_passes(start, needs):
        if not best.sold.loss:
            break
        best = min(best, judged(start, schedule), key=lambda choice: choice.sold.loss)
    best = _squeaks(start, best)
    return _without_idle(start, best)


def passes_for(start: Start) -> int:
    """How many passes a workshop of this size is worth."""
    return max(1, WORK // max(1, len(start.askings) * start.bench.workdays.days))


def _other_passes(start: Start, needs: Mapping[str, Need]) -> Iterator[Schedule]:
    yield Pass(start).run_backward(due_day)
    rules = rules_of(start.bench, start.jobs, needs)[1:]
    for rule in rules[: passes_for(start)]:
        yield Pass(start).run(rule)


def _squeaks(start: Start, best: Choice) -> Choice:
    head_start = dict.fromkeys(best.sold.losses, 0.0)
    reach = start.bench.workdays.days / 6
    latest = best
    for _ in range(min(SQUEAKS, passes_for(start) - 1)):
        if not best.sold.loss:
            break
        worst = max(1, *latest.sold.losses.values())
        for product, loss in latest.sold.losses.items():
            head_start[product] += reach * loss / worst
        latest = judged(start, Pass(start).run(favouring(head_start)))
        best = min(best, latest, key=lambda choice: choice.sold.loss)
    return best


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
