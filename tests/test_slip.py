"""A late purchase is followed to the pours that miss it and the demand behind them."""

from dataclasses import replace
from fractions import Fraction

from planner.account import Rule
from planner.order_by import purchase_needs
from planner.plan import Batch, Plan, Purchase, PurchaseLine
from planner.replay import replay
from planner.slip import slip
from planner.workshop import Lot, Material, Packaging, Unit
from tests.reports import shop
from tests.workshops import tiny

BASE = "shop/base/1 kg"


def two_batches(order: int) -> Plan:
    """The tiny workshop's base for the second batch, poured on Mon 14 Sep, is bought."""
    return Plan(
        batches=(
            Batch(pour=0, product="bar", bars=10, unmould=1, pack=7),
            Batch(pour=14, product="bar", bars=10, unmould=15, pack=21),
        ),
        purchases=(
            Purchase(order=order, supplier="shop", lines=(PurchaseLine(offer=BASE, packs=1),)),
        ),
    )


def test_a_week_late_is_in_time_while_there_is_a_week_to_spare() -> None:
    # Ordered on Thu 3 Sep and usable on Mon 7 Sep; a week later on Mon 14 Sep, the pour day.
    workshop, plan = tiny(), two_batches(3)
    book = replay(workshop, plan)
    late = slip(workshop, plan, book, book.purchases[0])
    assert (late.order, late.wants, late.demand) == (10, (), {})


def test_a_week_too_late_names_the_pour_what_it_lacks_and_the_bars_behind_it() -> None:
    workshop, plan = tiny(), two_batches(10)
    book = replay(workshop, plan)
    late = slip(workshop, plan, book, book.purchases[0])
    assert late.order == 17
    want = late.wants[0]
    assert len(late.wants) == 1
    assert (want.day, want.name, want.item, want.missing) == (14, "bar", "base", 1_000_000)
    # One bar a day from day 14 to 29; ten from the first batch, six from the second.
    assert late.demand == {"retail-bar-14": 6}


def test_what_comes_too_late_for_the_plan_does_not_come_at_all() -> None:
    workshop, plan = tiny(), two_batches(10)
    offer = workshop.offers[BASE]
    season = replace(offer, deliveries=tuple(d for d in offer.deliveries if d.order <= 10))
    workshop = workshop.changed(offers={BASE: season})
    book = replay(workshop, plan)
    late = slip(workshop, plan, book, book.purchases[0])
    assert late.order is None
    assert len(late.wants) == 1


def test_a_late_order_joins_what_is_ordered_on_its_new_day() -> None:
    workshop = tiny()
    twice = replace(
        two_batches(3),
        purchases=(*two_batches(3).purchases, *two_batches(10).purchases),
    )
    book = replay(workshop, twice)
    late = slip(workshop, twice, book, book.purchases[0])
    assert late.order == 10
    assert late.wants == ()


def test_a_pour_that_misses_part_lacks_only_that_part() -> None:
    workshop = tiny(lots=(Lot(item="base", lot="base-1", amount=1_400_000),))
    plan = two_batches(10)
    book = replay(workshop, plan)
    late = slip(workshop, plan, book, book.purchases[0])
    assert [want.missing for want in late.wants] == [600_000]


def test_what_a_preparation_misses_is_followed_to_the_batches_that_use_it() -> None:
    workshop = shop.shop()
    lots = tuple(lot for lot in workshop.lots if lot.item != "petals")
    offer = replace(workshop.offers["grocer/wax/5 kg"], id="petals", material="petals")
    workshop = workshop.changed(lots=lots, offers={**workshop.offers, "petals": offer})
    bought = Purchase(order=2, supplier="grocer", lines=(PurchaseLine(offer="petals", packs=1),))
    plan = replace(shop.plan(), purchases=tuple(sorted((*shop.plan().purchases, bought))))
    book = replay(workshop, plan)
    assert book.certified
    late = slip(workshop, plan, book, next(p for p in book.purchases if p.order == 2))
    assert [(want.name, want.item) for want in late.wants] == [("glycerite", "petals")]
    # The glycerite goes into the pour of Tue 29 Sep, whose bars the shop sells from Wed 14 Oct.
    assert list(late.demand) == ["shop shampoo"]


def test_a_launch_that_misses_the_bars_is_named_though_it_takes_none() -> None:
    # Boxes for the conditioner: none is there for the batch packed on Mon 14 Sep, before the
    # launch on day 25, Fri 25 Sep. Without it the 67 bars packed on Mon 28 Sep come first.
    workshop = shop.shop()
    boxed = replace(
        workshop.products["conditioner"],
        packaging=(Packaging(material="jar", per_bar=Fraction(1)),),
    )
    quick = workshop.offers["grocer/wax/5 kg"]
    workshop = workshop.changed(
        materials={
            **workshop.materials,
            "jar": Material(id="jar", kind="packaging", unit=Unit.PIECE),
        },
        products={**workshop.products, "conditioner": boxed},
        offers={**workshop.offers, "jars": replace(quick, id="jars", material="jar", amount=150)},
    )
    bought = Purchase(order=9, supplier="grocer", lines=(PurchaseLine(offer="jars", packs=1),))
    plan = replace(shop.plan(), purchases=tuple(sorted((*shop.plan().purchases, bought))))
    book = replay(workshop, plan)
    assert book.certified
    late = slip(workshop, plan, book, next(p for p in book.purchases if p.order == 9))
    assert [(want.day, want.missing) for want in late.wants] == [(14, 70)]
    assert late.launches == {"Gull": 29}


def test_a_launch_that_has_enough_without_them_is_not_named() -> None:
    workshop, plan = shop.shop(), shop.plan()
    book = replay(workshop, plan)
    drum = next(p for p in book.purchases if p.supplier == "maker")
    assert slip(workshop, plan, book, drum).launches == {}


def test_the_order_by_day_is_the_last_that_works_alone_and_for_all_together() -> None:
    workshop, plan = shop.shop(), shop.plan()
    needs = purchase_needs(workshop, replay(workshop, plan))
    latest = {(n.purchase.order, n.purchase.supplier): n.order_by for n in needs}
    assert latest == {(0, "maker"): 0, (1, "printer"): 9, (18, "grocer"): 25}

    def moved(days: dict[tuple[int, str], int | None]) -> Plan:
        purchases = (
            replace(p, order=days.get((p.order, p.supplier)) or p.order) for p in plan.purchases
        )
        return replace(plan, purchases=tuple(sorted(purchases)))

    def short(changed: Plan) -> bool:
        return any(b.rule is Rule.STOCK for b in replay(workshop, changed).broken)

    assert not short(moved(latest))
    for key, day in latest.items():
        assert day is not None
        later = min(
            d.order for d in workshop.offers[_offer_of(plan, key)].deliveries if d.order > day
        )
        assert short(moved({key: later}))


def _offer_of(plan: Plan, key: tuple[int, str]) -> str:
    return next(p.lines[0].offer for p in plan.purchases if (p.order, p.supplier) == key)
