"""How much of everything a plan can make use of: finite domains that cut off no good plan."""

from collections import Counter
from functools import cached_property
from math import ceil

from planner.needs import bars_asked, worth_having
from planner.plan import Plan
from planner.recipes import LotRecipe, Recipe, lot_recipe_of, recipe_of
from planner.workshop import DemandKind, Offer, Product, Supplier, Workshop

SizeKey = tuple[str, int]


class Ceilings:
    """Recipes of every size, and numbers above which one more batch, lot or pack cannot help.

    None is below what a `stored` plan does: its frozen days must be kept though the demand that
    they were planned for may have gone, and the search may start from it.
    """

    def __init__(self, workshop: Workshop, stored: Plan | None = None) -> None:
        self.workshop = workshop
        self.stored = _counts(stored or Plan())
        self.recipes: dict[SizeKey, Recipe] = {
            (product.id, bars): recipe_of(workshop, product.id, bars)
            for product in workshop.products.values()
            for bars in product.sizes
        }
        self.lot_recipes: dict[str, LotRecipe] = {
            preparation.id: lot_recipe_of(workshop, preparation)
            for preparation in workshop.preparations.values()
        }

    @cached_property
    def wanted(self) -> dict[str, int]:
        """Bars of each product that its demand rows and levels can take in all."""
        return {product: bars_asked(self.workshop, product) for product in self.workshop.products}

    @cached_property
    def worth_having(self) -> dict[str, int]:
        """How much of each material counts for something."""
        return worth_having(self.workshop)

    @cached_property
    def batches(self) -> dict[SizeKey, int]:
        """Batches of each size that alone would make every bar ever wanted.

        Where bars can expire, each bar wanted, and each day of a level, may need its own batch.
        """
        return {
            key: max(self._wanted_batches(key), self.stored[key]) if recipe.good else 0
            for key, recipe in self.recipes.items()
        }

    def _wanted_batches(self, key: SizeKey) -> int:
        product_id, _ = key
        wanted = self.wanted[product_id]
        if bars_expire(self.workshop, self.workshop.products[product_id]):
            return wanted + self._level_days(product_id)
        # Only bars that can be sold from the first day on surely spare a batch.
        wanted -= sum(
            lot.amount
            for lot in self.workshop.lots
            if lot.item == product_id and lot.is_usable and lot.usable <= 0
        )
        return ceil(wanted / self.recipes[key].good)

    def poured(self, key: SizeKey) -> int:
        """Batches of a size that can be of use and that all working days together can take."""
        return min(self.batches[key], self.daily(key) * len(self.workshop.working_days))

    def _level_days(self, product_id: str) -> int:
        """Bars times days that the levels of a product ask for."""
        last = self.workshop.days - 1
        return sum(
            row.quantity
            * (1 + (last if row.last_day is None else min(row.last_day, last)) - max(row.day, 0))
            for row in self.workshop.demand
            if row.product == product_id and row.kind is DemandKind.RESTOCK
        )

    @cached_property
    def used(self) -> dict[str, int]:
        """Amount of each item that all those batches, and the lots they need, would take."""
        total = dict.fromkeys([*self.workshop.materials, *self.workshop.preparations], 0)
        for product, sizes in self._by_product().items():
            for item in total:
                per_size = [
                    self.recipes[key].parts.get(item, 0) + self.recipes[key].packaging.get(item, 0)
                    for key in sizes
                ]
                counts = [self.batches[product, bars] for _, bars in sizes]
                most = (n * amount for n, amount in zip(counts, per_size, strict=True))
                total[item] += max(most, default=0) + max(per_size, default=0)
        for batch in self.workshop.underway:
            recipe = recipe_of(self.workshop, batch.product, batch.bars)
            for item, amount in recipe.packaging.items():
                total[item] += amount
        for preparation in preparation_levels(self.workshop):
            recipe_of_lot = self.lot_recipes[preparation]
            lots = self._lots(preparation, total[preparation])
            for item, amount in recipe_of_lot.parts.items():
                total[item] += lots * amount
        return total

    def _by_product(self) -> dict[str, list[SizeKey]]:
        sizes: dict[str, list[SizeKey]] = {product: [] for product in self.workshop.products}
        for key in self.recipes:
            sizes[key[0]].append(key)
        return sizes

    def _lots(self, preparation_id: str, used: int) -> int:
        recipe = self.lot_recipes[preparation_id]
        preparation = self.workshop.preparations[preparation_id]
        if recipe.amount == 0:
            return 0
        life = preparation.shelf_life_days
        expires = life is not None and life < self.workshop.days
        # A lot that expires may be left half full, on each day on which one can be made.
        renewals = len(self.workshop.working_days) if expires else 0
        most = ceil((used + preparation.safety_stock) / recipe.amount) + renewals
        return max(most, self.stored["made", preparation_id])

    def lots(self, preparation_id: str) -> int:
        """Lots of a preparation above which one more cannot help."""
        return self._lots(preparation_id, self.used[preparation_id])

    def packs(self, offer: Offer) -> int:
        """Packs of an offer above which one more cannot help, in the plan or in one order.

        For a lower price, a minimum or free freight an order may be filled up as far as what is
        left counts for something; beyond it, to save freight, by the freight at most.
        """
        supplier = self.workshop.suppliers[offer.supplier]
        fills = supplier.minimum_order or supplier.free_freight_from or len(offer.steps) > 1
        amount = self.used[offer.material] + self.workshop.materials[offer.material].safety_stock
        if fills:
            amount = max(amount, self.worth_having[offer.material])
        most = ceil(amount / offer.amount)
        least = max(offer.min_packs, *(step.packs for step in offer.steps))
        # The last line may be larger than what is still needed; any line, where packs expire.
        lines = 1 if offer.shelf_life_days is None else len(offer.deliveries)
        most += lines * least + self._filler(offer, supplier)
        return max(most, self.stored["bought", offer.id])

    def _filler(self, offer: Offer, supplier: Supplier) -> int:
        """Packs that count for nothing and may yet be ordered for a minimum or free freight."""
        cheapest = min(step.price for step in offer.steps)
        if not cheapest:
            return 0
        minimum = min(len(offer.deliveries), 4) * ceil((supplier.minimum_order or 0) / cheapest)
        free = ceil(supplier.freight / cheapest) if supplier.free_freight_from else 0
        return minimum + free

    def daily(self, key: SizeKey) -> int:
        """The most batches of one size that a day can take: pot, hands, moulds, the maker's cap."""
        product = self.workshop.products[key[0]]
        recipe = self.recipes[key]
        vessel = self.workshop.vessels[product.vessel]
        mould = self.workshop.moulds[product.mould]
        turns = mould.turns_per_day if product.set_days == 0 else 1
        limits = [mould.count * turns // recipe.moulds]
        if recipe.vessel_minutes:
            limits.append(vessel.count * vessel.minutes_per_day // recipe.vessel_minutes)
        if recipe.make_minutes:
            limits.append(max(self.workshop.minutes, default=0) // recipe.make_minutes)
        if product.max_batches_per_day is not None:
            limits.append(product.max_batches_per_day)
        return min(limits) if recipe.mass <= vessel.capacity_mg and recipe.good else 0


def _counts(plan: Plan) -> "Counter[tuple[str, int | str]]":
    """How many batches of each size, lots of each preparation and packs of each offer it has."""
    counts: Counter[tuple[str, int | str]] = Counter()
    for batch in plan.batches:
        if not batch.in_progress:
            counts[batch.product, batch.bars] += 1
    counts.update(("made", lot.preparation) for lot in plan.preparations)
    for line in (line for order in plan.purchases for line in order.lines):
        counts["bought", line.offer] += line.packs
    return counts


def bars_expire(workshop: Workshop, product: Product) -> bool:
    """True if bars of the product can pass their use-by date within the plan."""
    last = workshop.days - 1
    lots = any(
        lot.item == product.id and lot.is_usable and lot.use_by is not None and lot.use_by < last
        for lot in workshop.lots
    )
    life = product.shelf_life_days
    first = min((b.pour for b in workshop.underway if b.product == product.id), default=0)
    return lots or (life is not None and min(first, 0) + life < last)


def preparation_levels(workshop: Workshop) -> list[str]:
    """Preparations in an order in which each stands before those that it is made from."""
    order: list[str] = []

    def visit(preparation: str) -> None:
        if preparation in order:
            return
        for other in workshop.preparations.values():
            if any(part.item == preparation for part in other.formula):
                visit(other.id)
        order.append(preparation)

    for preparation in workshop.preparations:
        visit(preparation)
    return order
