"""Numbers of batches, lots and packs above which one more cannot help, and never below a plan."""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.plan import Plan
from planner.solver.ceilings import Ceilings, bars_expire, preparation_levels
from planner.workshop import (
    DemandKind,
    Lot,
    Material,
    Mould,
    Packaging,
    Part,
    PriceStep,
    Underway,
    Vessel,
    Workshop,
)
from tests.replay.plans import SHOP_OFFER, batch, buying, plan, preparing
from tests.replay.test_preparing import TEA
from tests.solver.solving import bar, every_day
from tests.workshop_parts import demand_row
from tests.workshops import tiny

KEY = ("bar", 10)
KG = 1_000_000


def ordered(quantity: int, **changes: object) -> Workshop:
    """An order for so many bars of ten a batch, on twenty days with work on each."""
    order = demand_row(bar(), DemandKind.ORDER, quantity, 9)
    return every_day(demand=(order,), **changes)


def bars(amount: int, **more: object) -> Lot:
    return Lot(**{"item": "bar", "lot": "old", "amount": amount, **more})  # type: ignore[arg-type]


# Bars


def test_bars_wanted_are_those_of_every_row_within_the_plan() -> None:
    """Ten and thirty and five, and a week's seven on days 14 to 19."""
    rows = (
        demand_row(bar(), DemandKind.ORDER, 10, 0),
        demand_row(bar(), DemandKind.LAUNCH, 30, 0, launch="new"),
        demand_row(bar(), DemandKind.RESTOCK, 5, 3),
        demand_row(bar(), DemandKind.RETAIL, 7, 14),
    )
    assert Ceilings(every_day(demand=rows)).wanted == {"bar": 10 + 30 + 5 + 6}


@pytest.mark.parametrize(("quantity", "batches"), [(1, 1), (10, 1), (11, 2), (200, 20)])
def test_as_many_batches_as_make_all_bars_wanted(quantity: int, batches: int) -> None:
    assert Ceilings(ordered(quantity)).poured(KEY) == batches


@pytest.mark.parametrize(
    ("lot", "batches"),
    [
        (bars(10), 1),
        (bars(9), 2),
        (bars(10, usable=1), 2),  # a batch might be sooner
        (bars(10, use_by=-1), 2),
    ],
)
def test_only_bars_that_can_be_sold_at_once_spare_a_batch(lot: Lot, batches: int) -> None:
    assert Ceilings(ordered(20, lots=(lot,))).batches[KEY] == batches


def test_each_bar_may_need_its_own_batch_where_bars_spoil() -> None:
    """Three bars ordered, and a level of two on days 15 to 18: eight times two bars and days."""
    quick = bar(shelf_life_days=9)
    workshop = ordered(3, products={"bar": quick})
    assert Ceilings(workshop).batches[KEY] == 3
    level = demand_row(quick, DemandKind.RESTOCK, 2, 15, last_day=18)
    workshop = replace(workshop, demand=(*workshop.demand, level))
    assert Ceilings(workshop).batches[KEY] == 3 + 2 + 4 * 2
    to_the_end = replace(level, last_day=None)
    workshop = replace(workshop, demand=(workshop.demand[0], to_the_end))
    assert Ceilings(workshop).batches[KEY] == 3 + 2 + 5 * 2


def test_bars_expire_if_a_lot_or_a_batch_can_pass_its_date_within_the_plan() -> None:
    """The last day is 19; poured on day 0 a life of 19 days lasts to the end."""

    def expire(workshop: Workshop) -> bool:
        return bars_expire(workshop, workshop.products["bar"])

    old = Underway(lot="o", product="bar", bars=10, pour=-3, unmould=-2, in_mould=False)
    keeps, spoils = (every_day(products={"bar": bar(shelf_life_days=n)}) for n in (19, 18))
    assert not expire(every_day())
    assert not expire(keeps)
    assert expire(spoils)
    assert expire(replace(keeps, underway=(old,)))
    assert expire(replace(keeps, underway=(old, replace(old, lot="p", pour=0))))
    assert not expire(replace(keeps, underway=(replace(old, pour=0),)))
    assert expire(replace(keeps, lots=(bars(1, use_by=18),)))
    assert not expire(replace(keeps, lots=(bars(1, use_by=19),)))
    assert not expire(replace(keeps, lots=(bars(1, use_by=-1),)))


