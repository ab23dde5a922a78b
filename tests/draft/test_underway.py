from dataclasses import replace
from fractions import Fraction

import pytest

from planner.draft.capacity import HANDS
from planner.draft.draft import draft
from planner.draft.schedule import start_of
from planner.plan import Batch
from planner.replay import replay
from planner.workshop import DemandKind, Lot, Material, Packaging, Tray, Underway, Unit, Workshop
from tests.draft.pieces import span
from tests.workshop_parts import demand_row
from tests.workshops import tiny

CURING = Underway(lot="c", product="bar", bars=10, pour=-5, unmould=-4, in_mould=False)
SETTING = Underway(lot="s", product="bar", bars=10, pour=-1, unmould=0, in_mould=True)


def packed(workshop: Workshop) -> dict[str, int | None]:
    return {batch.lot: batch.pack for batch in start_of(workshop).standing}


def test_a_batch_is_packed_as_soon_as_it_is_cured_and_its_bars_count() -> None:
    start = start_of(tiny(underway=(CURING,)))
    assert start.standing == (Batch(pour=-5, product="bar", bars=10, unmould=-4, pack=1, lot="c"),)
    assert start.askings["bar"].opening == (span(2, 29, 10),)
    assert start.bench.free["tray tray"].amounts[:3] == [9, 10, 10]
    assert start.bench.free[HANDS].amounts[:3] == [480, 470, 480]


def test_a_batch_in_its_moulds_holds_them_and_is_unmoulded() -> None:
    setting = replace(SETTING, unmould=1)
    start = start_of(tiny(underway=(setting,)))
    assert start.bench.free["mould block"].amounts[:3] == [9, 10, 10]
    assert start.bench.free["tray tray"].amounts[:3] == [10, 9, 9]
    assert start.bench.free[HANDS].amounts[1] == 470
    assert packed(tiny(underway=(setting,))) == {"s": 7}


def test_packing_never_takes_the_minutes_that_unmoulding_needs() -> None:
    minutes = tuple(15 if minutes else 0 for minutes in tiny().minutes)
    ready = replace(CURING, unmould=-5)
    # 10 min to unmould the one and 10 to pack the other do not fit in the 15 of day 0
    assert packed(tiny(underway=(SETTING, ready), minutes=minutes)) == {"c": 1, "s": 7}


def boxed(*boxes: Lot, **changes: object) -> Workshop:
    """The tiny workshop whose bars go into boxes, of which there are these."""
    workshop = tiny(underway=(CURING,))
    box = Packaging(material="box", per_bar=Fraction(1))
    return workshop.changed(
        materials={
            **workshop.materials,
            "box": Material(id="box", kind="packaging", unit=Unit.PIECE),
        },
        products={"bar": replace(workshop.products["bar"], packaging=(box,))},
        lots=(*workshop.lots, *boxes),
        **changes,
    )


@pytest.mark.parametrize(("boxes", "pack"), [(10, 8), (9, None)])
def test_packing_waits_for_packaging_or_for_ever(boxes: int, pack: int | None) -> None:
    """Ten bars need ten boxes, which can be used from day 8 on; nobody sells one."""
    workshop = boxed(Lot(item="box", lot="b", amount=boxes, usable=8))
    assert packed(workshop) == {"c": pack}
    assert not replay(workshop, draft(workshop)).broken


def test_a_batch_that_cures_beyond_the_plan_stays_unpacked_on_its_tray() -> None:
    workshop = tiny(days=4, minutes=tiny().minutes[:4], demand=(), underway=(SETTING,), offers={})
    start = start_of(workshop)
    assert start.standing[0].pack is None
    assert start.bench.free["tray tray"].amounts == [9] * 4
    assert not replay(workshop, draft(workshop)).broken


def test_bars_under_way_are_not_poured_again() -> None:
    order = demand_row(tiny().products["bar"], DemandKind.ORDER, 10, 20)
    one_tray = {"tray": Tray(id="tray", count=1)}
    plan = draft(tiny(underway=(CURING,), demand=(order,), trays=one_tray))
    assert [batch.lot for batch in plan.batches] == ["c"]
