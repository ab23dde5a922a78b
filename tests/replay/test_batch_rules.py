"""Rules that each batch keeps by itself: kept, broken by hand, and exactly at the edge."""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.account import Rule
from planner.plan import Batch, Plan
from planner.replay import replay
from planner.workshop import Vessel
from tests.replay.plans import batch, broken, curing, plan, rules, underway, used, with_bar
from tests.workshops import tiny

LOT = "bar 2026-08-31"


def test_a_plan_that_keeps_every_rule_is_certified() -> None:
    account = replay(tiny(), plan(batch()))
    assert account.certified
    (facts,) = account.batches
    assert (facts.lot, facts.mass, facts.sound, facts.good) == (LOT, 1_000_000, 10, 10)
    assert (facts.moulds, facts.trays, facts.parts) == (1, 1, {"base": 1_000_000})


def test_lots_poured_on_one_day_have_names_of_their_own() -> None:
    workshop = tiny(underway=(replace(curing(), lot=LOT),))
    account = replay(workshop, plan(batch(), batch(pack=8)))
    assert [facts.lot for facts in account.batches] == [LOT, f"{LOT} (2)", f"{LOT} (3)"]


@pytest.mark.parametrize("bars", [0, -10, 9, 11])
def test_a_size_that_is_not_poured(bars: int) -> None:
    assert (0, Rule.BATCH_SIZE) in [
        (day, rule) for day, rule, _ in broken(tiny(), plan(batch(bars=bars)))
    ]
    assert not rules(with_bar(sizes=(10, 5)), plan(batch(bars=5)))
    assert not rules(with_bar(sizes=(10, 1)), plan(batch(bars=1)))


def test_batches_of_a_product_in_a_day() -> None:
    workshop = with_bar(max_batches_per_day=1)
    base = replace(workshop.lots[0], amount=3_000_000)
    workshop = workshop.changed(lots=(base,))
    assert not rules(workshop, plan(batch(), batch(pour=1, unmould=2, pack=7)))
    assert broken(workshop, plan(batch(), batch())) == [(0, Rule.BATCHES_PER_DAY, "bar")]


def test_mass_in_one_vessel() -> None:
    # 10 bars of 100 g and 1 % left in the pot: 1000 / 0.99 = 1010.10101... g are weighed
    workshop = with_bar(loss=Fraction(1, 100))
    lots = (replace(workshop.lots[0], amount=2_000_000),)
    for capacity, expected in ((1_010_102, []), (1_010_101, [Rule.VESSEL_CAPACITY])):
        pot = Vessel(id="pot", count=2, capacity_mg=capacity, minutes_per_day=480)
        assert rules(workshop.changed(lots=lots, vessels={"pot": pot}), plan(batch())) == expected


def test_pouring_on_a_day_nobody_works() -> None:
    # Saturday, day 5: due out of the mould on Monday, day 7, cured on day 12, packed on day 14
    assert broken(tiny(), plan(batch(5, 7, 14))) == [(5, Rule.WORKING_DAY, "bar 2026-09-05")]
    assert not rules(tiny(), plan(batch(4, 7, 14)))


@pytest.mark.parametrize("pour", [-1, 30, -(10**9), 10**9])
def test_pouring_outside_the_plan_is_not_carried_out(pour: int) -> None:
    account = replay(tiny(), plan(batch(pour=pour)))
    assert [b.rule for b in account.broken] == [Rule.WORKING_DAY]
    assert account.batches == ()


@pytest.mark.parametrize("unmould", [0, 2, -3, 400])
def test_unmoulding_on_another_day_than_the_mould_wants(unmould: int) -> None:
    assert Rule.UNMOULD_DAY in rules(tiny(), plan(batch(unmould=unmould, pack=21)))


def test_bars_stay_in_the_mould_over_the_weekend() -> None:
    # poured on Friday, day 4, one night: Saturday is no working day, so Monday, day 7
    assert not rules(tiny(), plan(batch(4, 7, 14)))
    assert rules(tiny(), plan(batch(4, 5, 14))) == [Rule.UNMOULD_DAY]


