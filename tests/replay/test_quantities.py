"""The replay's arithmetic, worked out by hand and against the recipes that plans are made with."""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.recipes import lot_recipe_of, recipe_of
from planner.replay.quantities import (
    charge_mass,
    good_bars,
    half_up,
    how_many,
    making_minutes,
    packaging_taken,
    packing_minutes,
    parts_taken,
    poured_mass,
    sound_bars,
    usable_amount,
)
from planner.workshop import Packaging, Part, Preparation, Unit
from tests.workshops import random_workshop, tiny

BAR = tiny().products["bar"]


def test_mass_makes_up_for_what_stays_in_the_pot() -> None:
    # 96 bars of 82 g are 7872 g; 2 % stay behind: 7872 / 0.98 = 8032.653061... g
    product = replace(BAR, pour_mg=82_000, loss=Fraction(2, 100))
    assert poured_mass(product, 96) == 8_032_654


def test_sound_and_good_bars() -> None:
    # 3 % of 96 are 2.88 rejected bars: 93.12, 93 sound ones, of which 3 are kept
    product = replace(BAR, reject=Fraction(3, 100), keep_bars=3)
    assert (sound_bars(product, 96), good_bars(product, 96)) == (93, 90)
    assert good_bars(product, 2) == 0


def test_parts_round_up_each_and_liquids_go_by_density() -> None:
    base = tiny().materials["base"]
    oil = replace(base, id="oil", unit=Unit.MILLILITRE, density=Fraction(92, 100))
    workshop = tiny(materials={"base": base, "oil": oil}, values={})
    formula = (Part(item="base", share=Fraction(2, 3)), Part(item="oil", share=Fraction(1, 3)))
    # 2/3 of 1000 mg is 666.67, up to 667; 333.33 mg / 0.92 g/ml is 362.32, up to 363
    assert parts_taken(workshop, formula, 1000) == {"base": 667, "oil": 363}


def test_a_part_that_stands_twice_is_added_up() -> None:
    formula = (Part(item="base", share=Fraction(1, 2)), Part(item="base", share=Fraction(1, 2)))
    assert parts_taken(tiny(), formula, 1001) == {"base": 501 + 501}


def test_a_preparation_weighs_by_its_density_and_loses_in_straining() -> None:
    tea = Preparation(
        id="tea",
        unit=Unit.MILLILITRE,
        charge=1_000_001,
        make_minutes=10,
        ready_days=0,
        density=Fraction(11, 10),
        yields=Fraction(9, 10),
    )
    # 1,000,001 x 1.1 = 1,100,001.1 mg, up; 1,000,001 x 0.9 = 900,000.9, down
    assert (charge_mass(tea), usable_amount(tea)) == (1_100_002, 900_000)


def test_a_preparation_kept_by_weight_weighs_what_it_says() -> None:
    syrup = Preparation(
        id="syrup",
        unit=Unit.GRAM,
        charge=1000,
        make_minutes=10,
        ready_days=0,
        density=Fraction(13, 10),
    )
    assert charge_mass(syrup) == 1000


def test_minutes_packaging_moulds_and_trays_round_up() -> None:
    product = replace(
        BAR, make_minutes_per_bar=Fraction(1, 3), pack_minutes_per_bar=Fraction(13, 10)
    )
    assert making_minutes(product, 10) == 64  # 60 + 3.33
    assert packing_minutes(product, 9) == 12  # 11.7
    assert packaging_taken((Packaging(material="box", per_bar=Fraction(1, 12)),), 25) == {"box": 3}
    assert (how_many(24, 12), how_many(25, 12)) == (2, 3)


def test_halves_round_up() -> None:
    assert [half_up(Fraction(n, 2)) for n in (-1, 1, 3, 4)] == [0, 1, 2, 2]


@pytest.mark.parametrize("seed", range(3))
def test_both_arithmetics_agree(seed: int) -> None:
    """Written twice on purpose: a plan made with one must pass with the other."""
    workshop = random_workshop(seed)
    for product in workshop.products.values():
        for bars in product.sizes:
            recipe = recipe_of(workshop, product.id, bars)
            assert recipe.mass == poured_mass(product, bars)
            assert (recipe.sound, recipe.good) == (
                sound_bars(product, bars),
                good_bars(product, bars),
            )
            assert recipe.parts == parts_taken(workshop, product.formula, recipe.mass)
            assert recipe.packaging == packaging_taken(product.packaging, recipe.sound)
            assert recipe.make_minutes == making_minutes(product, bars)
            assert recipe.pack_minutes == packing_minutes(product, bars)
    for preparation in workshop.preparations.values():
        lot = lot_recipe_of(workshop, preparation)
        assert lot.amount == usable_amount(preparation)
        assert lot.parts == parts_taken(workshop, preparation.formula, charge_mass(preparation))
