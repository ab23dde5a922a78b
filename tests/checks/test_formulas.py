"""What products and preparations are made of."""

from decimal import Decimal

import pytest

from planner.checks.formulas import (
    check_circles,
    check_densities,
    check_formula_sums,
    check_formulas_given,
    check_kinds_of_parts,
    check_parts_can_be_weighed,
    check_products_are_packed,
)
from planner.tables.rows import FormulaRow
from planner.tables.values import MaterialKind
from planner.workshop import Unit
from tests.checks.good import GOOD, added, changed, errors, only, warnings, without


@pytest.mark.parametrize("percent", ["90.5", "90.51", "90.49"])
def test_a_formula_that_sums_to_100_within_a_hundredth(percent: str) -> None:
    assert errors(check_formula_sums, changed("formulas", 0, percent=Decimal(percent))) == []


@pytest.mark.parametrize(
    ("percent", "action"),
    [
        ("90.511", "take 0.011 percent away"),
        ("90.489", "add the missing 0.011 percent"),
        ("80", "add the missing 10.5 percent"),
    ],
)
def test_a_formula_that_does_not_sum_to_100(percent: str, action: str) -> None:
    tables = changed("formulas", 0, percent=Decimal(percent))
    assert errors(check_formula_sums, tables) == [("formulas", 2, "percent")]
    assert only(check_formula_sums, tables).action == action


def test_parts_of_one_are_recognised() -> None:
    tables = changed("formulas", 6, percent=Decimal(1))
    assert "not parts of one" in only(check_formula_sums, tables).action


def test_each_formula_is_summed_for_itself() -> None:
    tables = changed("formulas", 0, percent=Decimal(91))
    tables = changed("formulas", 2, tables, percent=Decimal(94))
    assert errors(check_formula_sums, tables) == [
        ("formulas", 2, "percent"),
        ("formulas", 4, "percent"),
    ]


def test_a_product_without_a_formula() -> None:
    assert errors(check_formulas_given, GOOD) == []
    assert errors(check_formulas_given, without("formulas", 0)) == [], "one part is left"
    assert errors(check_formulas_given, without("formulas", 0, 1)) == [("products", 2, "product")]


def test_a_preparation_without_a_formula() -> None:
    assert warnings(check_formulas_given, without("formulas", 6)) == [
        ("preparations", 3, "preparation")
    ]


def test_a_part_in_ml_needs_a_density() -> None:
    tables = changed("materials", 1, density_g_per_ml=None)
    assert errors(check_parts_can_be_weighed, tables) == [("materials", 3, "density_g_per_ml")]
    assert errors(check_parts_can_be_weighed, changed("materials", 1, tables, unit=Unit.GRAM)) == []


def test_what_is_not_weighed_needs_no_density() -> None:
    tables = changed("materials", 3, unit=Unit.MILLILITRE)
    assert errors(check_parts_can_be_weighed, tables) == []


def test_a_preparation_in_ml_needs_a_density() -> None:
    tables = changed("preparations", 1, density_g_per_ml=None)
    assert errors(check_parts_can_be_weighed, tables) == [("preparations", 3, "density_g_per_ml")]


def test_a_preparation_that_nothing_takes_is_weighed_when_it_is_made() -> None:
    tables = changed("preparations", 1, without("formulas", 3), density_g_per_ml=None)
    assert errors(check_parts_can_be_weighed, tables) == [("preparations", 3, "density_g_per_ml")]
    unmade = without("formulas", 6, tables=changed("preparations", 1, density_g_per_ml=None))
    assert errors(check_parts_can_be_weighed, unmade) == [("preparations", 3, "density_g_per_ml")]
    idle = without("formulas", 3, 6, tables=changed("preparations", 1, density_g_per_ml=None))
    assert errors(check_parts_can_be_weighed, idle) == []


def test_a_part_in_pieces_cannot_be_weighed() -> None:
    tables = changed("materials", 0, unit=Unit.PIECE)
    assert errors(check_parts_can_be_weighed, tables) == [("materials", 2, "unit")]
    tables = changed("preparations", 0, unit=Unit.PIECE)
    assert errors(check_parts_can_be_weighed, tables) == [("preparations", 2, "unit")]


@pytest.mark.parametrize(("density", "odd"), [("0.5", 0), ("3", 0), ("0.49", 1), ("920", 1)])
def test_densities_far_from_water(density: str, odd: int) -> None:
    tables = changed("materials", 1, density_g_per_ml=Decimal(density))
    assert warnings(check_densities, tables) == [("materials", 3, "density_g_per_ml")] * odd


def test_formulas_take_ingredients() -> None:
    assert warnings(check_kinds_of_parts, changed("materials", 2, kind=MaterialKind.PACKAGING)) == [
        ("formulas", 7, "part")
    ]
    assert warnings(
        check_kinds_of_parts, changed("materials", 2, kind=MaterialKind.CONSUMABLE)
    ) == [("formulas", 7, "part")]


def test_packaging_takes_no_ingredients() -> None:
    ingredient = changed("materials", 3, kind=MaterialKind.INGREDIENT)
    assert warnings(check_kinds_of_parts, ingredient) == [
        ("packaging", 2, "material"),
        ("packaging", 3, "material"),
    ]
    assert (
        warnings(check_kinds_of_parts, changed("materials", 3, kind=MaterialKind.CONSUMABLE)) == []
    )


def test_a_product_without_packaging() -> None:
    assert warnings(check_products_are_packed, without("packaging", 1)) == [
        ("products", 3, "product")
    ]
    assert warnings(check_products_are_packed, GOOD) == []


def test_preparations_in_a_circle() -> None:
    tables = changed("formulas", 5, part="toner")
    assert errors(check_circles, tables) == [("formulas", 8, "part")]
    found = only(check_circles, tables).found
    assert "toner into glycerite" in found
    assert "glycerite into toner" in found


def test_a_preparation_made_of_itself() -> None:
    tables = added("formulas", FormulaRow(item="toner", part="toner", percent=Decimal(1)))
    assert errors(check_circles, tables) == [("formulas", 9, "part")]


def test_a_preparation_that_two_take_is_no_circle() -> None:
    assert errors(check_circles, GOOD) == [], "glycerite goes into toner and into mint"
