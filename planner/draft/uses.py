"""What batches and lots of preparations use of each material, day by day."""

from collections.abc import Iterable, Mapping

from planner.plan import Batch, PreparationLot
from planner.recipes import LotRecipe, Recipe, lot_recipe_of, recipe_of
from planner.workshop import Workshop

DailyUses = dict[str, dict[int, int]]
"""Material -> day -> amount used."""


def material_uses(
    workshop: Workshop, batches: Iterable[Batch], preparations: Iterable[PreparationLot]
) -> DailyUses:
    """All uses of bought materials: parts on pour and make days, packaging on pack days.

    A batch under way took its parts before the plan began; its packaging is still to be used.
    """
    uses: DailyUses = {material: {} for material in workshop.materials}
    recipes: dict[tuple[str, int], Recipe] = {}
    for batch in batches:
        key = batch.product, batch.bars
        if key not in recipes:
            recipes[key] = recipe_of(workshop, *key)
        if not batch.in_progress:
            _use(uses, batch.pour, recipes[key].parts)
        if batch.pack is not None:
            _use(uses, batch.pack, recipes[key].packaging)
    lots: dict[str, LotRecipe] = {}
    for lot in preparations:
        if lot.preparation not in lots:
            preparation = workshop.preparations[lot.preparation]
            lots[lot.preparation] = lot_recipe_of(workshop, preparation)
        _use(uses, lot.make, lots[lot.preparation].parts)
    return uses


def _use(uses: DailyUses, day: int, amounts: Mapping[str, int]) -> None:
    for item, amount in amounts.items():
        if item in uses and amount > 0:
            uses[item][day] = uses[item].get(day, 0) + amount
