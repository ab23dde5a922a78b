"""Batches under way that stay on their trays, and what keeps each there.

The batch `old` is cured on day 3, a Thursday; ten bars go into ten boxes.
"""

from dataclasses import replace
from fractions import Fraction

from planner.causes import Cause, Unpacked, unpacked
from planner.replay import replay
from planner.workshop import Budget, Delivery, Lot, Material, Packaging, Unit, Workshop
from tests.causes.cases import busy, shop, with_bar
from tests.replay.plans import SHOP_OFFER, batch, curing, plan, underway
from tests.workshops import tiny


def boxed(boxes: int, **changes: object) -> Workshop:
    """A workshop without demand or offers, with so many boxes and base for a batch."""
    box = Material(id="box", kind="packaging", unit=Unit.PIECE)
    lots = (*tiny().lots, Lot(item="box", lot="boxes", amount=boxes))
    workshop = shop(materials={**tiny().materials, "box": box}, underway=(curing(),), lots=lots)
    packaging = (Packaging(material="box", per_bar=Fraction(1)),)
    return with_bar(workshop, packaging=packaging).changed(demand=(), **changes)


def offered(*deliveries: Delivery, **changes: object) -> Workshop:
    """Nine boxes, and ten more for 10.00 on these days."""
    offer = replace(
        tiny().offers[SHOP_OFFER], id="boxes", material="box", amount=10, deliveries=deliveries
    )
    return boxed(9, offers={"boxes": offer}, **changes)


def left(workshop: Workshop) -> Unpacked:
    account = replay(workshop, plan(underway(None)))
    assert account.certified
    (found,) = unpacked(workshop, account)
    assert (found.lot, found.product, found.bars) == ("old", "bar", 10)
    return found


def test_what_is_packed_or_not_yet_cured_is_not_named() -> None:
    workshop = boxed(10)
    assert unpacked(workshop, replay(workshop, plan(underway(3)))) == ()
    long = with_bar(boxed(0), cure_days=32)  # cured on day 30, the first beyond the plan
    assert unpacked(long, replay(long, plan(underway(None)))) == ()
    almost = with_bar(boxed(0), cure_days=31)
    assert left(almost).cause is Cause.MATERIAL


def test_packaging_that_nobody_sells() -> None:
    found = left(boxed(9))
    assert found.cause is Cause.MATERIAL
    assert found.detail == (
        "to be packed on Tue 29 Sep it needs 1 ea of box more by Tue 29 Sep, "
        "and none can be bought within the plan"
    )


def test_packaging_that_another_batch_takes() -> None:
    workshop = boxed(10)
    account = replay(workshop, plan(underway(None), batch()))
    assert account.certified
    (found,) = unpacked(workshop, account)
    assert found.cause is Cause.MATERIAL
    assert "it goes into bar" in found.detail


def test_packaging_that_comes_too_late() -> None:
    """Nobody works on days 28 and 29, and the boxes come on 28."""
    late = Delivery(order=0, arrive=28, usable=28)
    found = left(offered(late, minutes=(*tiny().minutes[:28], 0, 0)))
    assert found.cause is Cause.LEAD_TIME


def test_packaging_that_the_budget_cannot_pay_for() -> None:
    soon = Delivery(order=0, arrive=1, usable=2)
    budget = Budget(month="September", first=0, last=29, amount=999)
    found = left(offered(soon, budgets=(budget,)))
    assert found.cause is Cause.BUDGET
    assert "the budget of September is EUR 0.01 too small" in found.detail
    enough = replace(budget, amount=1000)
    assert left(offered(soon, budgets=(enough,))).cause is Cause.UNKNOWN


def test_hands_that_are_busy_with_something_else() -> None:
    workshop = boxed(10)
    account = busy(replay(workshop, plan(underway(None))), "hands", range(3, 30))
    (found,) = unpacked(workshop, account)
    assert found.cause is Cause.HANDS
    assert "10 min (hands)" in found.detail


def test_nothing_in_the_way() -> None:
    found = left(boxed(10))
    assert found.cause is Cause.UNKNOWN
    assert found.detail.startswith("nothing stands in the way of packing it on Tue 29 Sep")
