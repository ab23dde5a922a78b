"""What can be made: each product in each size, and each preparation, ready for placing."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from planner.draft.bench import Parts
from planner.draft.capacity import (
    HANDS,
    Take,
    Workdays,
    mould_key,
    place_key,
    product_key,
    tray_key,
    vessel_key,
)
from planner.draft.daysets import Leads, leads_of
from planner.draft.offers import Span
from planner.draft.supply import Pantry
from planner.recipes import LotRecipe, Recipe, lot_recipe_of, recipe_of
from planner.workshop import Preparation, Product, Workshop


@dataclass(frozen=True, kw_only=True)
class Held:
    """A resource and the amount of it that a batch holds while it needs it."""

    resource: str
    amount: int


@dataclass(frozen=True, kw_only=True)
class Job:
    """A batch of one size. For every pour day s, `unmould[s]` and the first pack day `cured[s]`.

    Both have the plan's length where the plan ends before. `release[s]` is the day from which the
    moulds are free again: the unmould day, or s + 1 if nothing stays in the moulds over night.
    """

    product: Product
    recipe: Recipe
    unmould: tuple[int, ...]
    cured: tuple[int, ...]
    release: tuple[int, ...]
    moulds: tuple[Held, ...]
    tray: Held
    pour_day: tuple[Held, ...]
    materials: Parts
    preparations: tuple[tuple[str, int], ...]
    packaging: Parts

    @cached_property
    def unmoulding(self) -> Leads:
        """From pour days to unmould days."""
        return leads_of(self.unmould, len(self.unmould))

    @cached_property
    def curing(self) -> Leads:
        """From pour days to the first days on which to pack."""
        return leads_of(self.cured, len(self.cured))

    @cached_property
    def moulding(self) -> Leads:
        """From pour days to the days on which the moulds are free again."""
        return leads_of(self.release, len(self.release) + 1)

    @cached_property
    def on_trays(self) -> int:
        """The fewest days on trays."""
        held = zip(self.unmould, self.cured, strict=True)
        days = [cured - unmould for unmould, cured in held if cured < len(self.cured)]
        return min(days, default=0)

    @cached_property
    def steps(self) -> tuple[int, ...]:
        """The minutes of each of its steps; making and unmoulding are one on the same day."""
        recipe = self.recipe
        if self.product.set_days == 0:
            return recipe.make_minutes + recipe.unmould_minutes, recipe.pack_minutes
        return recipe.make_minutes, recipe.unmould_minutes, recipe.pack_minutes

    def step_days(self, pour: int, pack: int) -> tuple[int, ...]:
        """The day of each of these steps."""
        return (pour, pack) if len(self.steps) == 2 else (pour, self.unmould[pour], pack)

    def last_sale(self, pour: int, days: int) -> int:
        """The last day of the plan on which bars poured on a day can be sold."""
        if self.product.shelf_life_days is None:
            return days - 1
        return min(days - 1, pour + self.product.shelf_life_days)

    @property
    def keeps(self) -> int | None:
        """The days that bars can be expected to keep after their first sale; None without limit."""
        facts = self.product
        if facts.shelf_life_days is None:
            return None
        return facts.shelf_life_days - facts.set_days - facts.cure_days - 1

    def bars(self, pour: int, pack: int, days: int) -> Span:
        """The good bars of a batch, and the days on which they can be sold."""
        return Span(first=pack + 1, last=self.last_sale(pour, days), amount=self.recipe.good)


@dataclass(frozen=True, kw_only=True)
class LotJob:
    """One lot of a preparation. `shelf_days` is None where it never expires."""

    id: str
    row: int
    recipe: LotRecipe
    ready_days: int
    shelf_days: int | None
    make_day: tuple[Held, ...]
    materials: Parts
    preparations: tuple[tuple[str, int], ...]

    def span(self, make: int, days: int) -> Span:
        """The days on which a lot made on a day can be used."""
        last = days - 1 if self.shelf_days is None else min(days - 1, make + self.shelf_days)
        return Span(first=make + self.ready_days, last=last, amount=self.recipe.amount)


@dataclass(frozen=True, kw_only=True)
class Jobs:
    """All jobs: for each product its sizes, largest first; for each preparation its lot.

    `wasted[m]` says how many of m minutes left of a day no steps of them can fill.
    """

    batches: Mapping[str, tuple[Job, ...]]
    lots: Mapping[str, LotJob]
    wasted: tuple[int, ...]

    def made(self, preparations: Iterable[tuple[str, int]]) -> Parts:
        """Preparations and their amounts as parts from the pantry."""
        return tuple((self.lots[preparation].row, amount) for preparation, amount in preparations)


def jobs_of(workshop: Workshop, workdays: Workdays, pantry: Pantry) -> Jobs:
    """Every batch and lot that the workshop's equipment can make at all."""
    batches = {
        product.id: tuple(
            job_of(workshop, recipe, workdays, pantry) for recipe in recipes_of(workshop, product)
        )
        for product in workshop.products.values()
    }
    lots = {
        preparation.id: _lot_job(workshop, preparation, pantry)
        for preparation in workshop.preparations.values()
    }
    steps = {minutes for sizes in batches.values() for job in sizes for minutes in job.steps}
    steps |= {lot.recipe.make_minutes for lot in lots.values()}
    return Jobs(batches=batches, lots=lots, wasted=wasted_minutes(steps, max(workshop.minutes)))


