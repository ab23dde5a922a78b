"""The planning record and the explosion over levels, against published cells.

Where a test says 'from memory', the numbers were remembered, not seen in the book, and agree with
an independent computation.
"""

from fractions import Fraction
from graphlib import CycleError

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.requirements import (
    Item,
    Record,
    Sizing,
    Use,
    explode,
    fixed_quantity,
    lot_for_lot,
    periods_of_supply,
    record_of,
)

SEAT_GROSS = (150, 0, 0, 120, 0, 150, 120, 0)


def seat(sizing: Sizing) -> Record:
    """Krajewski, Ritzman & Malhotra, Operations Management: the seat subassembly.

    The inputs are the book's; the outputs below are from memory.
    """
    return record_of(Item(on_hand=37, scheduled=(230,), lead=2, sizing=sizing), SEAT_GROSS)


def test_seat_by_fixed_order_quantity() -> None:
    record = seat(fixed_quantity(230))
    assert record.balance == (117, 117, 117, 227, 227, 77, 187, 187)
    assert record.net == (0, 0, 0, 3, 0, 0, 43, 0)
    assert record.receipts == (0, 0, 0, 230, 0, 0, 230, 0)
    assert record.releases == (0, 230, 0, 0, 230, 0, 0, 0)


def test_seat_by_periods_of_supply() -> None:
    record = seat(periods_of_supply(3))
    assert record.balance == (117, 117, 117, 150, 150, 0, 0, 0)
    assert record.receipts == (0, 0, 0, 153, 0, 0, 120, 0)
    assert record.releases == (0, 153, 0, 0, 120, 0, 0, 0)


def test_seat_lot_for_lot() -> None:
    record = seat(lot_for_lot)
    assert record.balance == (117, 117, 117, 0, 0, 0, 0, 0)
    assert record.receipts == (0, 0, 0, 3, 0, 150, 120, 0)
    assert record.releases == (0, 3, 0, 150, 120, 0, 0, 0)
    assert record.past_due == 0


def test_chair_over_two_levels() -> None:
    """A course sheet's chair exercise: weeks 1 to 4 are printed in its solution.

    Later weeks follow from its text; the parts' lead time of two weeks from its printed rows.
    """
    uses = [("seat", 1), ("back", 1), ("leg", 4)]
    items = {
        "leg": Item(on_hand=80, lead=2),
        "back": Item(on_hand=40, scheduled=(10,), lead=2),
        "seat": Item(on_hand=60, scheduled=(50,), lead=2),
        "chair": Item(
            on_hand=260,
            lead=2,
            uses=tuple(Use(item=name, per=Fraction(per)) for name, per in uses),
        ),
    }
    records = explode(items, {"chair": (150, 0, 70, 0, 175, 0, 90, 60)})
    assert list(records) == list(items)
    assert records["chair"].balance[:4] == (110, 110, 40, 40)
    assert records["chair"].releases == (0, 0, 135, 0, 90, 60, 0, 0)
    assert records["seat"].balance[:4] == (110, 110, 0, 0)
    assert records["seat"].net == (0, 0, 25, 0, 90, 60, 0, 0)
    assert records["seat"].releases == (25, 0, 90, 60, 0, 0, 0, 0)
    assert records["back"].balance[:4] == (50, 50, 0, 0)
    assert records["back"].releases == (85, 0, 90, 60, 0, 0, 0, 0)
    assert records["leg"].gross == (0, 0, 540, 0, 360, 240, 0, 0)
    assert records["leg"].balance[:4] == (80, 80, 0, 0)
    assert records["leg"].net[2] == 460
    assert records["leg"].releases == (460, 0, 360, 240, 0, 0, 0, 0)


def test_nets_of_part_a() -> None:
    """Hopp & Spearman, Factory Physics, chapter 3, part A: nets 15, 30, 30 and lots 45, 30.

    As in a summary of the book. Opening stock and receipts are from memory, after the receipts
    have been moved to the weeks in which they are needed. Lead times differ between accounts, so
    only nets, lots and the next level's needs are compared.
    """
    gross = (15, 20, 50, 10, 30, 30, 30, 30)
    part = Item(on_hand=20, scheduled=(0, 20, 100))
    assert record_of(part, gross).net == (0, 0, 0, 0, 0, 15, 30, 30)
    assert record_of(part, gross).balance[:5] == (5, 5, 55, 45, 15)
    lots = Item(
        on_hand=20,
        scheduled=(0, 20, 100),
        sizing=periods_of_supply(2),
        uses=(Use(item="100", per=Fraction(2)), Use(item="200", per=Fraction(1))),
    )
    records = explode({"A": lots, "100": Item(), "200": Item()}, {"A": gross})
    assert records["A"].receipts == (0, 0, 0, 0, 0, 45, 0, 30)
    assert [need for need in records["100"].gross if need] == [90, 60]
    assert [need for need in records["200"].gross if need] == [45, 30]


