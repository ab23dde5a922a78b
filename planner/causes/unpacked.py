"""Why a batch under way stays on its trays although it is cured within the plan."""

from collections.abc import Iterator
from dataclasses import dataclass

from planner.account import Account, BatchFacts
from planner.causes.records import Block, Cause
from planner.causes.room import Room
from planner.causes.stocks import Stocks
from planner.recipes import recipe_of
from planner.replay.calendar import first_working_day
from planner.wording import day_words
from planner.workshop import Workshop


@dataclass(frozen=True, kw_only=True)
class Unpacked:
    """A batch under way that a plan does not pack, though it could be cured by then.

    cause, detail  what stands in the way, as in a Shortfall
    """

    lot: str
    product: str
    bars: int
    cause: Cause
    detail: str


def first_pack_day(workshop: Workshop, batch: BatchFacts) -> int | None:
    """The first working day of the plan on which a batch is cured; None if there is none."""
    cured = batch.unmould + workshop.products[batch.product].cure_days
    return first_working_day(workshop, cured)


def unpacked(workshop: Workshop, account: Account) -> tuple[Unpacked, ...]:
    """The batches that stay on their trays, each with the one thing that keeps it there.

    Each working day from its cure on is tried against all the rest of the plan. The day on which
    least stands in the way counts, the latest of such days.
    """
    left = [batch for batch in account.batches if batch.in_progress and batch.pack is None]
    if not left:
        return ()
    room = Room(workshop, account)
    stocks = Stocks(workshop, account, room)
    return tuple(
        _judged(workshop, batch, first, room, stocks)
        for batch in left
        if (first := first_pack_day(workshop, batch)) is not None
    )


def _judged(
    workshop: Workshop, batch: BatchFacts, first: int, room: Room, stocks: Stocks
) -> Unpacked:
    tried = {
        day: tuple(_blocks(workshop, batch, day, room, stocks))
        for day in workshop.working_days
        if day >= first
    }
    day = min(tried, key=lambda day: (len(tried[day]), -day))
    when = day_words(workshop, day)
    cause = Cause.UNKNOWN
    detail = (
        f"nothing stands in the way of packing it on {when}: a better plan than this one may "
        "exist, or its packaging costs more than the batch is worth"
    )
    if tried[day]:
        cause, need = tried[day][0]
        detail = f"to be packed on {when} it needs {need}"
    return Unpacked(
        lot=batch.lot, product=batch.product, bars=batch.bars, cause=cause, detail=detail
    )


def _blocks(
    workshop: Workshop, batch: BatchFacts, day: int, room: Room, stocks: Stocks
) -> Iterator[Block]:
    """Everything that stands in the way of packing a batch on a day."""
    recipe = recipe_of(workshop, batch.product, batch.bars)
    blocks = [stocks.block(item, amount, day) for item, amount in recipe.packaging.items()]
    blocks.append(room.block("hands", "hands", range(day, day + 1), recipe.pack_minutes))
    yield from (block for block in blocks if block is not None)
