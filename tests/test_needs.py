"""What the demand of a workshop takes, by day, against hand-made sums."""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.needs import bars_needed, requirements_of, retail_on, worth_having
from planner.replay.worth import worth_having as worth_having_to_the_replay
from planner.workshop import (
    DemandKind,
    Lot,
    Material,
    Packaging,
    Part,
    Preparation,
    Underway,
    Unit,
    Workshop,
)
from tests.workshop_need import asked
from tests.workshop_parts import demand_row
from tests.workshops import random_workshop, tiny

BAR = tiny().products["bar"]


def with_demand(*rows: object) -> Workshop:
    return tiny(demand=tuple(rows), lots=())


def test_retail_is_needed_day_by_day() -> None:
    workshop = with_demand(demand_row(BAR, DemandKind.RETAIL, 10, 20, last_day=26))
    assert bars_needed(workshop, "bar")[18:30] == (0, 0, 1, 1, 2, 1, 2, 1, 2, 0, 0, 0)


@pytest.mark.parametrize(
    ("day", "asked"), [(1, 0), (2, 0), (3, 0), (4, 1), (6, 1), (8, 1), (9, 0), (15, 1), (16, 0)]
)
def test_a_week_of_three_bars_is_spread_over_its_days(day: int, asked: int) -> None:
    """From day 2 to day 15: bars on the third, fifth and seventh day of each week."""
    row = demand_row(BAR, DemandKind.RETAIL, 3, 2, last_day=15)
    assert retail_on(row, day) == asked
    assert sum(retail_on(row, each) for each in range(2, 9)) == 3


def test_order_and_level_add_up_and_an_overdue_order_counts_on_the_first_day() -> None:
    workshop = with_demand(
        demand_row(BAR, DemandKind.ORDER, 12, -4),
        demand_row(BAR, DemandKind.RESTOCK, 5, 3, last_day=10),
        demand_row(BAR, DemandKind.ORDER, 8, 12),
    )
    needed = bars_needed(workshop, "bar")
    # the five bars of the level are free when it ends: the second order asks for three more
    assert {day: bars for day, bars in enumerate(needed) if bars} == {0: 12, 3: 5, 12: 3}


def test_retail_draws_on_the_launch_stock() -> None:
    workshop = with_demand(
        demand_row(BAR, DemandKind.LAUNCH, 20, 10, launch="new"),
        demand_row(BAR, DemandKind.RETAIL, 14, 5),
    )
    needed = bars_needed(workshop, "bar")
    # two bars a day from day 10 on: the stock of 20 lasts through day 19
    assert sum(needed[:10]) == 0
    assert needed[10] == 20
    assert needed[11:20] == (0,) * 9
    assert needed[20:] == (2,) * 10


def test_all_products_of_a_launch_wait_for_its_last_day() -> None:
    second = replace(BAR, id="second")
    workshop = tiny(
        products={"bar": BAR, "second": second},
        demand=(
            demand_row(BAR, DemandKind.LAUNCH, 20, 10, launch="new"),
            demand_row(second, DemandKind.LAUNCH, 20, 13, launch="new"),
        ),
    )
    assert bars_needed(workshop, "bar")[13] == 20


def test_parts_are_needed_when_the_bars_must_be_poured() -> None:
    # one bar a day from day 14 on; it leaves a day after packing, 1 + 5 days after pouring,
    # and is a tenth of a batch of 1 kg
    needed = requirements_of(tiny())["base"].gross
    assert needed == (*[0] * 7, *[100_000] * 16, *[0] * 7)


def test_bars_on_hand_and_under_way_need_no_base() -> None:
    batch = Underway(lot="b", product="bar", bars=10, pour=-3, unmould=-2, in_mould=False)
    workshop = tiny(
        lots=(Lot(item="bar", lot="x", amount=2), Lot(item="bar", lot="old", amount=9, use_by=-1)),
        underway=(batch,),
    )
    records = requirements_of(workshop)
    assert sum(records["bar"].net) == 16 - 2 - 10
    assert sum(records["base"].gross) == 4 * 100_000
    assert sum(records["base"].net) == 4 * 100_000


