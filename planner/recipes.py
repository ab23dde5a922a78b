"""What one batch, or one lot of a preparation, takes and gives, in whole numbers.

Shared by the list scheduler and the solver model; the replay works all of it out by itself.
Rounding always goes against the plan: masses, amounts and minutes up, good bars down.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from planner.workshop import Part, Preparation, Product, Unit, Workshop


@dataclass(frozen=True, kw_only=True)
class Recipe:
    """One batch of `bars` bars of a product.

    parts     item -> amount taken on the pour day
    packaging material -> amount used on the pack day, for the sound bars
    """

    product: str
    bars: int
    mass: int
    sound: int
    good: int
    moulds: int
    trays: int
    make_minutes: int
    unmould_minutes: int
    pack_minutes: int
    vessel_minutes: int
    parts: Mapping[str, int]
    packaging: Mapping[str, int]


@dataclass(frozen=True, kw_only=True)
class LotRecipe:
    """One lot of a preparation: `amount` can be used once it is ready."""

    preparation: str
    amount: int
    make_minutes: int
    vessel_minutes: int
    parts: Mapping[str, int]


def batch_mass(product: Product, bars: int) -> int:
    """Milligrams to weigh for a batch: bars x pour_g / (1 - loss), rounded up."""
    return ceil(bars * product.pour_mg / (1 - product.loss))


def sound_bars(product: Product, bars: int) -> int:
    """Bars of a batch that are not rejected: floor(bars x (1 - reject))."""
    return floor(bars * (1 - product.reject))


def amounts_of(workshop: Workshop, formula: tuple[Part, ...], mass: int) -> dict[str, int]:
    """Split a mass in mg into item -> amount in each item's smallest unit, rounded up.

    A part kept in ml needs mass / density of it: 1 mg / (1 g/ml) = 1 thousandth of a ml.
    """
    amounts: dict[str, int] = {}
    for part in formula:
        record = workshop.materials.get(part.item) or workshop.preparations[part.item]
        exact = part.share * mass
        if record.unit is Unit.MILLILITRE:
            exact /= record.density or 1
        amounts[part.item] = amounts.get(part.item, 0) + ceil(exact)
    return amounts


def recipe_of(workshop: Workshop, product_id: str, bars: int) -> Recipe:
    """Everything one batch of `bars` bars takes and gives."""
    product = workshop.products[product_id]
    mass = batch_mass(product, bars)
    sound = sound_bars(product, bars)
    return Recipe(
        product=product_id,
        bars=bars,
        mass=mass,
        sound=sound,
        good=max(0, sound - product.keep_bars),
        moulds=ceil(Fraction(bars, workshop.moulds[product.mould].cavities)),
        trays=ceil(Fraction(bars, product.bars_per_tray)),
        make_minutes=ceil(product.make_minutes + product.make_minutes_per_bar * bars),
        unmould_minutes=product.unmould_minutes,
        pack_minutes=ceil(product.pack_minutes_per_bar * bars),
        vessel_minutes=product.vessel_minutes,
        parts=amounts_of(workshop, product.formula, mass),
        packaging={use.material: ceil(use.per_bar * sound) for use in product.packaging},
    )


def lot_recipe_of(workshop: Workshop, preparation: Preparation) -> LotRecipe:
    """Everything one lot of a preparation takes and gives."""
    mass = Fraction(preparation.charge)
    if preparation.unit is Unit.MILLILITRE:
        mass *= preparation.density or 1
    return LotRecipe(
        preparation=preparation.id,
        amount=floor(preparation.charge * preparation.yields),
        make_minutes=preparation.make_minutes,
        vessel_minutes=preparation.vessel_minutes if preparation.vessel else 0,
        parts=amounts_of(workshop, preparation.formula, ceil(mass)),
    )
