"""Lots on the shelf: which goes first, when they come, when they are waste, when they run short."""

from dataclasses import replace
from fractions import Fraction

from planner.account import Peg, Rule
from planner.plan import Plan
from planner.replay import replay
from planner.workshop import Lot, Material, Packaging, Receipt, Unit, Workshop
from tests.replay.plans import batch, broken, buying, plan, rules, with_bar
from tests.workshops import tiny

KG = 1_000_000


def lot(name: str, amount: int = KG, usable: int = 0, use_by: int | None = None) -> Lot:
    """A lot of base."""
    return Lot(item="base", lot=name, amount=amount, usable=usable, use_by=use_by)


def taken(workshop: Workshop, wanted: Plan) -> list[tuple[int, str, int]]:
    """Day, lot and amount of every use of base."""
    return [(p.day, p.lot, p.amount) for p in replay(workshop, wanted).pegs if p.item == "base"]


def test_stock_to_the_last_milligram() -> None:
    assert not rules(tiny(lots=(lot("a", KG),)), plan(batch()))
    account = replay(tiny(lots=(lot("a", KG - 1),)), plan(batch()))
    assert [(b.day, b.rule, b.subject) for b in account.broken] == [(0, Rule.STOCK, "base")]
    assert "0.001 g are missing" in account.broken[0].message


def test_the_replay_goes_on_after_stock_runs_short() -> None:
    # two batches on day 0 and one on day 1 share 2.5 kg: 0.5 kg are missing on day 1
    workshop = tiny(lots=(lot("a", 2_500_000),))
    account = replay(workshop, plan(batch(), batch(), batch(1, 2, 7)))
    assert [(b.day, b.subject) for b in account.broken] == [(1, "base")]
    assert "500 g" in account.broken[0].message
    assert account.flows["base"].used[:2] == (2_000_000, 500_000)
    assert account.flows["bar"].arrived[8] == 30  # all three are packed


def test_one_message_for_an_item_and_day() -> None:
    found = broken(tiny(lots=()), plan(batch(), batch(), batch(1, 2, 7)))
    assert found == [(0, Rule.STOCK, "base"), (1, Rule.STOCK, "base")]


def test_the_lot_that_expires_first_goes_first() -> None:
    workshop = tiny(lots=(lot("never"), lot("late", use_by=20), lot("soon", use_by=9)))
    wanted = plan(batch(0), batch(1, 2, 7), batch(2, 3, 8))
    assert taken(workshop, wanted) == [(0, "soon", KG), (1, "late", KG), (2, "never", KG)]


def test_among_equals_earlier_usable_then_opening_then_open_order_then_plan_then_name() -> None:
    receipt = Receipt(
        reference="order 7",
        supplier="shop",
        material="base",
        amount=KG,
        expected=0,
        arrive=1,
        usable=2,
    )
    lots = (lot("b"), lot("a"), lot("quarantine", usable=2))
    workshop = tiny(lots=lots, receipts=(receipt,))
    wanted = replace(buying(), batches=tuple(batch(2, 3, 8) for _ in range(5)))
    bought = "shop/base/1 kg 2026-08-31"
    account = replay(workshop, wanted)
    assert account.certified
    first = {peg.lot: peg.use for peg in account.pegs if peg.item == "base"}
    in_turn = sorted(first, key=lambda name: first[name])
    assert in_turn == ["a", "b", "quarantine", "order 7", bought]


def test_a_use_may_take_from_several_lots() -> None:
    workshop = tiny(lots=(lot("a", 400_000, use_by=3), lot("b", 700_000)))
    account = replay(workshop, plan(batch()))
    use = "bar 2026-08-31"
    assert account.pegs[:2] == (
        Peg(day=0, item="base", lot="a", use=use, amount=400_000),
        Peg(day=0, item="base", lot="b", use=use, amount=600_000),
    )
    assert account.flows["base"].on_hand[0] == 100_000