def test_levels_below_a_preparation_and_packaging_on_the_pack_day() -> None:
    oil = Preparation(
        id="oil",
        unit=Unit.GRAM,
        charge=1000,
        yields=Fraction(1, 2),
        make_minutes=10,
        ready_days=2,
        formula=(Part(item="base", share=Fraction(1)),),
    )
    bar = replace(
        BAR,
        formula=(Part(item="base", share=Fraction(3, 4)), Part(item="oil", share=Fraction(1, 4))),
        packaging=(Packaging(material="box", per_bar=Fraction(1)),),
    )
    box = Material(id="box", kind="packaging", unit=Unit.PIECE)
    workshop = tiny(
        products={"bar": bar},
        preparations={"oil": oil},
        materials={**tiny().materials, "box": box},
        demand=(demand_row(bar, DemandKind.ORDER, 10, 20),),
        lots=(Lot(item="oil", lot="o", amount=50_000, usable=3),),
    )
    needed = {item: record.gross for item, record in requirements_of(workshop).items()}
    assert {day: n for day, n in enumerate(needed["box"]) if n} == {19: 10}
    assert {day: n for day, n in enumerate(needed["oil"]) if n} == {13: 250_000}
    # 200 g of oil are made two days before, from twice as much base
    assert {day: n for day, n in enumerate(needed["base"]) if n} == {11: 400_000, 13: 750_000}


def boxed_and_under_way(unmould: int) -> Workshop:
    """The tiny workshop with a box for each bar, and ten bars under way."""
    batch = Underway(lot="b", product="bar", bars=10, pour=-3, unmould=unmould, in_mould=False)
    box = Material(id="box", kind="packaging", unit=Unit.PIECE)
    return tiny(
        materials={**tiny().materials, "box": box},
        products={"bar": replace(BAR, packaging=(Packaging(material="box", per_bar=Fraction(1)),))},
        underway=(batch,),
    )


def test_batches_under_way_need_their_packaging() -> None:
    """Ten bars, unmoulded on Sunday and cured after five days, want ten boxes then.

    16 more are asked for, of which the ten cover some: six have to be poured.
    """
    workshop = replace(boxed_and_under_way(unmould=-1), lots=())
    boxes = requirements_of(workshop)["box"].gross
    assert boxes[4] == 10
    assert sum(boxes) == 16


def test_random_workshops_need_what_is_asked_for() -> None:
    for seed in range(4):
        workshop = random_workshop(seed)
        for product in workshop.products:
            rows = [row for row in workshop.demand if row.product == product]
            total = sum(bars_needed(workshop, product))
            assert total >= sum(asked(row, workshop.days) for row in rows)
            levels = [r.quantity for r in rows if r.kind is DemandKind.RESTOCK]
            launches = [r.quantity for r in rows if r.kind is DemandKind.LAUNCH]
            assert total <= sum(asked(r, workshop.days) for r in rows) + sum(levels + launches)


def test_worth_having_is_what_all_demand_takes_twice_and_the_safety_stock() -> None:
    """Retail of one a day from day 14 to 29, an order, a level and a launch of ten each.

    46 bars of 0.1 kg, twice; ten bars are there, ten under way, and nine too old.
    """
    workshop = tiny(
        materials={"base": replace(tiny().materials["base"], safety_stock=500_000)},
        lots=(Lot(item="bar", lot="x", amount=10), Lot(item="bar", lot="old", amount=9, use_by=-1)),
        underway=(Underway(lot="b", product="bar", bars=10, pour=-3, unmould=-2, in_mould=False),),
        demand=(
            demand_row(BAR, DemandKind.RETAIL, 7, 14),
            demand_row(BAR, DemandKind.ORDER, 10, -4),
            demand_row(BAR, DemandKind.RESTOCK, 10, 3, last_day=10),
            demand_row(BAR, DemandKind.LAUNCH, 10, 20, launch="new"),
        ),
    )
    expected = (2 * 46 - 10 - 10) * 100_000 + 500_000
    assert worth_having(workshop) == {"base": expected}
    assert worth_having_to_the_replay(workshop) == {"base": expected}


def test_boxes_are_worth_having_for_bars_under_way() -> None:
    """Of 16 bars asked for, twice, ten are under way; all 32 need boxes."""
    workshop = boxed_and_under_way(unmould=-2)
    assert worth_having(workshop) == {"base": 2_200_000, "box": 32}
    assert worth_having_to_the_replay(workshop) == {"base": 2_200_000, "box": 32}


def test_nothing_is_worth_having_of_which_there_is_enough_in_bars() -> None:
    workshop = tiny(lots=(Lot(item="bar", lot="x", amount=32),))
    assert worth_having(workshop) == worth_having_to_the_replay(workshop) == {"base": 0}


@pytest.mark.parametrize("seed", range(12))
def test_two_roads_lead_to_what_is_worth_having(seed: int) -> None:
    """Workshops with preparations, safety stocks, stock of all kinds, and batches under way."""
    workshop = random_workshop(seed, products=1 + seed % 5, days=30 + 5 * seed)
    found = worth_having(workshop)
    assert found == worth_having_to_the_replay(workshop)
    assert max(found.values()) > 0