# What a day can take


@pytest.mark.parametrize(
    ("product", "changes", "most"),
    [
        ({}, {}, 8),  # 480 min in the pot at 60 min each
        ({"vessel_minutes": 100}, {}, 4),
        ({"vessel_minutes": 0, "make_minutes": 100}, {}, 4),
        ({"max_batches_per_day": 3}, {}, 3),
        ({}, {"moulds": {"block": Mould(id="block", count=2, cavities=10)}}, 2),
        ({}, {"moulds": {"block": Mould(id="block", count=2, cavities=10, turns_per_day=3)}}, 2),
        (
            {"set_days": 0},
            {"moulds": {"block": Mould(id="block", count=2, cavities=10, turns_per_day=3)}},
            6,
        ),
        ({"keep_bars": 10}, {}, 0),
        (
            {},
            {"vessels": {"pot": Vessel(id="pot", count=1, capacity_mg=KG, minutes_per_day=480)}},
            8,
        ),
        (
            {},
            {"vessels": {"pot": Vessel(id="pot", count=1, capacity_mg=KG - 1, minutes_per_day=9)}},
            0,
        ),
    ],
)
def test_batches_in_a_day(
    product: dict[str, object], changes: dict[str, object], most: int
) -> None:
    workshop = ordered(1000).changed(products={"bar": bar(**product)}, **changes)
    assert Ceilings(workshop).daily(KEY) == most


def test_all_days_together_take_no_more_than_each_of_them() -> None:
    """1,000 bars would be 100 batches; two working days take eight each."""
    assert Ceilings(ordered(1000, minutes=(480, 480) + (0,) * 18)).poured(KEY) == 16


# Parts and lots


def test_parts_and_packaging_of_all_batches_and_one_more() -> None:
    """Two batches of a kilo and ten boxes; and boxes for the batch under way."""
    boxed = bar(packaging=(Packaging(material="box", per_bar=Fraction(1)),))
    box = replace(tiny().materials["base"], id="box")
    old = Underway(lot="o", product="bar", bars=10, pour=-3, unmould=-2, in_mould=False)
    workshop = ordered(
        20,
        products={"bar": boxed},
        materials={**tiny().materials, "box": box},
        underway=(old,),
    )
    assert Ceilings(workshop).used == {"base": 3 * KG, "box": 40}


def test_the_size_that_takes_most_counts() -> None:
    """Three batches of seven take more than two of ten; one more is of the larger size."""
    workshop = ordered(20, products={"bar": bar(sizes=(10, 7))})
    assert Ceilings(workshop).used == {"base": 3 * 700_000 + KG}


def steeped(**changes: object) -> Workshop:
    """Bars of half tea, tea of base in lots of 1 kg."""
    halves = (Part(item="base", share=Fraction(1, 2)), Part(item="tea", share=Fraction(1, 2)))
    tea = replace(TEA, **changes)  # type: ignore[arg-type]
    return ordered(20, products={"bar": bar(formula=halves)}, preparations={"tea": tea})


def test_lots_of_a_preparation_cover_its_use_and_safety_stock() -> None:
    """Three batches take 1.5 kg."""
    keeps = steeped(shelf_life_days=None)
    assert Ceilings(keeps).lots("tea") == 2
    assert Ceilings(keeps).used == {"base": 1_500_000 + 2 * KG, "tea": 1_500_000}
    wished = steeped(shelf_life_days=None, safety_stock=KG)
    assert Ceilings(wished).lots("tea") == 3


def test_a_lot_that_spoils_may_be_made_again_on_each_day() -> None:
    assert Ceilings(steeped(shelf_life_days=4)).lots("tea") == 2 + 20
    assert Ceilings(steeped(shelf_life_days=20)).lots("tea") == 2


