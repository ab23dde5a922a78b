"""Preparations on the latest day from which they serve, by hand on the tiny workshop."""

from dataclasses import replace
from fractions import Fraction

from planner.draft.placing import Openings, place
from planner.plan import PreparationLot
from planner.workshop import Lot, Material, Part, Preparation, Unit, Workshop
from tests.draft.test_placing import Shop
from tests.workshops import tiny

HALF = Fraction(1, 2)
PLANT = Material(id="plant", kind="ingredient", unit=Unit.GRAM)


def preparation(name: str, part: str, ready_days: int, **fields: object) -> Preparation:
    """A lot of 500 g, enough for one batch, made of as much of one part."""
    base = Preparation(
        id=name,
        unit=Unit.GRAM,
        charge=500_000,
        make_minutes=30,
        ready_days=ready_days,
        formula=(Part(item=part, share=Fraction(1)),),
    )
    return replace(base, **fields)  # type: ignore[arg-type]


def workshop_with(*preparations: Preparation, plant: int = 500_000) -> Workshop:
    """Bars half of base, half of the first preparation; the plant is only in stock."""
    workshop = tiny()
    formula = (Part(item="base", share=HALF), Part(item=preparations[0].id, share=HALF))
    return workshop.changed(
        products={"bar": replace(workshop.products["bar"], formula=formula)},
        materials={**workshop.materials, "plant": PLANT},
        preparations={one.id: one for one in preparations},
        lots=(*workshop.lots, Lot(item="plant", lot="p", amount=plant)),
    )


def made(shop: Shop) -> list[PreparationLot]:
    lots = [lot for planned in shop.bench.lots.values() for lot in planned]
    return sorted(PreparationLot(make=lot.make, preparation=lot.preparation) for lot in lots)


def test_a_lot_is_made_on_the_latest_working_day_before_its_use() -> None:
    shop = Shop(workshop_with(preparation("oil", "plant", 3)))
    # poured on Tuesday 8: ready by then if made on Saturday 5, so on Friday 4
    assert shop.put(8) is not None
    assert made(shop) == [PreparationLot(make=4, preparation="oil")]


def test_a_lot_ready_at_once_is_made_on_the_day_itself_if_hands_allow() -> None:
    shop = Shop(workshop_with(preparation("oil", "plant", 0)))
    shop.leave(60, day=8)
    assert shop.put(8) is not None
    assert made(shop) == [PreparationLot(make=7, preparation="oil")]


def test_a_pour_too_early_for_the_lot_is_refused() -> None:
    shop = Shop(workshop_with(preparation("oil", "plant", 3)))
    assert 2 not in shop.days()
    assert 3 in shop.days()


def test_a_lot_must_not_expire_before_its_use() -> None:
    # made on Friday 4 at the latest, gone after Sunday 6: too old on Tuesday 8, too young before
    shop = Shop(workshop_with(preparation("oil", "plant", 2, shelf_life_days=2)))
    assert 8 not in shop.days()
    assert 9 in shop.days()


def test_preparations_of_preparations_are_made_before_them() -> None:
    strained = preparation("strained", "oil", 1)
    shop = Shop(workshop_with(strained, preparation("oil", "plant", 10)))
    assert shop.put(15) is not None
    # strained on Monday 14, so the oil by Friday 4
    assert made(shop) == [
        PreparationLot(make=4, preparation="oil"),
        PreparationLot(make=14, preparation="strained"),
    ]
    assert shop.put(10) is None


def test_a_lot_serves_as_many_batches_as_it_can() -> None:
    shop = Shop(workshop_with(preparation("oil", "plant", 3, charge=1_000_000), plant=1_000_000))
    shop.put(8)
    shop.put(9)
    assert made(shop) == [PreparationLot(make=4, preparation="oil")]


def test_the_only_lot_is_made_earlier_where_an_earlier_batch_needs_it_too() -> None:
    shop = Shop(workshop_with(preparation("oil", "plant", 3, charge=1_000_000), plant=1_000_000))
    shop.put(15)
    assert made(shop) == [PreparationLot(make=11, preparation="oil")]
    # there is plant for no second lot
    assert shop.put(8) is not None
    assert made(shop) == [PreparationLot(make=4, preparation="oil")]


def test_a_lot_that_later_batches_use_up_stays_where_it_is() -> None:
    shop = Shop(workshop_with(preparation("oil", "plant", 3)))
    shop.put(15)
    found = Openings(shop.bench, shop.jobs, shop.job)
    assert place(shop.bench, shop.jobs, shop.job, found, found.all()) is None
    assert made(shop) == [PreparationLot(make=11, preparation="oil")]
