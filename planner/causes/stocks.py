"""Whether a plan leaves, or could still get, what one more batch takes of an item.

An amount taken on a day is missing on all later days. It is spare if on hand stays at or above it
to the plan's end; else more must come by the first day on which it does not.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator
from functools import cache

from planner.account import Account
from planner.causes.adding import Arrival, Need, Taking, Use
from planner.causes.buying import Buying
from planner.causes.records import Block, Cause
from planner.causes.room import Room
from planner.recipes import LotRecipe, lot_recipe_of
from planner.replay.calendar import first_working_day
from planner.wording import amount_words, day_words
from planner.workshop import Preparation, Workshop

MOST_NAMES = 3
"""Takers of a scarce item that a sentence names."""


class Stocks:
    """The stock of every item under a plan, and the ways to more of it.

    What is `lifted` stands in nobody's way.
    """

    def __init__(
        self,
        workshop: Workshop,
        account: Account,
        room: Room,
        lifted: frozenset[Cause] = frozenset(),
    ) -> None:
        self._lifted = lifted
        self._workshop = workshop
        self._account = account
        self._room = room
        self._buying = Buying(workshop, account)
        self._uses = _uses_of(account)
        # The same part is asked for on the same day by many batches that are tried.
        self.block = cache(self._block)
        self._spare = cache(self._spare_of)
        self._lot_blocks = cache(self._lot_blocks_of)

    def _block(self, item: str, amount: int, day: int) -> Block | None:
        """What stands in the way of taking `amount` of an item on `day`, on top of the plan."""
        spare = self._spare(item)[day]
        if spare >= amount:
            return None
        by = self._runs_out(item, amount, day)
        block = self.more_block(item, amount - spare, by)
        if block is None or self._came(item, day) < amount or not self._is_scarce(item, block):
            return block
        taken = Block(Cause.MATERIAL, self._taken_need(item, amount, amount - spare, by))
        return self._unless_lifted(taken)

    def more_block(self, item: str, amount: int, by: int) -> Block | None:
        """What stands in the way of having `amount` more of an item from day `by` on."""
        preparation = self._workshop.preparations.get(item)
        if preparation is not None:
            return self._unless_lifted(self._making_block(preparation, amount, by))
        return self._unless_lifted(self._buying.block(item, amount, by))

    def _unless_lifted(self, block: Block | None) -> Block | None:
        return None if block is not None and block.cause in self._lifted else block

    def _is_scarce(self, item: str, block: Block) -> bool:
        """True if no more can come in time: then those who take it are what matters."""
        unsold = item in self._workshop.materials and self._buying.soonest(item) is None
        return unsold or block.cause is Cause.LEAD_TIME

    # What is got for a use

    def supply(self, uses: tuple[Use, ...]) -> Taking:
        """What is bought and made for uses in whose way nothing stands, with all that it takes.

        Each use is looked at by itself. What is lifted comes from nowhere.
        """
        return sum((self._supply_of(use) for use in uses), Taking())

    def _supply_of(self, use: Use) -> Taking:
        item, amount, day = use
        missing = amount - self._spare(item)[day]
        if missing <= 0:
            return Taking()
        by = self._runs_out(item, amount, day)
        preparation = self._workshop.preparations.get(item)
        if preparation is None:
            orders = self._buying.orders(item, missing, by)
            lines = [line for order in orders for line in order.lines]
            came = tuple(Arrival(item, line.amount, line.usable) for line in lines)
            got = Taking(arrivals=came, purchases=orders)
        else:
            got = self._made(preparation, missing, by)
        lifted = missing - sum(each.amount for each in got.arrivals if each.item == item)
        return got + Taking(arrivals=(Arrival(item, max(0, lifted), by),))

    def _made(self, preparation: Preparation, amount: int, by: int) -> Taking:
        """Enough lots of a preparation on the latest day that has room for them."""
        recipe = lot_recipe_of(self._workshop, preparation)
        lots = -(-amount // recipe.amount)
        for make in self._make_days(preparation, by):
            if not self._lot_blocks(preparation.id, lots, make):
                uses = tuple(Use(part, lots * n, make) for part, n in recipe.parts.items())
                ready = make + preparation.ready_days
                lot = Taking(
                    needs=_lot_needs(preparation, recipe, lots, make),
                    uses=uses,
                    arrivals=(Arrival(preparation.id, lots * recipe.amount, ready),),
                )
                return lot + self.supply(uses)
        return Taking()

    # What is there

    def _spare_of(self, item: str) -> tuple[int, ...]:
        """What could be taken on each day so that no later day runs short.

        spare(t) = min(on hand(t), spare(t+1) + wasted(t+1)): what will be wasted can be taken.
        """
        flow = self._account.flows[item]
        spare = list(flow.on_hand)
        for day in range(len(spare) - 2, -1, -1):
            spare[day] = min(spare[day], spare[day + 1] + flow.wasted[day + 1])
        return tuple(spare)

    def _runs_out(self, item: str, amount: int, day: int) -> int:
        """The first day on which `amount` taken on `day` is missing."""
        flow, wasted = self._account.flows[item], 0
        for later in range(day, self._workshop.days):
            wasted += flow.wasted[later] if later > day else 0
            if flow.on_hand[later] + wasted < amount:
                return later
        return day

    def _came(self, item: str, day: int) -> int:
        """All that was there, or came, of an item up to a day."""
        flow = self._account.flows[item]
        opening = flow.on_hand[0] - flow.arrived[0] + flow.used[0] + flow.wasted[0]
        return opening + sum(flow.arrived[: day + 1])

    # Making more of a preparation

    def _making_block(self, preparation: Preparation, amount: int, by: int) -> Block | None:
        """What stands in the way on the best day to put enough lots of a preparation together."""
        lots = -(-amount // lot_recipe_of(self._workshop, preparation).amount)
        best: tuple[Block, ...] = ()
        for make in self._make_days(preparation, by):
            blocks = self._lot_blocks(preparation.id, lots, make)
            if not blocks:
                return None
            if not best or len(blocks) < len(best):
                best = blocks
        if not best:
            return self._not_ready(preparation, amount, by)
        return Block(best[0].cause, f"more {preparation.id}, which needs {best[0].need}")

    def _make_days(self, preparation: Preparation, by: int) -> Iterator[int]:
        """Working days, the last one first, from which a lot is ready by a day and keeps to it."""
        life = preparation.shelf_life_days
        for make in reversed(self._workshop.working_days):
            if make + preparation.ready_days <= by and (life is None or make + life >= by):
                yield make

    def _not_ready(self, preparation: Preparation, amount: int, by: int) -> Block:
        words = amount_words(self._workshop, preparation.id, amount)
        need = f"{words} of {preparation.id} more by {day_words(self._workshop, by)}"
        start = first_working_day(self._workshop, 0)
        if start is None:
            return Block(Cause.HANDS, f"{need}, and nobody works within the plan")
        ready = day_words(self._workshop, start + preparation.ready_days)
        return Block(Cause.LEAD_TIME, f"{need}; made now it is ready on {ready}")

    def _lot_blocks_of(self, name: str, lots: int, make: int) -> tuple[Block, ...]:
        """Everything that stands in the way of making some lots on a day."""
        preparation = self._workshop.preparations[name]
        recipe = lot_recipe_of(self._workshop, preparation)
        found = [self._room.block(*need) for need in _lot_needs(preparation, recipe, lots, make)]
        found += [self.block(part, lots * taken, make) for part, taken in recipe.parts.items()]
        return tuple(block for block in found if block is not None)

    # Who takes what there is

    def _taken_need(self, item: str, amount: int, missing: int, by: int) -> str:
        """What is missing from when to when, and into what it goes instead."""
        until = self._until(item, amount, by)
        words = amount_words(self._workshop, item, missing)
        end = "to the end of the plan"
        if until is not None:
            end = f"until {day_words(self._workshop, until)}"
        need = f"{words} of {item}, missing from {day_words(self._workshop, by)} {end}"
        takers = self._takers(item, self._workshop.days if until is None else until)
        return f"{need}: it goes into {', '.join(takers)}" if takers else need

    def _until(self, item: str, amount: int, by: int) -> int | None:
        """The first day after `by` on which there is enough, or more can have been bought."""
        spare = self._spare(item)
        days = [day for day in range(by, self._workshop.days) if spare[day] >= amount][:1]
        soonest = self._buying.soonest(item)
        if soonest is not None and soonest > by:
            days.append(soonest)
        return min(days, default=None)

    def _takers(self, item: str, until: int) -> list[str]:
        """Products and preparations that take most of an item before a day."""
        taken: Counter[str] = Counter()
        for day, name, amount in self._uses[item]:
            if day < until:
                taken[name] += amount
        return sorted(taken, key=lambda name: (-taken[name], name))[:MOST_NAMES]


def _lot_needs(
    preparation: Preparation, recipe: LotRecipe, lots: int, make: int
) -> tuple[Need, ...]:
    """Hands and vessel for some lots on a day."""
    day = range(make, make + 1)
    hands = Need("hands", "hands", day, lots * recipe.make_minutes)
    if preparation.vessel is None:
        return (hands,)
    return hands, Need("vessel", preparation.vessel, day, lots * recipe.vessel_minutes)


def _uses_of(account: Account) -> defaultdict[str, list[tuple[int, str, int]]]:
    """Item -> day, product or preparation, and amount of each use."""
    names = {batch.lot: batch.product for batch in account.batches}
    names.update((lot.lot, lot.preparation) for lot in account.preparations)
    uses: defaultdict[str, list[tuple[int, str, int]]] = defaultdict(list)
    for peg in account.pegs:
        if peg.use in names:
            uses[peg.item].append((peg.day, names[peg.use], peg.amount))
    return uses