def test_without_a_night_in_the_mould_bars_leave_it_on_the_pour_day() -> None:
    workshop = with_bar(set_days=0)
    assert not rules(workshop, plan(batch(0, 0, 7)))
    assert rules(workshop, plan(batch(0, 1, 7))) == [Rule.UNMOULD_DAY]


def test_no_working_day_left_to_unmould() -> None:
    # poured on the last day, day 29: nothing of the plan is left for unmoulding and packing
    found = replay(tiny(), plan(batch(29, 30, None))).broken
    assert [b.rule for b in found] == [Rule.UNMOULD_DAY, Rule.WORKING_DAY]
    assert "no working day" in found[0].message


def test_a_cure_never_ends_sooner_but_may_last_longer() -> None:
    # unmoulded on day 2, five days of cure: packed on Monday, day 7, at the earliest
    assert not rules(tiny(), plan(batch(1, 2, 7)))
    assert not rules(tiny(), plan(batch(1, 2, 18)))
    assert broken(tiny(), plan(batch(1, 2, 4))) == [(4, Rule.CURE, "bar 2026-09-01")]


def test_packing_on_the_pour_day_needs_neither_setting_nor_curing() -> None:
    assert not rules(with_bar(set_days=0, cure_days=0), plan(batch(0, 0, 0)))
    assert rules(with_bar(set_days=0, cure_days=1), plan(batch(0, 0, 0))) == [Rule.CURE]


@pytest.mark.parametrize("pack", [6, 27, 30, 10**9])
def test_packing_on_no_working_day_of_the_plan(pack: int) -> None:
    assert rules(tiny(), plan(batch(pack=pack))) == [Rule.WORKING_DAY]


def test_a_planned_batch_is_packed_within_the_plan() -> None:
    assert broken(tiny(), plan(batch(pack=None))) == [(0, Rule.WORKING_DAY, LOT)]


def test_an_unknown_product() -> None:
    wanted = Plan(batches=(Batch(pour=0, product="soap", bars=10, unmould=1, pack=7),))
    assert broken(tiny(), wanted) == [(0, Rule.UNKNOWN, "soap")]


def test_a_batch_under_way_is_packed_once_it_is_cured() -> None:
    # unmoulded on day -2, cured on day 3, a Thursday
    workshop = tiny(underway=(curing(),))
    account = replay(workshop, plan(underway(pack=3)))
    assert account.certified
    assert account.batches[0].in_progress
    assert account.flows["base"].used[0] == 0  # its parts were taken before the plan
    assert account.flows["bar"].arrived[4] == 10
    assert rules(workshop, plan(underway(pack=2))) == [Rule.CURE]
    assert rules(workshop, plan(underway(pack=5))) == [Rule.WORKING_DAY]


def test_a_batch_under_way_may_stay_on_its_trays_cured_or_not() -> None:
    # cured on day 3, on day 29, a Tuesday, the last of the plan, and on day 30 beyond it
    for cure_days in (5, 31, 32):
        workshop = with_bar(cure_days=cure_days).changed(underway=(curing(),))
        account = replay(workshop, plan(underway(pack=None)))
        assert account.certified
        assert used(account, "tray") == (1,) * 30
        assert sum(account.flows["bar"].arrived) == 0


@pytest.mark.parametrize(
    "batches",
    [
        (),  # left out
        (underway(3), underway(3)),  # twice
        (underway(3), underway(3, lot="other")),  # one that does not exist
        (underway(3, unmould=-1),),  # not as it was
    ],
)
def test_the_plan_holds_the_batches_under_way_as_they_are(batches: tuple[Batch, ...]) -> None:
    account = replay(tiny(underway=(curing(),)), plan(*batches))
    assert [b.rule for b in account.broken] == [Rule.UNDERWAY]
    assert [facts.lot for facts in account.batches] == ["old"]
