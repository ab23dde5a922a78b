"""What counts as a change of the frozen days, and the workshop in which their orders are out."""

from dataclasses import replace

from planner.frozen import frozen_changes, orders_placed
from planner.plan import Plan
from planner.replay import replay
from planner.workshop import Workshop
from tests.replay.plans import SHOP_OFFER, batch, buying, plan, preparing, underway
from tests.workshops import tiny


def frozen(days: int, **changes: object) -> Workshop:
    workshop = tiny(**changes)
    return replace(workshop, costs=replace(workshop.costs, frozen_days=days))


def changes(days: int, stored: Plan, made: Plan) -> int:
    return frozen_changes(frozen(days), stored, made)


def test_without_a_stored_plan_nothing_is_changed() -> None:
    assert frozen_changes(frozen(9), None, plan(batch())) == 0


def test_what_is_moved_counts_on_both_days() -> None:
    """Poured on 1 instead of 0, packed on 7 as before."""
    stored, moved = plan(batch(0, 1, 7)), plan(batch(1, 2, 7))
    assert changes(9, stored, stored) == 0
    assert changes(9, stored, moved) == 2
    assert changes(1, stored, moved) == 1
    assert changes(0, stored, moved) == 0


def test_packing_lots_and_packs_count_too() -> None:
    stored = plan(batch(0, 1, 7))
    assert changes(9, stored, plan(batch(0, 1, 8))) == 2
    assert changes(8, stored, plan(batch(0, 1, 8))) == 1
    assert changes(7, stored, plan(batch(0, 1, 8))) == 0
    assert changes(5, preparing(1), preparing(1, 4, 5)) == 1
    assert changes(5, buying(packs=2), buying(packs=5)) == 3
    assert changes(5, buying(order=5), buying(order=6)) == 0


def test_batches_under_way_are_packed_as_it_fits() -> None:
    assert changes(9, plan(underway(3)), plan(underway(4))) == 0


def test_orders_of_the_frozen_days_are_placed_and_no_others_can_be() -> None:
    """Of two kilos ordered on day 1 and one on day 8, the two are on their way for day 3."""
    workshop = frozen(5, lots=())
    ordered = (*buying(packs=2, order=1).purchases, *buying(order=8).purchases)
    placed = orders_placed(workshop, Plan(purchases=ordered))
    (lot,) = placed.lots
    assert (lot.item, lot.amount, lot.usable, lot.use_by) == ("base", 2_000_000, 3, None)
    days = [delivery.order for delivery in placed.offers[SHOP_OFFER].deliveries]
    assert days == [d.order for d in workshop.offers[SHOP_OFFER].deliveries if d.order >= 5]
    two = plan(batch(3, 4, 9), batch(3, 4, 9))
    assert replay(placed, two).certified
    assert not replay(workshop, two).certified


def test_what_is_ordered_spoils_as_the_offer_says() -> None:
    """Ordered on day 0 it arrives on 1, and keeps for four days."""
    offer = replace(tiny().offers[SHOP_OFFER], shelf_life_days=4)
    workshop = frozen(5, lots=(), offers={offer.id: offer})
    (lot,) = orders_placed(workshop, buying(order=0)).lots
    assert lot.use_by == 5


def test_what_cannot_be_ordered_brings_nothing() -> None:
    workshop = frozen(9, lots=())
    assert orders_placed(workshop, buying(order=5)).lots == ()  # a Saturday
    assert orders_placed(workshop, buying(offer="nobody's")).lots == ()
