"""Moulds, places, vessels, hands and trays: kept to the last piece, broken by one more.

In `every_day` a batch is 10 bars: 60 min to make, one night in one mould, 10 min to unmould, five
days on one tray, 10 min to pack. Poured on 0 it is unmoulded on 1, packed on 6, gone on 7.
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.plan import Batch, Plan, PreparationLot
from planner.workshop import (
    DemandKind,
    Mould,
    Part,
    Place,
    Preparation,
    Tray,
    Underway,
    Unit,
    Vessel,
    Workshop,
)
from tests.replay.plans import batch, plan, underway
from tests.solver.solving import LATE_DAY, allows, bar, every_day, least_loss, refusals
from tests.workshop_parts import demand_row

TEN_BARS = demand_row(bar(), DemandKind.ORDER, 10, 0)
TWENTY_BARS = (TEN_BARS, replace(TEN_BARS, id="second"))
THIRTY_BARS = (*TWENTY_BARS, replace(TEN_BARS, id="third"))
AT_ONCE = plan(batch(pack=6), batch(pack=6))
DAY_AFTER = plan(batch(pack=6), batch(1, 2, 7))


def moulds(count: int, **more: int) -> dict[str, Mould]:
    return {"block": Mould(id="block", count=count, cavities=10, **more)}


def same_day(count: int, pour: int = 0) -> Plan:
    """Batches of a bar that is unmoulded on the day on which it is poured."""
    return plan(*(batch(pour, pour, pour + 5) for _ in range(count)))


def in_place(**place: int) -> dict[str, object]:
    """Moulds enough, but a shelf for the bars to set on."""
    return {"places": {"shelf": Place(id="shelf", **place)}, "moulds": moulds(9)}  # type: ignore[arg-type]


# Moulds


def test_a_mould_is_held_over_night_and_free_again_on_the_unmould_day() -> None:
    """One mould: the second ten bars are poured a day later and gone on 8."""
    workshop = every_day(moulds=moulds(1), demand=TWENTY_BARS)
    assert "moulds block" in refusals(workshop, AT_ONCE)
    assert allows(workshop, DAY_AFTER)
    assert least_loss(workshop) == (7 + 8) * LATE_DAY


def test_two_nights_hold_a_mould_for_two_days() -> None:
    """Poured on 0, out on 2, packed on 7; the other out of the same mould on 4, packed on 9."""
    workshop = every_day(moulds=moulds(1), products={"bar": bar(set_days=2)}, demand=TWENTY_BARS)
    assert allows(workshop, plan(batch(0, 2, 7), batch(2, 4, 9)))
    assert refusals(workshop, plan(batch(0, 2, 7), batch(1, 3, 9))) == {"moulds block"}
    assert least_loss(workshop) == (8 + 10) * LATE_DAY


def test_a_batch_takes_whole_moulds() -> None:
    """Ten bars in cavities of four take three moulds: five are too few for two batches."""
    enough = {"block": Mould(id="block", count=6, cavities=4)}
    assert allows(every_day(moulds=enough, demand=TWENTY_BARS), AT_ONCE)
    scarce = {"block": Mould(id="block", count=5, cavities=4)}
    assert "moulds block" in refusals(every_day(moulds=scarce, demand=TWENTY_BARS), AT_ONCE)


def test_moulds_without_a_night_are_filled_as_often_as_they_turn() -> None:
    """Two fillings a day: the third ten bars come on the second day. Gone on 6, 6 and 7."""
    workshop = every_day(
        moulds=moulds(1, turns_per_day=2),
        products={"bar": bar(set_days=0)},
        demand=THIRTY_BARS,
    )
    assert allows(workshop, same_day(2))
    assert "moulds block" in refusals(workshop, same_day(3))
    assert least_loss(workshop) == (6 + 6 + 7) * LATE_DAY


def test_turns_do_not_help_who_stays_over_night() -> None:
    """One mould of two turns: one batch a night, and all of it free again on the unmould day."""
    workshop = every_day(moulds=moulds(1, turns_per_day=2), demand=TWENTY_BARS)
    assert "moulds block" in refusals(workshop, AT_ONCE)
    assert allows(workshop, DAY_AFTER)


@pytest.mark.parametrize(("quick", "fits"), [(2, True), (3, False)])
def test_a_mould_held_over_night_takes_all_its_turns(quick: int, fits: bool) -> None:
    """Two moulds of two turns: one is held by a bar, the other is left for two fillings."""
    puck = bar(id="puck", set_days=0)
    workshop = every_day(
        moulds=moulds(2, turns_per_day=2),
        products={"bar": bar(), "puck": puck},
        demand=(TEN_BARS, *(replace(row, product="puck", id=f"p{row.id}") for row in THIRTY_BARS)),
    )
    pucks = [Batch(pour=0, product="puck", bars=10, unmould=0, pack=5) for _ in range(quick)]
    assert allows(workshop, plan(batch(pack=6), *pucks)) is fits


def test_a_batch_under_way_holds_its_mould_until_it_leaves_it() -> None:
    old = Underway(lot="old", product="bar", bars=10, pour=-1, unmould=2, in_mould=True)
    workshop = every_day(moulds=moulds(1), underway=(old,), demand=TWENTY_BARS)
    waiting = underway(7, unmould=2)
    said = replace(waiting, pour=-1)
    assert allows(workshop, plan(said, batch(2, 3, 8)))
    assert "moulds block" in refusals(workshop, plan(said, batch(1, 2, 8)))
    assert least_loss(workshop) == (8 + 9) * LATE_DAY


# Places


def test_a_place_takes_so_many_moulds_over_night() -> None:
    shelf = {"products": {"bar": bar(place="shelf")}, "demand": TWENTY_BARS}
    assert allows(every_day(**shelf, **in_place(moulds=2)), AT_ONCE)
    scarce = every_day(**shelf, **in_place(moulds=1))
    assert refusals(scarce, AT_ONCE) == {"place shelf"}
    assert allows(scarce, DAY_AFTER)
    assert least_loss(scarce) == (7 + 8) * LATE_DAY


def test_a_place_turns_like_moulds() -> None:
    """One place of two turns takes two fillings in a day, and the third on the next."""
    workshop = every_day(
        products={"bar": bar(place="shelf", set_days=0)},
        demand=THIRTY_BARS,
        **in_place(moulds=1, turns_per_day=2),
    )
    assert allows(workshop, same_day(2))
    assert refusals(workshop, same_day(3)) == {"place shelf"}
    assert least_loss(workshop) == (6 + 6 + 7) * LATE_DAY


def test_who_needs_no_place_takes_none() -> None:
    workshop = every_day(demand=TWENTY_BARS, **in_place(moulds=1))
    assert allows(workshop, AT_ONCE)


# Vessels and preparations


def pot(minutes: int, count: int = 1) -> dict[str, Vessel]:
    vessel = Vessel(id="pot", count=count, capacity_mg=10_000_000, minutes_per_day=minutes)
    return {"pot": vessel}


def with_tea(**changes: object) -> Workshop:
    """A tenth of the bar is tea, 1 kg a lot, ready at once: 20 min of hands, 60 min in the pot."""
    tea = Preparation(
        id="tea",
        unit=Unit.GRAM,
        charge=1_000_000,
        make_minutes=20,
        ready_days=0,
        formula=(Part(item="base", share=Fraction(1)),),
        vessel="pot",
        vessel_minutes=60,
    )
    formula = (Part(item="base", share=Fraction(9, 10)), Part(item="tea", share=Fraction(1, 10)))
    return every_day(preparations={"tea": tea}, products={"bar": bar(formula=formula)}, **changes)


def test_vessel_minutes_are_those_of_all_pots() -> None:
    """60 min a batch: two in a day need 120 min in one pot, or 60 in each of two."""
    assert allows(every_day(vessels=pot(120), demand=TWENTY_BARS), AT_ONCE)
    assert allows(every_day(vessels=pot(60, count=2), demand=TWENTY_BARS), AT_ONCE)
    scarce = every_day(vessels=pot(119), demand=TWENTY_BARS)
    assert "vessel pot" in refusals(scarce, AT_ONCE)
    assert least_loss(scarce) == (7 + 8) * LATE_DAY


def test_a_preparation_shares_the_pot() -> None:
    """Tea and batch on one day need 120 min; with 119 the batch waits a day and is gone on 8."""
    wanted = Plan(
        batches=(batch(pack=6),), preparations=(PreparationLot(make=0, preparation="tea"),)
    )
    assert allows(with_tea(vessels=pot(120), demand=(TEN_BARS,)), wanted)
    scarce = with_tea(vessels=pot(119), demand=(TEN_BARS,))
    assert refusals(scarce, wanted) == {"vessel pot"}
    assert least_loss(scarce) == 8 * LATE_DAY


def test_a_mass_that_no_pot_holds_is_never_poured() -> None:
    small = {"pot": Vessel(id="pot", count=1, capacity_mg=999_999, minutes_per_day=480)}
    never = 20 * LATE_DAY + 10 * 1_000_000  # late to the end and never met
    assert least_loss(every_day(vessels=small, demand=(TEN_BARS,))) == never


# Hands


def test_hands_make_unmould_and_pack_in_one_day() -> None:
    """Day 1 pours one batch and unmoulds another: 70 min. With 69 the second waits a day more."""
    enough = every_day(minutes=(70,) * 20, demand=TWENTY_BARS)
    assert allows(enough, DAY_AFTER)
    assert "hands" in refusals(enough, AT_ONCE)
    assert least_loss(enough) == (7 + 8) * LATE_DAY
    scarce = every_day(minutes=(69,) * 20, demand=TWENTY_BARS)
    assert refusals(scarce, DAY_AFTER) == {"hands"}
    assert least_loss(scarce) == (7 + 9) * LATE_DAY


def test_packing_takes_hands_too() -> None:
    """Day 6 packs the first batch and pours another, 70 min; it cannot unmould one as well."""
    workshop = every_day(minutes=(70,) * 20, demand=THIRTY_BARS)
    assert allows(workshop, plan(batch(pack=6), batch(6, 7, 12)))
    three = plan(batch(pack=6), batch(5, 6, 11), batch(6, 7, 12))
    assert refusals(workshop, three) == {"hands"}


def test_a_preparation_takes_hands() -> None:
    """80 min for tea and batch; with 79 the batch is poured on day 1, at 60 min, and gone on 8."""
    wanted = Plan(
        batches=(batch(pack=6),), preparations=(PreparationLot(make=0, preparation="tea"),)
    )
    assert allows(with_tea(minutes=(80,) * 20, demand=(TEN_BARS,)), wanted)
    scarce = with_tea(minutes=(79,) * 20, demand=(TEN_BARS,))
    assert refusals(scarce, wanted) == {"hands"}
    assert least_loss(scarce) == 8 * LATE_DAY


def test_a_batch_under_way_is_unmoulded_and_packed_by_hand() -> None:
    """Out of its mould on day 0 (10 min): 69 min leave too little for a batch on that day."""
    old = Underway(lot="old", product="bar", bars=10, pour=-1, unmould=0, in_mould=True)
    said = replace(underway(5, unmould=0), pour=-1)
    for minutes, fits in ((70, True), (69, False)):
        workshop = every_day(minutes=(minutes,) * 20, underway=(old,), demand=TWENTY_BARS)
        assert allows(workshop, plan(said, batch(pack=6))) is fits


# Trays


def test_trays_are_held_from_unmoulding_to_the_day_before_packing() -> None:
    """One tray: held on days 1 to 5, so the next batch is unmoulded on 6, packed on 11."""
    workshop = every_day(trays={"tray": Tray(id="tray", count=1)}, demand=TWENTY_BARS)
    assert allows(workshop, plan(batch(pack=6), batch(5, 6, 11)))
    assert refusals(workshop, plan(batch(pack=6), batch(4, 5, 11))) == {"trays tray"}
    assert least_loss(workshop) == (7 + 12) * LATE_DAY


def test_a_cure_that_lasts_longer_holds_its_trays_longer() -> None:
    workshop = every_day(trays={"tray": Tray(id="tray", count=1)}, demand=TWENTY_BARS)
    assert refusals(workshop, plan(batch(pack=7), batch(5, 6, 11))) == {"trays tray"}
    assert allows(workshop, plan(batch(pack=7), batch(6, 7, 12)))


def test_lots_share_no_tray() -> None:
    """Ten bars, four on a tray: three trays a batch, six for two, though 20 bars would fit five."""
    products = {"bar": bar(bars_per_tray=4)}
    enough = every_day(
        trays={"tray": Tray(id="tray", count=6)}, products=products, demand=TWENTY_BARS
    )
    assert allows(enough, AT_ONCE)
    scarce = every_day(
        trays={"tray": Tray(id="tray", count=5)}, products=products, demand=TWENTY_BARS
    )
    assert refusals(scarce, AT_ONCE) == {"trays tray"}
    assert least_loss(scarce) == (7 + 12) * LATE_DAY


def test_a_batch_under_way_holds_its_tray_until_it_is_packed() -> None:
    old = Underway(lot="old", product="bar", bars=10, pour=-3, unmould=-2, in_mould=False)
    workshop = every_day(
        trays={"tray": Tray(id="tray", count=1)}, underway=(old,), demand=TWENTY_BARS
    )
    assert allows(workshop, plan(underway(3), batch(2, 3, 8)))
    assert refusals(workshop, plan(underway(3), batch(1, 2, 8))) == {"trays tray"}
    assert least_loss(workshop) == (4 + 9) * LATE_DAY


def test_a_batch_under_way_needs_a_tray_from_its_unmould_day_on() -> None:
    """Out of its mould on 7: another batch must be off the only tray by then."""
    old = Underway(lot="old", product="bar", bars=10, pour=-1, unmould=7, in_mould=True)
    workshop = every_day(
        trays={"tray": Tray(id="tray", count=1)}, underway=(old,), demand=TWENTY_BARS
    )
    said = replace(underway(12, unmould=7), pour=-1)
    assert allows(workshop, plan(said, batch(1, 2, 7)))
    assert refusals(workshop, plan(said, batch(1, 2, 8))) == {"trays tray"}