def wasted_minutes(steps: Iterable[int], most: int) -> tuple[int, ...]:
    """For 0 ... most minutes, how many of them steps of these lengths together cannot fill."""
    lengths = sorted({step for step in steps if step > 0})
    filled = [0]
    for left in range(1, most + 1):
        fits = (step + filled[left - step] for step in lengths if step <= left)
        filled.append(max(fits, default=0))
    return tuple(left - full for left, full in enumerate(filled))


def recipes_of(workshop: Workshop, product: Product) -> list[Recipe]:
    """The sizes of a product that fit its vessel and give bars to sell, largest first."""
    recipes = [recipe_of(workshop, product.id, bars) for bars in product.sizes]
    capacity = workshop.vessels[product.vessel].capacity_mg
    fitting = [recipe for recipe in recipes if recipe.mass <= capacity and recipe.good > 0]
    return sorted(fitting, key=lambda recipe: -recipe.bars)


def job_of(workshop: Workshop, recipe: Recipe, workdays: Workdays, pantry: Pantry) -> Job:
    """One size of a product, ready for placing."""
    product = workshop.products[recipe.product]
    pours = tuple(range(workdays.days))
    overnight = product.set_days > 0
    unmould = tuple(workdays.after(day + product.set_days) for day in pours) if overnight else pours
    materials, preparations = _split(workshop, pantry, recipe.parts)
    return Job(
        product=product,
        recipe=recipe,
        unmould=unmould,
        cured=tuple(workdays.after(day + product.cure_days) for day in unmould),
        release=unmould if overnight else tuple(day + 1 for day in pours),
        moulds=tuple(_moulds_held(workshop, product, recipe)),
        tray=Held(resource=tray_key(product.tray), amount=recipe.trays),
        pour_day=tuple(_needed_on_pour_day(product, recipe)),
        materials=materials,
        preparations=preparations,
        packaging=_parts(pantry, recipe.packaging),
    )


def _moulds_held(workshop: Workshop, product: Product, recipe: Recipe) -> list[Held]:
    """Fillings of the moulds, and of their place, on each day on which they are held."""
    overnight = product.set_days > 0
    turns = workshop.moulds[product.mould].turns_per_day if overnight else 1
    held = [Held(resource=mould_key(product.mould), amount=recipe.moulds * turns)]
    if product.place is not None:
        turns = workshop.places[product.place].turns_per_day if overnight else 1
        held.append(Held(resource=place_key(product.place), amount=recipe.moulds * turns))
    return held


def _needed_on_pour_day(product: Product, recipe: Recipe) -> list[Held]:
    needed = [Held(resource=vessel_key(product.vessel), amount=recipe.vessel_minutes)]
    if product.max_batches_per_day is not None:
        needed.append(Held(resource=product_key(product.id), amount=1))
    return needed


def _lot_job(workshop: Workshop, preparation: Preparation, pantry: Pantry) -> LotJob:
    recipe = lot_recipe_of(workshop, preparation)
    needed = [Held(resource=HANDS, amount=recipe.make_minutes)]
    if preparation.vessel is not None:
        vessel = vessel_key(preparation.vessel)
        needed.append(Held(resource=vessel, amount=recipe.vessel_minutes))
    materials, preparations = _split(workshop, pantry, recipe.parts)
    return LotJob(
        id=preparation.id,
        row=pantry.index[preparation.id],
        recipe=recipe,
        ready_days=preparation.ready_days,
        shelf_days=preparation.shelf_life_days,
        make_day=tuple(needed),
        materials=materials,
        preparations=preparations,
    )


def _split(
    workshop: Workshop, pantry: Pantry, parts: Mapping[str, int]
) -> tuple[Parts, tuple[tuple[str, int], ...]]:
    """Parts that are bought, and parts that are made in-house."""
    bought = {item: amount for item, amount in parts.items() if item in workshop.materials}
    made = tuple((item, amount) for item, amount in parts.items() if item not in bought)
    return _parts(pantry, bought), made


def _parts(pantry: Pantry, amounts: Mapping[str, int]) -> Parts:
    """Amounts of items; one that can always be bought without limit needs no looking after."""
    parts = ((pantry.index[item], amount) for item, amount in amounts.items() if amount > 0)
    return tuple((row, amount) for row, amount in parts if not pantry.stores[row].always)


def takes_on(held: tuple[Held, ...], first: int, stop: int) -> list[Take]:
    """The resources held on the days from `first` up to, without, `stop`."""
    return [Take(part.resource, first, stop, part.amount) for part in held if part.amount > 0]
