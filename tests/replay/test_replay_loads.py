"""Shared resources: each is filled to the edge and then one beyond; and Little's law on trays."""

from dataclasses import replace

import pytest

from planner.account import Account, Rule
from planner.plan import Batch, Plan, PreparationLot
from planner.replay import replay
from planner.workshop import Lot, Mould, Place, Preparation, Tray, Unit, Vessel, Workshop
from tests.replay.plans import batch, broken, curing, plan, rules, underway, used, with_bar
from tests.replay.random_plans import random_plan
from tests.workshops import random_workshop, tiny

MUCH = (Lot(item="base", lot="base-1", amount=100_000_000),)
MONDAY = batch()  # day 0, unmoulded on Tuesday
TUESDAY = batch(1, 2, 7)


def ample(workshop: Workshop | None = None, **changes: object) -> Workshop:
    """Base for a hundred batches."""
    return (workshop or tiny()).changed(**{"lots": MUCH, **changes})


def test_hands_work_on_three_days_of_a_batch() -> None:
    # 60 min to make, 10 to unmould, 10 bars of 1 min to pack
    account = replay(tiny(), plan(batch()))
    assert {day: m for day, m in enumerate(used(account, "hands")) if m} == {0: 60, 1: 10, 7: 10}


def test_hands_at_the_edge() -> None:
    # Tuesday: 10 min of unmoulding and 60 of making
    for minutes, expected in ((70, []), (69, [(1, Rule.HANDS, "hands")])):
        workshop = ample(minutes=tuple(minutes if d % 7 < 5 else 0 for d in range(30)))
        assert broken(workshop, plan(MONDAY, TUESDAY)) == expected


def test_hands_unmould_and_pack_a_batch_under_way() -> None:
    # still in its mould until Monday, day 0; cured on day 5, packed on day 7
    workshop = tiny(underway=(curing(in_mould=True, unmould=0),))
    account = replay(workshop, plan(underway(7, unmould=0)))
    assert {day: m for day, m in enumerate(used(account, "hands")) if m} == {0: 10, 7: 10}
    out = replay(tiny(underway=(curing(),)), plan(underway(3)))
    assert {day: m for day, m in enumerate(used(out, "hands")) if m} == {3: 10}


def test_vessel_minutes_at_the_edge() -> None:
    # two batches of 60 min on one day in one pot, or in two of half the time
    for count, minutes, expected in (
        (1, 120, []),
        (2, 60, []),
        (1, 119, [(0, Rule.VESSEL_MINUTES, "pot")]),
    ):
        pot = Vessel(id="pot", count=count, capacity_mg=10_000_000, minutes_per_day=minutes)
        assert broken(ample(vessels={"pot": pot}), plan(batch(), batch())) == expected


def test_preparations_share_the_vessel_and_the_hands() -> None:
    tea = Preparation(
        id="tea",
        unit=Unit.GRAM,
        charge=1000,
        make_minutes=30,
        ready_days=0,
        vessel="pot",
        vessel_minutes=20,
    )
    workshop = tiny(preparations={"tea": tea}, values={})
    wanted = Plan(batches=(batch(),), preparations=(_lot(0), _lot(0)))
    account = replay(workshop, wanted)
    assert used(account, "hands")[0] == 60 + 2 * 30
    assert used(account, "vessel")[0] == 60 + 2 * 20


def _lot(make: int) -> PreparationLot:
    return PreparationLot(make=make, preparation="tea")


def test_moulds_are_held_over_night_and_free_on_the_unmould_day() -> None:
    one = {"block": Mould(id="block", count=1, cavities=10)}
    assert not rules(ample(moulds=one), plan(MONDAY, TUESDAY))
    assert broken(ample(moulds=one), plan(MONDAY, batch())) == [(0, Rule.MOULDS, "block")]
    # from Friday, day 4, to Monday, day 7
    account = replay(ample(moulds=one), plan(batch(4, 7, 14)))
    assert [day for day, held in enumerate(used(account, "mould")) if held] == [4, 5, 6]


def test_whole_moulds_are_taken() -> None:
    # 10 bars in moulds of 4 take three
    for count, expected in ((3, []), (2, [Rule.MOULDS])):
        moulds = {"block": Mould(id="block", count=count, cavities=4)}
        assert rules(ample(moulds=moulds), plan(MONDAY)) == expected