def test_basic_record() -> None:
    """Vollmann, Berry & Whybark, the basic record; from memory."""
    item = Item(on_hand=4, scheduled=(50,), lead=1, sizing=fixed_quantity(50))
    record = record_of(item, (0, 10, 0, 40, 10))
    assert record.balance == (54, 44, 44, 4, 44)
    assert record.releases == (0, 0, 0, 50, 0)


def test_trumpet_and_its_valves() -> None:
    """Nahmias, Production and Operations Analysis: trumpet, casing and valves; from memory."""
    trumpet = Item(on_hand=23, scheduled=(12, 0, 6, 9))
    net = record_of(trumpet, (77, 42, 38, 21, 26, 112, 45, 14, 76, 38)).net
    assert net == (42, 42, 32, 12, 26, 112, 45, 14, 76, 38)
    weeks = (0, 0, 0, 0, *net)  # the casing takes four weeks
    valves = Item(on_hand=186, scheduled=(0, 96), lead=6)
    casing = Item(lead=4, uses=(Use(item="valve", per=Fraction(3)),))
    record = explode({"casing": casing, "valve": valves}, {"casing": weeks})["valve"]
    assert record.gross[:10] == (126, 126, 96, 36, 78, 336, 135, 42, 228, 114)
    assert record.net[:10] == (0, 0, 66, 36, 78, 336, 135, 42, 228, 114)
    assert record.past_due == 66 + 36 + 78 + 336


def test_safety_stock_is_kept() -> None:
    record = record_of(Item(on_hand=10, safety_stock=6), (3, 3, 0))
    assert record.net == (0, 2, 0)
    assert record.balance == (7, 6, 6)


def test_quantity_is_multiplied_when_one_is_not_enough() -> None:
    assert record_of(Item(sizing=fixed_quantity(50)), (120,)).receipts == (150,)


def test_past_due_parts_are_needed_at_once() -> None:
    bar = Item(
        lead=5,
        uses=(Use(item="base", per=Fraction(1, 3)), Use(item="box", per=Fraction(1), offset=4)),
    )
    records = explode({"bar": bar, "base": Item(), "box": Item()}, {"bar": (0, 0, 4, 0, 0, 7)})
    assert records["bar"].past_due == 4
    assert records["base"].gross == (2 + 3, 0, 0, 0, 0, 0)
    assert records["box"].gross == (0, 4, 0, 0, 7, 0)


def test_a_part_of_itself_is_refused() -> None:
    one = Item(uses=(Use(item="two", per=Fraction(1)),))
    two = Item(uses=(Use(item="one", per=Fraction(1)),))
    with pytest.raises(CycleError):
        explode({"one": one, "two": two}, {"one": (1,)})


ROW = st.lists(st.integers(0, 200), min_size=8, max_size=8)
SIZING = st.sampled_from([lot_for_lot, fixed_quantity(70), periods_of_supply(3)])


@settings(max_examples=50, deadline=None)
@given(gross=ROW, scheduled=ROW, on_hand=st.integers(0, 300), lead=st.integers(0, 4), sizing=SIZING)
def test_the_rows_of_a_record_add_up(
    gross: list[int], scheduled: list[int], on_hand: int, lead: int, sizing: Sizing
) -> None:
    item = Item(on_hand=on_hand, scheduled=tuple(scheduled), lead=lead, sizing=sizing)
    record = record_of(item, gross)
    before = (on_hand, *record.balance)
    for period in range(8):
        moved = scheduled[period] + record.receipts[period] - gross[period]
        assert record.balance[period] == before[period] + moved
        assert record.balance[period] >= 0
    assert sum(record.releases) + record.past_due == sum(record.receipts)
    if sizing is lot_for_lot:
        assert record.receipts == record.net


@settings(max_examples=50, deadline=None)
@given(one=ROW, two=ROW, lead=st.integers(0, 3))
def test_a_common_part_is_planned_after_all_that_use_it(
    one: list[int], two: list[int], lead: int
) -> None:
    items = {
        "part": Item(),
        "middle": Item(lead=lead, uses=(Use(item="part", per=Fraction(2)),)),
        "top": Item(uses=(Use(item="middle", per=Fraction(1)), Use(item="part", per=Fraction(3)))),
    }
    records = explode(items, {"top": one, "middle": two})
    assert records["middle"].gross == tuple(a + b for a, b in zip(one, two, strict=True))
    expected = [3 * a + 2 * b for a, b in zip(one, records["middle"].releases, strict=True)]
    expected[0] += 2 * records["middle"].past_due
    assert records["part"].gross == tuple(expected)
