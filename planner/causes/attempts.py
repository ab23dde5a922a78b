"""One batch more, tried on a day on top of all the plan does."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from planner.account import Account
from planner.causes.adding import Need, Pour, Taking, Use, with_batch
from planner.causes.records import Block, Cause
from planner.causes.room import Room
from planner.causes.stocks import Stocks
from planner.recipes import Recipe, recipe_of
from planner.replay.calendar import first_working_day
from planner.wording import day_words
from planner.workshop import Product, Workshop


@dataclass(frozen=True, kw_only=True)
class Attempt:
    """A batch that would be poured, and everything that stands in its way."""

    batch: Pour
    blocks: tuple[Block, ...]

    @property
    def causes(self) -> frozenset[Cause]:
        """What stands in its way."""
        return frozenset(block.cause for block in self.blocks)


class Attempts:
    """Tries batches against what a plan leaves free; what is `lifted` stands in nobody's way."""

    def __init__(
        self, workshop: Workshop, account: Account, lifted: frozenset[Cause] = frozenset()
    ) -> None:
        self._workshop = workshop
        self._account = account
        self._lifted = lifted
        self._room = Room(workshop, account, lifted)
        self.stocks = Stocks(workshop, account, self._room, lifted)
        self._poured = Counter((b.product, b.pour) for b in account.batches if not b.in_progress)
        self._attempt = cache(self._attempt_of)
        self._recipe = cache(lambda product, bars: recipe_of(workshop, product, bars))

    def lifting(self, causes: frozenset[Cause]) -> "Attempts":
        """The same with no end of some things, and of these only."""
        return Attempts(self._workshop, self._account, causes)

    def after(self, batch: Pour) -> "Attempts":
        """The same once a batch is poured as well, and what it lacks is bought and made."""
        supply = self.stocks.supply(batch.taking.uses)
        return Attempts(self._workshop, with_batch(self._account, batch, supply), self._lifted)

    def useful_sizes(self, product: Product) -> list[int]:
        """The sizes that give good bars, the smallest first."""
        return [size for size in sorted(product.sizes) if self._recipe(product.id, size).good > 0]

    def size_for(self, product: Product, bars: int) -> int | None:
        """The smallest size that gives `bars` good bars, else the largest; None if none gives any.

        A smaller batch stands in nobody's way more than a larger one does.
        """
        useful = self.useful_sizes(product)
        enough = [size for size in useful if self._recipe(product.id, size).good >= bars]
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
            yield self._attempt(product.id, bars, pour, cured[0], pack)

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

    def _attempt_of(self, name: str, bars: int, pour: int, unmould: int, pack: int) -> Attempt:
        """A batch on its days, with one block for each cause that stands in its way."""
        product, recipe = self._workshop.products[name], self._recipe(name, bars)
        taking = Taking(
            needs=tuple(self._needs(product, recipe, pour, unmould, pack)),
            uses=(
                *(Use(item, amount, pour) for item, amount in recipe.parts.items()),
                *(Use(item, amount, pack) for item, amount in recipe.packaging.items()),
            ),
        )
        found: dict[Cause, Block] = {}
        for block in (
            self._daily_limit(product, pour),
            *(self._room.block(*need) for need in taking.needs),
            *(self.stocks.block(*use) for use in taking.uses),
        ):
            if block is not None:
                found.setdefault(block.cause, block)
        batch = Pour(recipe=recipe, pour=pour, unmould=unmould, pack=pack, taking=taking)
        return Attempt(batch=batch, blocks=tuple(found.values()))

    def _daily_limit(self, product: Product, pour: int) -> Block | None:
        most = product.max_batches_per_day
        if most is None or self._poured[product.id, pour] < most:
            return None
        if Cause.DAILY_LIMIT in self._lifted:
            return None
        when = day_words(self._workshop, pour)
        return Block(Cause.DAILY_LIMIT, f"one batch more on {when}: the limit of a day is {most}")

    def _needs(
        self, product: Product, recipe: Recipe, pour: int, unmould: int, pack: int
    ) -> Iterator[Need]:
        """Moulds, and room for them: a filling, or all turns of the days they are held.

        Then minutes of the vessel on the pour day, of hands on all three days, and trays.
        """
        held = range(pour, unmould) if product.set_days else range(pour, pour + 1)
        mould = self._workshop.moulds[product.mould]
        turns = mould.turns_per_day if product.set_days else 1
        yield Need("mould", mould.id, held, turns * recipe.moulds)
        if product.place is not None:
            place = self._workshop.places[product.place]
            turns = place.turns_per_day if product.set_days else 1
            yield Need("place", place.id, held, turns * recipe.moulds)
        yield Need("vessel", product.vessel, range(pour, pour + 1), recipe.vessel_minutes)
        minutes: Counter[int] = Counter()
        minutes[pour] += recipe.make_minutes
        minutes[unmould] += recipe.unmould_minutes
        minutes[pack] += recipe.pack_minutes
        for day, amount in minutes.items():
            yield Need("hands", "hands", range(day, day + 1), amount)
        yield Need("tray", product.tray, range(unmould, pack), recipe.trays)
