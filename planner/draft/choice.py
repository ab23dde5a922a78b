"""A schedule together with what it sells, and without the batches that serve nothing."""

from dataclasses import dataclass, replace

from planner.draft.bench import Task
from planner.draft.offers import Span
from planner.draft.schedule import Schedule, Start
from planner.draft.selling import Sold, loss_of, sell


@dataclass(frozen=True, kw_only=True)
class Choice:
    """A schedule and what it sells."""

    schedule: Schedule
    sold: Sold


def judged(start: Start, schedule: Schedule, before: Choice | None = None) -> Choice:
    """A schedule with what it sells; what it has in common with one before is not counted again."""
    known = before.sold if before else None
    sold = sell(start.askings, bars_by_product(start, schedule), known)
    return Choice(schedule=schedule, sold=sold)


def bars_by_product(start: Start, schedule: Schedule) -> dict[str, list[Span]]:
    """Opening stock and the good bars of all batches."""
    bars = {product: list(asking.opening) for product, asking in start.askings.items()}
    for placed in schedule.placed:
        bars[placed.job.product.id].append(placed.bars)
    return bars


def without_idle(start: Start, choice: Choice) -> Choice:
    """Drop the batches, and then the lots of preparations, without which nothing more is lost."""
    bars = bars_by_product(start, choice.schedule)
    losses = dict(choice.sold.losses)
    kept = list(choice.schedule.placed)
    bench = choice.schedule.bench.copy()
    for placed in sorted(choice.schedule.placed, key=lambda placed: (placed.value, -placed.pack)):
        product = placed.job.product.id
        fewer = [*bars[product]]
        fewer.remove(placed.bars)
        loss = loss_of(start.askings[product], fewer, choice.sold.promises)
        if loss is not None and loss <= losses[product]:
            bars[product], losses[product] = fewer, loss
            kept.remove(placed)
            bench.undo(placed.task)
    schedule = replace(choice.schedule, placed=tuple(kept), bench=bench)
    drop_idle_lots(schedule)
    return judged(start, schedule)


def drop_idle_lots(schedule: Schedule) -> None:
    """Take back the lots of preparations that nobody needs, those used last first."""
    pantry = schedule.bench.pantry
    while True:
        for lot in _all_lots(schedule):
            row = pantry.index[lot.preparation]
            schedule.bench.undo(lot)
            if pantry.serves_all(row):
                break
            schedule.bench.do(lot)
        else:
            return


def _all_lots(schedule: Schedule) -> list[Task]:
    lots = [lot for planned in schedule.bench.lots.values() for lot in planned]
    return sorted(lots, key=lambda lot: (-lot.make, lot.preparation))
