"""One batch more, tried on a day on top of all the plan does."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from planner.account import Account
from planner.causes.records import Block, Cause
from planner.causes.room import Room
from planner.causes.stocks import Stocks
from planner.recipes import Recipe, recipe_of
from planner.replay.calendar import first_working_day
from planner.wording import day_words
from planner.workshop import Product, Workshop


@dataclass(frozen=True, kw_only=True)
class Attempt:
    """A batch poured on a day, and everything that stands in its way."""

    pour: int
    blocks: tuple[Block, ...]


@dataclass(frozen=True, kw_only=True)
class _Days:
    """When a batch is poured, unmoulded and packed."""

    pour: int
    unmould: int
    pack: int


class Attempts:
    """Tries batches against what a plan leaves free."""

    def __init__(self, workshop: Workshop, account: Account) -> None:
        self._workshop = workshop
        self._room = Room(workshop, account)
        self.stocks = Stocks(workshop, account, self._room)
        self._poured = Counter((b.product, b.pour) for b in account.batches if not b.in_progress)
        self._blocks = cache(self._blocks_of)
        self._recipe = cache(lambda product, bars: recipe_of(workshop, product, bars))

    def size_for(self, product: Product, bars: int) -> int | None:
        """The smallest size that gives `bars` good bars, else the largest; None if none gives any.

        A smaller batch stands in nobody's way more than a larger one does.
        """
        good = {size: self._recipe(product.id, size).good for size in sorted(product.sizes)}
        useful = [size for size in good if good[size] > 0]
        enough = [size for size in useful if good[size] >= bars]
        return next(iter(enough or useful[-1:]), None)

    def first_leaving_day(self, product: Product) -> int | None:
        """The first day on which bars poured within the plan can leave; None if none can."""
        start = first_working_day(self._workshop, 0)
        cured = None if start is None else self._cured(product, start)
        return None if cured is None else cured[1] + 1

    def tried(self, product: Product, bars: int, first: int, last: int) -> Iterator[Attempt]:
        """A batch for each day on which its pour lets bars leave by `last` and keep to `first`.

        The latest pour day comes first.
        """
        life = product.shelf_life_days
        for pour in reversed(self._workshop.working_days):
            cured = self._cured(product, pour)
            if cured is None or cured[1] + 1 > last or (life is not None and pour + life < first):
                continue
            pack = self._pack_day(product, bars, cured[1], last)
            days = _Days(pour=pour, unmould=cured[0], pack=pack)
            yield Attempt(pour=pour, blocks=self._blocks(product.id, bars, days))

    def _cured(self, product: Product, pour: int) -> tuple[int, int] | None:
        """Unmould day and earliest pack day of a batch; None if the plan ends before them."""
        unmould: int | None = pour
        if product.set_days:
            unmould = first_working_day(self._workshop, pour + product.set_days)
        if unmould is None:
            return None
        pack = first_working_day(self._workshop, unmould + product.cure_days)
        return None if pack is None else (unmould, pack)

    def _pack_day(self, product: Product, bars: int, earliest: int, last: int) -> int:
        """The first day with hands to pack, so that bars leave by `last`; else the earliest."""
        minutes = self._recipe(product.id, bars).pack_minutes
        for day in self._workshop.working_days:
            if earliest <= day < last and self._room.has("hands", "hands", day, minutes):
                return day
        return earliest

    def _blocks_of(self, name: str, bars: int, days: _Days) -> tuple[Block, ...]:
        """Everything that stands in the way of a batch, one block for each cause."""
        product, recipe = self._workshop.products[name], self._recipe(name, bars)
        found: dict[Cause, Block] = {}
        for block in (
            self._daily_limit(product, days),
            *self._mould_blocks(product, recipe, days),
            *self._minute_blocks(product, recipe, days),
            self._room.block("tray", product.tray, range(days.unmould, days.pack), recipe.trays),
            *(self.stocks.block(item, n, days.pour) for item, n in recipe.parts.items()),
            *(self.stocks.block(item, n, days.pack) for item, n in recipe.packaging.items()),
        ):
            if block is not None:
                found.setdefault(block.cause, block)
        return tuple(found.values())

    def _daily_limit(self, product: Product, days: _Days) -> Block | None:
        most = product.max_batches_per_day
        if most is None or self._poured[product.id, days.pour] < most:
            return None
        when = day_words(self._workshop, days.pour)
        return Block(Cause.DAILY_LIMIT, f"one batch more on {when}: the limit of a day is {most}")

    def _mould_blocks(
        self, product: Product, recipe: Recipe, days: _Days
    ) -> Iterator[Block | None]:
        """Moulds, and room for them: a filling, or all turns of the days they are held."""
        held = (
            range(days.pour, days.unmould) if product.set_days else range(days.pour, days.pour + 1)
        )
        mould = self._workshop.moulds[product.mould]
        turns = mould.turns_per_day if product.set_days else 1
        yield self._room.block("mould", mould.id, held, turns * recipe.moulds)
        if product.place is not None:
            place = self._workshop.places[product.place]
            turns = place.turns_per_day if product.set_days else 1
            yield self._room.block("place", place.id, held, turns * recipe.moulds)

    def _minute_blocks(
        self, product: Product, recipe: Recipe, days: _Days
    ) -> Iterator[Block | None]:
        """Minutes of the vessel on the pour day, of hands on all three days."""
        pour = range(days.pour, days.pour + 1)
        yield self._room.block("vessel", product.vessel, pour, recipe.vessel_minutes)
        minutes: Counter[int] = Counter()
        minutes[days.pour] += recipe.make_minutes
        minutes[days.unmould] += recipe.unmould_minutes
        minutes[days.pack] += recipe.pack_minutes
        for day, amount in minutes.items():
            yield self._room.block("hands", "hands", range(day, day + 1), amount)