def test_empty_lots_leave_no_trace() -> None:
    empty = lot("empty", 0, use_by=20), lot("late", 0, usable=2), lot("a", 2 * KG)
    product = with_bar(keep_bars=10).products["bar"]  # a batch of samples: nothing to sell
    workshop = tiny(lots=empty).changed(products={"bar": product})
    account = replay(workshop, plan(batch(3, 4, 9)))
    assert account.certified
    assert [(peg.item, peg.lot) for peg in account.pegs] == [("base", "a")]
    assert account.waste == ()


def test_use_by_is_the_last_day_of_use() -> None:
    assert not rules(tiny(lots=(lot("a", use_by=0),)), plan(batch()))
    assert rules(tiny(lots=(lot("a", use_by=0),)), plan(batch(1, 2, 7))) == [Rule.STOCK]


def test_what_passes_its_date_is_waste_the_day_after() -> None:
    account = replay(tiny(lots=(lot("a", use_by=3),)), plan())
    (waste,) = account.waste
    # 1 kg at 10.00 a kg
    assert (waste.day, waste.item, waste.lot, waste.amount, waste.value) == (
        4,
        "base",
        "a",
        KG,
        1000,
    )
    flow = account.flows["base"]
    assert (flow.on_hand[3], flow.on_hand[4], flow.wasted[4]) == (KG, 0, KG)


def test_a_lot_past_its_date_is_waste_at_once() -> None:
    account = replay(tiny(lots=(lot("a", use_by=-1),)), plan(batch()))
    assert [waste.day for waste in account.waste] == [0]
    assert [b.rule for b in account.broken] == [Rule.STOCK]


def test_a_lot_released_after_its_date_is_waste_when_it_is_released() -> None:
    account = replay(tiny(lots=(lot("a", usable=6, use_by=3),)), plan())
    assert [waste.day for waste in account.waste] == [6]
    flow = account.flows["base"]
    assert (flow.arrived[6], flow.wasted[6], flow.on_hand[6]) == (KG, KG, 0)


def test_quarantine_counts_from_its_release_on() -> None:
    workshop = tiny(lots=(lot("a", usable=2),))
    assert not rules(workshop, plan(batch(2, 3, 8)))
    assert rules(workshop, plan(batch(1, 2, 7))) == [Rule.STOCK]
    assert replay(workshop, plan()).flows["base"].arrived[2] == KG


def test_blocked_stock_does_not_count() -> None:
    assert rules(tiny(lots=(), blocked=(lot("a"),)), plan(batch())) == [Rule.STOCK]


def test_an_open_order_counts_from_the_day_it_is_usable() -> None:
    receipt = Receipt(
        reference="7", supplier="shop", material="base", amount=KG, expected=1, arrive=1, usable=2
    )
    workshop = tiny(lots=(), receipts=(receipt,))
    assert not rules(workshop, plan(batch(2, 3, 8)))
    assert rules(workshop, plan(batch(1, 2, 7))) == [Rule.STOCK]


def test_packaging_is_used_on_the_pack_day_for_sound_bars() -> None:
    # 10 % of 10 bars are rejected: 9 boxes; a twelfth of a carton each, 0.75, makes one
    box = Material(id="box", kind="packaging", unit=Unit.PIECE)
    carton = replace(box, id="carton")
    packaging = (
        Packaging(material="box", per_bar=Fraction(1)),
        Packaging(material="carton", per_bar=Fraction(1, 12)),
    )
    shop = with_bar(packaging=packaging, reject=Fraction(1, 10))
    shop = shop.changed(materials={**shop.materials, "box": box, "carton": carton})
    boxes = (Lot(item="box", lot="x", amount=9), Lot(item="carton", lot="y", amount=1))
    account = replay(shop.changed(lots=(*shop.lots, *boxes)), plan(batch()))
    assert account.certified
    assert (account.flows["box"].used[7], account.flows["carton"].used[7]) == (9, 1)
    few = (replace(boxes[0], amount=8), boxes[1])
    assert broken(shop.changed(lots=(*shop.lots, *few)), plan(batch())) == [(7, Rule.STOCK, "box")]
