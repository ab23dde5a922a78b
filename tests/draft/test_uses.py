from dataclasses import replace
from fractions import Fraction

from planner.draft.uses import material_uses
from planner.plan import Batch, PreparationLot, in_plan_order
from planner.workshop import Material, Packaging, Unit
from tests.draft.test_preparing import preparation, workshop_with

WORKSHOP = workshop_with(preparation("oil", "plant", 3))
BOXED = WORKSHOP.changed(
    materials={**WORKSHOP.materials, "box": Material(id="box", kind="packaging", unit=Unit.PIECE)},
    products={
        "bar": replace(
            WORKSHOP.products["bar"], packaging=(Packaging(material="box", per_bar=Fraction(1)),)
        )
    },
)
BATCH = Batch(pour=8, product="bar", bars=10, unmould=9, pack=14)


def test_parts_on_pour_and_make_days_packaging_on_pack_days() -> None:
    lots = [PreparationLot(make=4, preparation="oil"), PreparationLot(make=4, preparation="oil")]
    assert material_uses(BOXED, [BATCH, replace(BATCH, pack=21)], lots) == {
        "base": {8: 1_000_000},
        "plant": {4: 1_000_000},
        "box": {14: 10, 21: 10},
    }


def test_a_batch_under_way_still_needs_its_packaging_only() -> None:
    underway = replace(BATCH, pour=-2, lot="u")
    unpacked = replace(underway, pack=None)
    uses = material_uses(BOXED, [underway, unpacked], [])
    assert uses == {"base": {}, "plant": {}, "box": {14: 10}}


def test_batches_without_a_pack_day_can_be_sorted_too() -> None:
    unpacked = replace(BATCH, pack=None, lot="u")
    assert sorted([BATCH, unpacked], key=in_plan_order) == [unpacked, BATCH]
