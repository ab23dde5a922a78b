"""Preparations: when they can be used, how long, in which order, and what they take."""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.account import Rule
from planner.plan import Plan
from planner.replay import replay
from planner.workshop import Lot, Part, Preparation, Unit, Workshop
from tests.replay.plans import batch, broken, preparing, rules, with_bar

KG = 1_000_000
TEA = Preparation(
    id="tea",
    unit=Unit.GRAM,
    charge=KG,
    make_minutes=15,
    ready_days=2,
    shelf_life_days=4,
    formula=(Part(item="base", share=Fraction(1)),),
)


def workshop(tea: Preparation = TEA, *more: Preparation, base: int = 10 * KG) -> Workshop:
    """Bars poured of nothing but tea, tea made of nothing but base."""
    shop = with_bar(formula=(Part(item="tea", share=Fraction(1)),))
    return shop.changed(
        preparations={each.id: each for each in (tea, *more)},
        lots=(Lot(item="base", lot="base-1", amount=base),),
    )


def making(pour: int, *makes: int, pack: int = 21, unmould: int | None = None) -> Plan:
    """Lots of tea and one batch."""
    poured = batch(pour, pour + 1 if unmould is None else unmould, pack)
    return replace(preparing(*makes), batches=(poured,))


@pytest.mark.parametrize(("pour", "expected"), [(1, [Rule.STOCK]), (2, []), (3, [])])
def test_a_preparation_steeps_before_it_can_be_used(pour: int, expected: list[Rule]) -> None:
    assert rules(workshop(), making(pour, 0)) == expected


def test_a_preparation_keeps_from_its_make_day_on() -> None:
    # made on Monday, day 0, keeps 4 days: Friday, day 4, is the last; made on day 3, it is day 7
    assert not rules(workshop(), making(4, 0, unmould=7))
    account = replay(workshop(), making(7, 0))
    assert [b.rule for b in account.broken] == [Rule.STOCK]
    assert [(w.day, w.lot) for w in account.waste] == [(5, "tea 2026-08-31")]
    assert not rules(workshop(), making(7, 3))


def test_parts_are_taken_on_the_make_day() -> None:
    account = replay(workshop(), making(2, 0))
    assert (account.flows["base"].used[0], account.flows["tea"].arrived[2]) == (KG, KG)
    (lot,) = account.preparations
    assert (lot.amount, lot.ready, lot.use_by, lot.parts) == (KG, 2, 4, {"base": KG})
    assert broken(workshop(base=KG - 1), making(2, 0)) == [(0, Rule.STOCK, "base")]


def test_without_steeping_it_is_there_for_the_same_day() -> None:
    assert not rules(workshop(replace(TEA, ready_days=0)), making(0, 0))


@pytest.mark.parametrize("inner", ["a", "z"])  # whatever the names, the inner one is made first
def test_a_preparation_of_a_preparation(inner: str) -> None:
    tea = replace(TEA, ready_days=0, formula=(Part(item=inner, share=Fraction(1)),))
    steep = replace(TEA, id=inner, ready_days=0)
    shop = workshop(tea, steep)
    both = preparing(0).preparations + preparing(0, preparation=inner).preparations
    account = replay(shop, Plan(preparations=both, batches=(batch(0, 1, 7),)))
    assert account.certified
    assert {(p.item, p.use) for p in account.pegs if p.item != "bar"} == {
        ("base", f"{inner} 2026-08-31"),
        (inner, "tea 2026-08-31"),
        ("tea", "bar 2026-08-31"),
    }
    # what the outer one needs steeps a day: too late for the same day
    slow = workshop(tea, replace(steep, ready_days=1))
    found = replay(slow, Plan(preparations=both)).broken
    assert [(b.rule, b.subject) for b in found] == [(Rule.STOCK, inner)]


def test_levels_of_preparations_count_from_the_materials_up() -> None:
    # a is made of c, c of b, b of base; "d" of base and c, so above both
    made_of = {"a": ("c",), "b": ("base",), "c": ("b",), "d": ("base", "c")}
    kinds = {
        name: replace(
            TEA,
            id=name,
            ready_days=0,
            charge=1000,
            formula=tuple(Part(item=part, share=Fraction(1, len(parts))) for part in parts),
        )
        for name, parts in made_of.items()
    }
    shop = workshop().changed(preparations=kinds)
    wanted = ("a", "b", "b", "c", "c", "d")
    lots = tuple(lot for name in wanted for lot in preparing(0, preparation=name).preparations)
    account = replay(shop, Plan(preparations=lots))
    assert account.certified
    assert [lot.preparation for lot in account.preparations] == ["b", "b", "c", "c", "a", "d"]


def test_preparations_are_made_on_working_days_of_the_plan() -> None:
    assert broken(workshop(), preparing(5)) == [(5, Rule.WORKING_DAY, "tea 2026-09-05")]
    assert not rules(workshop(), preparing(4))
    for day in (-1, 30, 10**9):
        account = replay(workshop(), preparing(day))
        assert [b.rule for b in account.broken] == [Rule.WORKING_DAY]
        assert account.preparations == ()


def test_an_unknown_preparation() -> None:
    assert broken(workshop(), preparing(0, preparation="rum")) == [(0, Rule.UNKNOWN, "rum")]


def test_preparations_come_before_pours_and_after_packing() -> None:
    # 1 kg of base: the tea takes it before a batch that is poured of base on the same day
    base = with_bar().products["bar"]
    shop = workshop(replace(TEA, ready_days=0), base=KG)
    shop = shop.changed(products={"bar": base})
    account = replay(shop, making(0, 0))
    assert [(p.use, p.amount) for p in account.pegs if p.item == "base"] == [("tea 2026-08-31", KG)]
