"""Units against the exact definitions of NIST Handbook 44, Appendix C (also SP 811, Appendix B)."""

import subprocess
import sys
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.units import UnitError, canonical_unit, known_units, size_of, to_smallest
from planner.workshop import Unit

# NIST Handbook 44 Appendix C / NIST SP 811 Appendix B: exact by definition.
EXACT_SIZES = {
    "mg": (Unit.GRAM, "0.001"),
    "g": (Unit.GRAM, "1"),
    "kg": (Unit.GRAM, "1000"),
    "oz": (Unit.GRAM, "28.349523125"),
    "lb": (Unit.GRAM, "453.59237"),
    "ml": (Unit.MILLILITRE, "1"),
    "l": (Unit.MILLILITRE, "1000"),
    "fl oz US": (Unit.MILLILITRE, "29.5735295625"),
    "fl oz imp": (Unit.MILLILITRE, "28.4130625"),
    "gal US": (Unit.MILLILITRE, "3785.411784"),
    "gal imp": (Unit.MILLILITRE, "4546.09"),
    "ea": (Unit.PIECE, "1"),
}


@pytest.mark.parametrize(("unit", "size"), EXACT_SIZES.items())
def test_size_is_exact(unit: str, size: tuple[Unit, str]) -> None:
    assert size_of(unit) == (size[0], Fraction(size[1]))


def test_every_known_unit_is_checked_above() -> None:
    assert set(known_units()) == set(EXACT_SIZES)


def test_sizes_follow_from_the_inch_and_the_pound() -> None:
    # NIST Handbook 44 Appendix C: a US gallon is 231 cubic inches, an inch 25.4 mm; a gallon has
    # 128 US fluid ounces; a pound 16 ounces. UK Weights and Measures Act 1985 (from memory):
    # an imperial gallon has 160 fluid ounces.
    cubic_inch = Fraction("2.54") ** 3
    assert cubic_inch == Fraction("16.387064")
    assert size_of("gal US")[1] == 231 * cubic_inch == 128 * size_of("fl oz US")[1]
    assert size_of("gal imp")[1] == 160 * size_of("fl oz imp")[1]
    assert size_of("lb")[1] == 16 * size_of("oz")[1]


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("KG", "kg"),
        (" g ", "g"),
        ("Litres", "l"),
        ("lbs.", "lb"),
        ("US fl. oz.", "fl oz US"),
        ("fl  oz  us", "fl oz US"),
        ("imp fl oz", "fl oz imp"),
        ("Imperial gal", "gal imp"),
        ("us gal", "gal US"),
        ("pcs", "ea"),
    ],
)
def test_other_spellings_mean_the_same_unit(text: str, name: str) -> None:
    assert canonical_unit(text) == name


@pytest.mark.parametrize(
    ("text", "american", "imperial"),
    [
        ("fl oz", "fl oz US", "fl oz imp"),
        ("Fl. Oz.", "fl oz US", "fl oz imp"),
        ("gal", "gal US", "gal imp"),
        ("gallons", "gal US", "gal imp"),
    ],
)
def test_an_ambiguous_unit_names_both(text: str, american: str, imperial: str) -> None:
    with pytest.raises(UnitError, match="write which one is meant") as error:
        canonical_unit(text)
    assert error.value.expected == f'"{american}" or "{imperial}"'


def test_an_unknown_unit_lists_the_known_ones() -> None:
    with pytest.raises(UnitError, match="cups: expected one of mg, g, kg, oz, lb, ml, l, fl oz US"):
        canonical_unit("cups")


@pytest.mark.parametrize(
    ("quantity", "unit", "base", "smallest"),
    [
        ("25", "kg", Unit.GRAM, 25_000_000),
        ("1", "lb", Unit.GRAM, 453_592),  # 453 592.37 mg
        ("1", "oz", Unit.GRAM, 28_350),  # 28 349.523125 mg
        ("1", "fl oz US", Unit.MILLILITRE, 29_574),  # 29 573.5295625 thousandths of a ml
        ("1", "gal imp", Unit.MILLILITRE, 4_546_090),
        ("0.0005", "g", Unit.GRAM, 1),  # half a milligram goes up
        ("0.000499", "g", Unit.GRAM, 0),
        ("500", "ea", Unit.PIECE, 500),
    ],
)
def test_amounts_become_whole_smallest_units(
    quantity: str, unit: str, base: Unit, smallest: int
) -> None:
    assert to_smallest(Decimal(quantity), unit, base) == smallest


def test_density_turns_volume_into_mass_and_back() -> None:
    # Glycerol has 1.26 g/ml (CRC Handbook of Chemistry and Physics, from memory).
    glycerol = Fraction("1.26")
    assert to_smallest(Decimal(1), "l", Unit.GRAM, glycerol) == 1_260_000
    assert to_smallest(Decimal("1.26"), "kg", Unit.MILLILITRE, glycerol) == 1_000_000


def test_volume_without_density_says_what_to_give() -> None:
    with pytest.raises(UnitError, match="give density_g_per_ml"):
        to_smallest(Decimal(1), "fl oz US", Unit.GRAM)


@pytest.mark.parametrize(("unit", "base"), [("kg", Unit.PIECE), ("ea", Unit.MILLILITRE)])
def test_pieces_are_no_mass_and_no_volume(unit: str, base: Unit) -> None:
    with pytest.raises(UnitError, match=f'"{unit}" cannot be turned into {base.value}'):
        to_smallest(Decimal(1), unit, base, Fraction(1))


def test_part_of_a_piece_is_refused() -> None:
    with pytest.raises(UnitError, match=r"2\.5 ea: expected a whole number of pieces"):
        to_smallest(Decimal("2.5"), "ea", Unit.PIECE)


@given(
    quantity=st.decimals(min_value=0, max_value=10_000, places=3),
    unit=st.sampled_from([unit for unit, size in EXACT_SIZES.items() if size[0] is Unit.GRAM]),
)
@settings(max_examples=50, deadline=None)
def test_rounding_moves_an_amount_by_half_a_milligram_at_most(quantity: Decimal, unit: str) -> None:
    exact = Fraction(quantity) * Fraction(EXACT_SIZES[unit][1]) * 1000
    assert abs(to_smallest(quantity, unit, Unit.GRAM) - exact) <= Fraction(1, 2)


def test_the_unit_library_is_loaded_only_when_needed() -> None:
    code = "import planner.units, sys; assert 'pint' not in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True)
