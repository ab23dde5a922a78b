"""Whether a batch of each size can be made with the workshop's equipment and hands."""

from decimal import Decimal

import pytest

from planner.checks.batches import (
    check_batch_sizes_given,
    check_good_bars,
    check_hands_for_batches,
    check_moulds,
    check_places,
    check_trays,
    check_vessel_capacity,
    check_vessel_minutes,
    check_vessels_there,
)
from planner.tables.rows import Tables
from tests.checks.good import GOOD, changed, errors, only, warnings, without

FULL_MINT = [("batch_sizes", 2, "bars")]
ROSE = [("batch_sizes", 4, "bars")]


def test_a_product_without_a_batch_size() -> None:
    assert errors(check_batch_sizes_given, without("batch_sizes", 0)) == []
    assert errors(check_batch_sizes_given, without("batch_sizes", 0, 1)) == [
        ("products", 2, "product")
    ]


def test_a_batch_fits_into_the_vessel() -> None:
    # 98 bars x 82 g / (1 - 2 %) = 8,200 g, exactly what the pot takes.
    assert errors(check_vessel_capacity, changed("batch_sizes", 0, bars=98)) == []
    assert errors(check_vessel_capacity, changed("batch_sizes", 0, bars=99)) == FULL_MINT


def test_a_milligram_too_much_is_too_much() -> None:
    tables = changed("batch_sizes", 0, bars=98)
    lighter = changed("vessels", 0, tables, capacity_g=Decimal("8199.999"))
    assert errors(check_vessel_capacity, lighter) == FULL_MINT
    assert "8200 g" in only(check_vessel_capacity, lighter).found


def test_every_size_that_does_not_fit_is_told() -> None:
    tables = changed("vessels", 0, capacity_g=Decimal(3000))
    assert errors(check_vessel_capacity, tables) == [
        ("batch_sizes", 2, "bars"),
        ("batch_sizes", 3, "bars"),
    ]


def test_a_kind_of_vessel_of_which_there_is_none() -> None:
    tables = changed("vessels", 0, count=0)
    assert errors(check_vessels_there, tables) == [("vessels", 2, "count")]
    unused = changed("vessels", 0, tables, vessel="kettle")
    assert errors(check_vessels_there, unused) == []


def test_vessel_minutes_of_a_batch() -> None:
    assert errors(check_vessel_minutes, changed("products", 0, vessel_minutes=400)) == []
    too_long = changed("products", 0, vessel_minutes=401)
    assert errors(check_vessel_minutes, too_long) == [("products", 2, "vessel_minutes")]
    two_pots = changed("vessels", 0, too_long, count=2)
    assert warnings(check_vessel_minutes, two_pots) == [("products", 2, "vessel_minutes")]


def test_moulds_held_over_night() -> None:
    assert errors(check_moulds, GOOD) == [], "96 bars in all 8 moulds of 12"
    assert errors(check_moulds, changed("batch_sizes", 0, bars=97)) == FULL_MINT
    turns = changed("moulds", 0, changed("batch_sizes", 0, bars=97), turns_per_day=2)
    assert errors(check_moulds, turns) == FULL_MINT, "turns do not help over night"


def test_moulds_filled_twice_a_day() -> None:
    # 48 bars are 8 fillings of 6; there are 4 moulds with 2 turns.
    assert errors(check_moulds, changed("batch_sizes", 2, bars=49)) == ROSE
    assert errors(check_moulds, changed("moulds", 1, turns_per_day=1)) == ROSE
    assert errors(check_moulds, changed("products", 1, set_days=1)) == ROSE


def test_no_mould_at_all() -> None:
    assert errors(check_moulds, changed("moulds", 1, count=0)) == ROSE


def test_moulds_that_the_place_takes() -> None:
    assert errors(check_places, GOOD) == [], "8 moulds where 8 fit"
    assert errors(check_places, changed("places", 0, moulds=7)) == FULL_MINT
    turned = changed("places", 0, moulds=7, turns_per_day=2)
    assert errors(check_places, turned) == FULL_MINT, "turns do not help over night"
    same_day = changed("products", 0, turned, set_days=0)
    assert errors(check_places, same_day) == []


def test_a_product_without_a_place_needs_none() -> None:
    tables = changed("places", 0, changed("products", 0, place=None), moulds=0)
    assert errors(check_places, tables) == []


@pytest.mark.parametrize(("trays", "found"), [(6, []), (5, FULL_MINT)])
def test_trays(trays: int, found: list[tuple[str, int, str]]) -> None:
    assert errors(check_trays, changed("trays", 0, count=trays)) == found


def test_a_bar_that_needs_no_cure_needs_no_tray() -> None:
    tables = changed("trays", 0, changed("products", 0, cure_days=0), count=1)
    assert errors(check_trays, tables) == ROSE


def with_longest_day(minutes: int) -> Tables:
    tables = without("hands", 1, 2)
    return changed("hands", 0, tables, minutes=minutes)


def test_hands_for_making_unmoulding_and_packing() -> None:
    assert errors(check_hands_for_batches, with_longest_day(150)) == []
    assert errors(check_hands_for_batches, with_longest_day(149)) == [
        ("batch_sizes", 2, "bars"),
        ("batch_sizes", 3, "bars"),
    ]
    assert (
        "150 min for making"
        in only(
            check_hands_for_batches, without("batch_sizes", 1, tables=with_longest_day(149))
        ).found
    )


def test_hands_for_packing_round_up() -> None:
    tables = changed("products", 0, pack_minutes_per_bar=Decimal("3.125"))
    assert errors(check_hands_for_batches, tables) == [], "96 x 3.125 = 300 min, as on Wednesdays"
    tables = changed("products", 0, pack_minutes_per_bar=Decimal("3.126"))
    assert errors(check_hands_for_batches, tables) == FULL_MINT
    assert "301 min for packing" in only(check_hands_for_batches, tables).found


def test_hands_for_a_batch_unmoulded_on_its_pour_day() -> None:
    assert errors(check_hands_for_batches, changed("products", 1, unmould_minutes=190)) == []
    assert errors(check_hands_for_batches, changed("products", 1, unmould_minutes=191)) == ROSE
    assert errors(check_hands_for_batches, changed("products", 0, unmould_minutes=300)) == []


def test_the_longest_day_may_be_an_extra_day() -> None:
    tables = changed("extra_days", 0, with_longest_day(149), minutes=150)
    assert errors(check_hands_for_batches, tables) == []


def test_minutes_per_bar_count() -> None:
    tables = changed("products", 0, make_minutes_per_bar=Decimal("1.5625"))
    assert errors(check_hands_for_batches, tables) == [], "150 + 96 x 1.5625 = 300"
    tables = changed("products", 0, make_minutes_per_bar=Decimal("1.57"))
    assert errors(check_hands_for_batches, tables) == FULL_MINT


def test_something_is_left_to_sell() -> None:
    # 96 bars less 3 % are 93 sound ones, 48 less 3 % are 46.
    assert errors(check_good_bars, changed("products", 0, keep_bars=45)) == []
    assert errors(check_good_bars, changed("products", 0, keep_bars=46)) == [
        ("batch_sizes", 3, "bars")
    ]
    assert errors(check_good_bars, changed("products", 1, reject_percent=Decimal(100))) == ROSE


def test_unknown_equipment_is_left_to_the_check_of_names() -> None:
    for column in ("mould", "place", "vessel", "tray"):
        tables = changed("products", 0, **{column: "nowhere"})
        for check in (check_moulds, check_places, check_trays, check_vessel_capacity):
            assert errors(check, tables) == []