def test_preparations_stand_before_those_that_they_are_made_from() -> None:
    strained = replace(TEA, id="strained", formula=(Part(item="tea", share=Fraction(1)),))
    both = {"tea": TEA, "strained": strained}
    assert preparation_levels(every_day(preparations=both)) == ["strained", "tea"]


# Packs


def packs(
    supplier: dict[str, object] | None = None,
    materials: dict[str, Material] | None = None,
    **changes: object,
) -> int:
    """Packs of a kilo for three batches of a kilo."""
    offer = replace(tiny().offers[SHOP_OFFER], **changes)  # type: ignore[arg-type]
    shop = replace(tiny().suppliers["shop"], **(supplier or {}))  # type: ignore[arg-type]
    workshop = ordered(
        20,
        offers={offer.id: offer},
        suppliers={"shop": shop},
        materials=materials or tiny().materials,
    )
    return Ceilings(workshop).packs(offer)


def test_packs_cover_the_use_and_one_line_more() -> None:
    assert packs() == 3 + 1
    assert packs(amount=2 * KG) == 2 + 1
    assert packs(materials={"base": replace(tiny().materials["base"], safety_stock=KG)}) == 4 + 1
    assert packs(min_packs=5, steps=(PriceStep(packs=5, price=1000),)) == 3 + 5


def test_an_order_may_be_filled_up_to_what_is_worth_having() -> None:
    """Twenty bars are asked for: the base of twice as many counts, four kilos.

    For a lower price; for free freight also by the freight's worth, for a minimum by that.
    """
    steps = (PriceStep(packs=1, price=1000), PriceStep(packs=4, price=900))
    assert packs(steps=steps) == 4 + 4
    assert packs({"freight": 2500, "free_freight_from": 9000}) == 4 + 1 + 3
    filled = packs({"freight": 2800, "free_freight_from": 9000}, steps=steps)
    assert filled == 4 + 4 + 4  # at the lower price the freight is worth 3.1 packs
    deliveries = tiny().offers[SHOP_OFFER].deliveries[:2]
    assert packs({"minimum_order": 1500}, deliveries=deliveries) == 4 + 1 + 2 * 2


def test_each_line_may_be_too_large_where_packs_spoil() -> None:
    deliveries = tiny().offers[SHOP_OFFER].deliveries[:5]
    assert packs(shelf_life_days=3, deliveries=deliveries) == 3 + 5


# A stored plan


def test_no_ceiling_is_below_a_stored_plan() -> None:
    """Nothing is wanted, but three batches, four lots and nine packs are stored."""
    tea = replace(TEA, shelf_life_days=None)
    offer = tiny().offers[SHOP_OFFER]
    workshop = every_day(preparations={"tea": tea}, offers={offer.id: offer})
    stored = replace(
        plan(batch(0), batch(0), batch(1)),
        preparations=preparing(0, 0, 1, 2).preparations,
        purchases=buying(packs=9).purchases,
    )
    free, held = Ceilings(workshop), Ceilings(workshop, stored)
    assert (free.poured(KEY), free.lots("tea"), free.packs(offer)) == (0, 0, 2)
    assert (held.poured(KEY), held.lots("tea"), held.packs(offer)) == (3, 4, 9)
    assert held.used["base"] == 3 * KG + KG + 4 * KG


def test_a_stored_plan_of_less_changes_nothing() -> None:
    assert Ceilings(ordered(200), plan(batch())).poured(KEY) == 20
    assert Ceilings(ordered(200), Plan()).poured(KEY) == 20


def test_batches_under_way_are_not_poured_again() -> None:
    stored = Plan(batches=(replace(batch(-3, -2, 3), lot="old"),))
    assert Ceilings(every_day(), stored).poured(KEY) == 0


def test_a_supplier_without_freight_is_not_filled_up() -> None:
    assert packs({"free_freight_from": 9000}) == 4 + 1