def test_turns_of_moulds_that_are_emptied_the_same_day() -> None:
    workshop = ample(with_bar(set_days=0))
    quick = batch(0, 0, 7)
    for turns, expected in ((2, []), (1, [Rule.MOULDS])):
        moulds = {"block": Mould(id="block", count=1, cavities=10, turns_per_day=turns)}
        assert rules(workshop.changed(moulds=moulds), plan(quick, quick)) == expected


def test_a_mould_held_over_night_takes_all_its_turns() -> None:
    # two moulds of two turns: one held by the night's batch leaves two fillings of the other
    bar = tiny().products["bar"]
    quick = replace(bar, id="quick", set_days=0)
    moulds = {"block": Mould(id="block", count=2, cavities=10, turns_per_day=2)}
    workshop = ample(tiny(products={"bar": bar, "quick": quick}, moulds=moulds))
    fill = Batch(pour=0, product="quick", bars=10, unmould=0, pack=7)
    account = replay(workshop, plan(MONDAY, fill, fill))
    assert account.certified
    assert (used(account, "mould")[0], account.loads[2].unit) == (2 + 1 + 1, "fillings")
    assert rules(workshop, plan(MONDAY, fill, fill, fill)) == [Rule.MOULDS]


def test_places_hold_moulds_while_bars_set() -> None:
    workshop = ample(with_bar(place="fridge"))
    for room, expected in ((2, []), (1, [(0, Rule.PLACES, "fridge")])):
        places = {"fridge": Place(id="fridge", moulds=room)}
        assert broken(workshop.changed(places=places), plan(MONDAY, batch())) == expected


def test_places_have_turns_of_their_own() -> None:
    workshop = ample(with_bar(place="fridge", set_days=0))
    quick = batch(0, 0, 7)
    for turns, expected in ((3, []), (2, [Rule.PLACES])):
        places = {"fridge": Place(id="fridge", moulds=1, turns_per_day=turns)}
        assert rules(workshop.changed(places=places), plan(quick, quick, quick)) == expected


def test_a_batch_under_way_holds_its_mould_and_then_its_trays() -> None:
    workshop = tiny(underway=(curing(in_mould=True, unmould=1),))
    account = replay(workshop, plan(underway(7, unmould=1)))
    assert [day for day, held in enumerate(used(account, "mould")) if held] == [0]
    assert [day for day, held in enumerate(used(account, "tray")) if held] == [1, 2, 3, 4, 5, 6]
    out = replay(tiny(underway=(curing(),)), plan(underway(3)))
    assert [day for day, held in enumerate(used(out, "tray")) if held] == [0, 1, 2]


def test_trays_are_free_on_the_pack_day() -> None:
    # on trays from day 1 to day 6; the second batch leaves its mould on day 7
    one = {"tray": Tray(id="tray", count=1)}
    assert not rules(ample(trays=one), plan(MONDAY, batch(4, 7, 14)))
    found = broken(ample(trays=one), plan(MONDAY, TUESDAY))
    assert found == [(day, Rule.TRAYS, "tray") for day in range(2, 7)]


def test_lots_are_never_mixed_on_a_tray() -> None:
    # 10 bars, 8 on a tray: two trays each, four for two batches though 20 bars would fit on three
    workshop = ample(with_bar(bars_per_tray=8))
    for count, expected in ((4, set()), (3, {Rule.TRAYS})):
        trays = {"tray": Tray(id="tray", count=count)}
        assert set(rules(workshop.changed(trays=trays), plan(MONDAY, batch()))) == expected


@pytest.mark.parametrize("seed", range(6))
def test_littles_law_on_trays(seed: int) -> None:
    """Work in process = throughput x cycle time, exactly, over a finite span of days.

    Hopp & Spearman, Factory Physics, ch. 7 (from memory); in its finite form: the sum over the
    days of trays in use is the sum over the batches of trays x days on them within the span.
    """
    workshop = random_workshop(seed, days=60)
    account = replay(workshop, random_plan(seed, workshop))
    in_use = sum(sum(load.used) for load in account.loads if load.kind == "tray")
    assert in_use == sum(_tray_days(account, workshop.days)) > 0


def _tray_days(account: Account, days: int) -> list[int]:
    ends = [days if facts.pack is None else min(facts.pack, days) for facts in account.batches]
    return [
        facts.trays * max(0, end - max(0, facts.unmould))
        for facts, end in zip(account.batches, ends, strict=True)
    ]
