"""Shortfalls of materials and preparations: uses that find nothing, and safety stock not kept."""

from collections import defaultdict
from collections.abc import Iterator

from planner.account import Account
from planner.causes.records import Block, Cause, Shortfall
from planner.causes.stocks import Stocks
from planner.recipes import recipe_of
from planner.wording import amount_words, day_words
from planner.workshop import Workshop

SAFETY_STOCK = "safety stock"


def item_shortfalls(workshop: Workshop, account: Account, stocks: Stocks) -> Iterator[Shortfall]:
    """Items in table order; first what is missing for the plan, then what is below safety stock.

    Nothing is missing under a plan that keeps all day rules.
    """
    missing = _missing(workshop, account)
    wishes = [(record.id, record.safety_stock) for record in workshop.materials.values()]
    wishes += [(record.id, record.safety_stock) for record in workshop.preparations.values()]
    for item, wish in wishes:
        on_hand = account.flows[item].on_hand
        below = {day: wish - left for day, left in enumerate(on_hand) if left < wish}
        if missing[item]:
            yield _shortfall(workshop, item, missing[item], stocks, "plan")
        if below:
            yield _shortfall(workshop, item, below, stocks, SAFETY_STOCK)


def _missing(workshop: Workshop, account: Account) -> defaultdict[str, dict[int, int]]:
    """Item -> day -> what the plan's uses need beyond what was there."""
    needs: defaultdict[tuple[str, int], int] = defaultdict(int)
    for batch in account.batches:
        if not batch.in_progress:
            for item, amount in batch.parts.items():
                needs[item, batch.pour] += amount
        if batch.pack is not None and 0 <= batch.pack < workshop.days:
            packaging = recipe_of(workshop, batch.product, batch.bars).packaging
            for item, amount in packaging.items():
                needs[item, batch.pack] += amount
    for lot in account.preparations:
        for item, amount in lot.parts.items():
            needs[item, lot.make] += amount
    missing: defaultdict[str, dict[int, int]] = defaultdict(dict)
    for (item, day), need in sorted(needs.items()):
        if need > account.flows[item].used[day]:
            missing[item][day] = need - account.flows[item].used[day]
    return missing


def _shortfall(
    workshop: Workshop, item: str, days: dict[int, int], stocks: Stocks, who: str
) -> Shortfall:
    """One shortfall from the first to the last of its days."""
    first, most = min(days), max(days.values())
    block = stocks.more_block(item, most, first)
    if block is None:
        words = f"{amount_words(workshop, item, most)} of {item}"
        need = f"{words} more by {day_words(workshop, first)}, which could be had by then"
        if who == SAFETY_STOCK:
            need += ", but may cost more than to be short of it"
        block = Block(Cause.MATERIAL, need)
    return Shortfall(
        item=item,
        first_day=first,
        last_day=max(days),
        quantity=most,
        unit=str(workshop.unit_of(item)),
        cause=block.cause,
        detail=f"the {who} needs {block.need}",
    )
