"""Materials and preparations: there in time, not past their date, first expired first used.

In `every_day` a batch takes 1 kg of base on its pour day. Poured on day s it is packed on s + 6
and gone on s + 7, seven days after s; an order for it is due on day 0.
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.draft.draft import draft
from planner.plan import Batch, Plan, PreparationLot, Purchase, PurchaseLine
from planner.solver.stages import Stages
from planner.workshop import (
    Delivery,
    DemandKind,
    Lot,
    Material,
    Offer,
    Packaging,
    Part,
    Preparation,
    Receipt,
    Unit,
    Workshop,
)
from tests.replay.plans import batch
from tests.solver.rows import settled
from tests.solver.solving import LATE_DAY, LIMITS, allows, bar, every_day, least_loss, refusals
from tests.workshop_parts import demand_row
from tests.workshops import tiny

KILO = 1_000_000
TEN_BARS = demand_row(bar(), DemandKind.ORDER, 10, 0)
TWENTY_BARS = (TEN_BARS, replace(TEN_BARS, id="second"))
NEVER = 20 * LATE_DAY + 10 * 1_000_000  # late to the end of the plan, and not met


def base(amount: int = KILO, **more: object) -> Lot:
    return Lot(**{"item": "base", "lot": f"base-{more}", "amount": amount, **more})  # type: ignore[arg-type]


def stocked(*lots: Lot, **changes: object) -> Workshop:
    """`every_day` with these lots alone and 20 bars on order."""
    return every_day(**{"lots": lots, "demand": TWENTY_BARS, **changes})


def poured(*days: int, **decisions: object) -> Plan:
    """A batch for each pour day, packed as soon as it is cured."""
    batches = tuple(batch(day, day + 1, day + 6) for day in days)
    return Plan(batches=batches, **decisions)  # type: ignore[arg-type]


def made(*days: int, name: str = "tea") -> tuple[PreparationLot, ...]:
    return tuple(PreparationLot(make=day, preparation=name) for day in days)


# Lots and receipts


def test_what_is_not_there_is_not_poured() -> None:
    """1.999 kg: one batch is poured on 0, the other never."""
    workshop = stocked(base(2 * KILO - 1))
    assert allows(workshop, poured(0))
    assert refusals(workshop, poured(0, 3)) == {"stock of base"}
    assert allows(stocked(base(2 * KILO)), poured(0, 3))
    assert least_loss(workshop) == 7 * LATE_DAY + NEVER


def test_a_lot_can_be_used_on_its_date_and_not_after() -> None:
    workshop = stocked(base(2 * KILO, use_by=3))
    assert allows(workshop, poured(0, 3))
    assert refusals(workshop, poured(0, 4)) == {"stock of base"}


def test_a_lot_past_its_date_does_not_count() -> None:
    assert least_loss(stocked(base(use_by=-1))) == 2 * NEVER


def test_the_lot_that_expires_first_is_used_first() -> None:
    """Of 1 kg that lasts and 1 kg good to day 2, the batch of day 2 takes the second."""
    workshop = stocked(base(), base(use_by=2))
    assert allows(workshop, poured(2, 3))
    assert refusals(workshop, poured(3, 4)) == {"stock of base"}


def test_waste_is_not_used_again() -> None:
    """2 kg good to day 2: half is used in time; of the kilo that lasts, one batch more is made."""
    workshop = stocked(
        base(), base(2 * KILO, use_by=2), demand=(*TWENTY_BARS, replace(TEN_BARS, id="third"))
    )
    assert allows(workshop, poured(1, 5))
    assert refusals(workshop, poured(1, 5, 6)) == {"stock of base"}


@pytest.mark.parametrize("released", [0, 4])
def test_a_lot_in_quarantine_can_be_used_from_its_release_on(released: int) -> None:
    workshop = stocked(base(2 * KILO, usable=released))
    assert allows(workshop, poured(released, released))
    assert released == 0 or refusals(workshop, poured(released - 1)) == {"stock of base"}
    assert least_loss(workshop) == 2 * (released + 7) * LATE_DAY


def test_an_open_order_can_be_used_from_its_release_on() -> None:
    receipt = Receipt(
        reference="R", supplier="shop", material="base", amount=KILO, expected=3, arrive=3, usable=4
    )
    workshop = stocked(base(), receipts=(receipt,))
    assert allows(workshop, poured(0, 4))
    assert refusals(workshop, poured(0, 3)) == {"stock of base"}
    assert least_loss(workshop) == (7 + 11) * LATE_DAY


# Purchases


def offer(**changes: object) -> Offer:
    """1 kg, ordered on any day, there the next, usable the day after."""
    days = [Delivery(order=day, arrive=day + 1, usable=day + 2) for day in range(18)]
    return replace(
        tiny().offers["shop/base/1 kg"],
        deliveries=tuple(days),
        **changes,  # type: ignore[arg-type]
    )


def bought(*orders: tuple[int, int]) -> tuple[Purchase, ...]:
    """(day, packs) of each order."""
    return tuple(
        Purchase(
            order=day,
            supplier="shop",
            lines=(PurchaseLine(offer="shop/base/1 kg", packs=packs),),
        )
        for day, packs in orders
    )


def buying(**changes: object) -> Workshop:
    """Nothing in stock, one offer."""
    return stocked(offers={"shop/base/1 kg": offer(**changes)})


def test_what_is_bought_can_be_used_once_it_is_released() -> None:
    """Ordered on 0, poured on 2, gone on 9."""
    assert allows(buying(), poured(2, 2, purchases=bought((0, 2))))
    assert refusals(buying(), poured(1, 2, purchases=bought((0, 2)))) == {"stock of base"}
    assert least_loss(buying()) == 2 * 9 * LATE_DAY


def test_without_purchases_the_earliest_arrival_counts() -> None:
    """The model that leaves purchases out proves the same loss."""
    workshop = buying()
    answer = Stages(workshop).service(settled(workshop, draft(workshop)), LIMITS)
    assert answer.stage.value == answer.stage.bound == 2 * 9 * LATE_DAY


def test_without_purchases_a_capped_offer_gives_no_more_than_its_cap() -> None:
    """At most one pack an order: the second batch is poured on 3."""
    workshop = buying(max_packs=1)
    answer = Stages(workshop).service(settled(workshop, draft(workshop)), LIMITS)
    assert answer.stage.value == answer.stage.bound == (9 + 10) * LATE_DAY


def test_what_is_bought_keeps_from_its_arrival_on() -> None:
    """There on 1, good for three days: to be used by day 4."""
    workshop = buying(shelf_life_days=3)
    assert allows(workshop, poured(2, 4, purchases=bought((0, 2))))
    assert refusals(workshop, poured(2, 5, purchases=bought((0, 2)))) == {"stock of base"}
    assert allows(workshop, poured(2, 5, purchases=bought((0, 1), (1, 1))))


def test_what_was_bought_to_spoil_is_used_before_what_lasts() -> None:
    """The kilo in stock lasts, that of the shop is good to day 4: 2 and 5 work, 5 and 6 do not."""
    workshop = stocked(base(), offers={"shop/base/1 kg": offer(shelf_life_days=3)})
    assert allows(workshop, poured(2, 5, purchases=bought((0, 1))))
    assert refusals(workshop, poured(5, 6, purchases=bought((0, 1)))) == {"stock of base"}


# Preparations


def tea(**changes: object) -> Preparation:
    """1 kg of tea from 1 kg of base; a batch takes 100 g of it."""
    fields: dict[str, object] = {
        "id": "tea",
        "unit": Unit.GRAM,
        "charge": KILO,
        "make_minutes": 20,
        "ready_days": 3,
        "formula": (Part(item="base", share=Fraction(1)),),
    }
    return Preparation(**{**fields, **changes})  # type: ignore[arg-type]


TEA_BAR = bar(
    formula=(Part(item="base", share=Fraction(9, 10)), Part(item="tea", share=Fraction(1, 10)))
)


def brewing(*lots: Lot, **changes: object) -> Workshop:
    """Base for everything, tea as changed."""
    return stocked(
        base(10 * KILO), *lots, preparations={"tea": tea(**changes)}, products={"bar": TEA_BAR}
    )


def test_a_preparation_steeps_before_it_is_used() -> None:
    """Made on 0, ready on 3: poured on 3, gone on 10."""
    assert allows(brewing(), poured(3, preparations=made(0)))
    assert refusals(brewing(), poured(2, preparations=made(0))) == {"stock of tea"}
    assert least_loss(brewing()) == 2 * 10 * LATE_DAY


def test_a_preparation_that_need_not_steep_is_used_on_its_day() -> None:
    assert allows(brewing(ready_days=0), poured(0, preparations=made(0)))
    assert refusals(brewing(ready_days=0), poured(0, preparations=made(1))) == {"stock of tea"}


def test_a_preparation_keeps_from_the_day_it_was_made() -> None:
    """Made on 0, good for five days: to be used by day 5."""
    workshop = brewing(shelf_life_days=5)
    assert allows(workshop, poured(5, preparations=made(0)))
    assert refusals(workshop, poured(6, preparations=made(0))) == {"stock of tea"}


@pytest.mark.parametrize(("percent", "fits"), [(20, True), (19, False)])
def test_a_lot_yields_less_than_was_put_in(percent: int, fits: bool) -> None:
    """Two batches take 200 g: a yield of 20 % of 1 kg is just enough."""
    workshop = brewing(yields=Fraction(percent, 100))
    assert allows(workshop, poured(3, 3, preparations=made(0))) is fits


def test_a_preparation_takes_its_parts_when_it_is_made() -> None:
    """1.9 kg of base: 1 kg for the tea, 0.9 kg for one batch; not enough for another lot."""
    workshop = stocked(base(1_900_000), preparations={"tea": tea()}, products={"bar": TEA_BAR})
    assert allows(workshop, poured(3, preparations=made(0)))
    assert "stock of base" in refusals(workshop, poured(3, preparations=made(0, 1)))


def test_a_preparation_in_stock_needs_no_making() -> None:
    """100 g of tea in stock: one batch on 0, the other after the steeping on 3."""
    workshop = brewing(Lot(item="tea", lot="tea-1", amount=100_000))
    assert least_loss(workshop) == (7 + 10) * LATE_DAY


def test_a_preparation_is_made_of_another() -> None:
    """Tea steeps for three days, the syrup of it for two: poured on 5, gone on 12."""
    syrup = tea(id="syrup", ready_days=2, formula=(Part(item="tea", share=Fraction(1)),))
    formula = (
        Part(item="base", share=Fraction(9, 10)),
        Part(item="syrup", share=Fraction(1, 10)),
    )
    workshop = stocked(
        base(10 * KILO),
        preparations={"syrup": syrup, "tea": tea()},
        products={"bar": bar(formula=formula)},
    )
    both = (*made(0), *made(3, name="syrup"))
    assert allows(workshop, poured(5, preparations=both))
    hasty = (*made(0), *made(2, name="syrup"))
    assert refusals(workshop, poured(5, preparations=hasty)) == {"stock of tea"}
    assert least_loss(workshop) == 2 * 12 * LATE_DAY


def test_a_part_kept_in_ml_is_taken_by_its_density() -> None:
    """1 kg of oil at 0.8 g/ml is 1,250 ml."""
    oil = Material(id="base", kind="ingredient", unit=Unit.MILLILITRE, density=Fraction(8, 10))
    assert allows(stocked(base(1_250_000), materials={"base": oil}), poured(0))
    scarce = stocked(base(1_249_999), materials={"base": oil})
    assert refusals(scarce, poured(0)) == {"stock of base"}


# Packaging


def boxed(boxes: int, per_bar: Fraction = Fraction(1), **more: object) -> Workshop:
    materials = {
        **tiny().materials,
        "box": Material(id="box", kind="packaging", unit=Unit.PIECE),
    }
    product = bar(packaging=(Packaging(material="box", per_bar=per_bar),), **more)
    lots = (base(10 * KILO), Lot(item="box", lot="box-1", amount=boxes))
    return stocked(*lots, materials=materials, products={"bar": product})


def test_packaging_is_used_when_bars_are_packed() -> None:
    """Boxes for one batch: the other is poured, but cannot be packed, so it is not poured."""
    assert allows(boxed(20), poured(0, 3))
    assert refusals(boxed(19), poured(0, 3)) == {"stock of box"}
    assert least_loss(boxed(19)) == 7 * LATE_DAY + NEVER


def test_packaging_that_comes_late_delays_packing_not_pouring() -> None:
    late = boxed(0)
    lots = (late.lots[0], Lot(item="box", lot="box-2", amount=20, usable=9))
    waiting = replace(late, lots=lots)
    cured = Batch(pour=0, product="bar", bars=10, unmould=1, pack=9)
    assert allows(waiting, Plan(batches=(cured,)))
    assert refusals(waiting, Plan(batches=(replace(cured, pack=8),))) == {"stock of box"}


def test_only_sound_bars_are_packed() -> None:
    """Two of ten are rejected: eight boxes. A carton for twelve: ceil(8 / 12) = 1."""
    assert allows(boxed(8, reject=Fraction(2, 10)), poured(0))
    assert refusals(boxed(7, reject=Fraction(2, 10)), poured(0)) == {"stock of box"}
    assert allows(boxed(1, Fraction(1, 12)), poured(0))
    assert refusals(boxed(0, Fraction(1, 12)), poured(0)) == {"stock of box"}
