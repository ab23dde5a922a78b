"""The generator of test workshops: whole, repeatable, and as scarce as it says."""

from fractions import Fraction

import pytest

from planner.recipes import batch_mass, recipe_of
from planner.workshop import DemandKind, Preparation, Product, Workshop
from tests.workshop_need import asked, fillings_of_one_mould, need_of, need_of_material
from tests.workshop_parts import Calendar, demand_row, values_of
from tests.workshops import random_workshop, tiny

SEEDS = range(6)


def test_tiny_is_what_its_description_says() -> None:
    workshop = tiny()
    batch = recipe_of(workshop, "bar", 10)
    assert (batch.mass, batch.good, batch.moulds, batch.trays) == (1_000_000, 10, 1, 1)
    assert sum(asked(row, 30) for row in workshop.demand) == 16
    first = workshop.offers["shop/base/1 kg"].deliveries[0]
    assert (first.order, first.arrive, first.usable) == (0, 1, 2)
    # 1 kg costs 1000 cents = 1,000,000 thousandths; a batch of 10 bars takes 1 kg
    assert workshop.values == {"base": 1000, "bar": 100_000_000}


def test_tiny_takes_changes_and_values_follow() -> None:
    offer = tiny().offers["shop/base/1 kg"]
    assert tiny(offers={}, days=20).days == 20
    assert tiny(offers={}).values["bar"] == 0
    assert tiny(offers={offer.id: offer}, values={}).values == {}


@pytest.mark.parametrize("seed", SEEDS)
def test_same_seed_same_workshop(seed: int) -> None:
    assert random_workshop(seed) == random_workshop(seed)
    assert random_workshop(seed) != random_workshop(seed + 1)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("bottleneck", ["none", "trays", "moulds", "hands", "drum"])
def test_records_fit_together(seed: int, bottleneck: str) -> None:
    _check(random_workshop(seed, bottleneck=bottleneck))  # type: ignore[arg-type]


@pytest.mark.parametrize(("products", "days"), [(1, 45), (2, 60), (3, 90), (20, 180)])
def test_other_shapes_fit_together(products: int, days: int) -> None:
    workshop = random_workshop(3, products=products, days=days)
    _check(workshop)
    assert (len(workshop.products), workshop.days) == (products, days)


def test_scales_to_sixty_products() -> None:
    workshop = random_workshop(1, products=60, days=365, materials=200)
    _check(workshop)
    assert len(workshop.materials) in range(195, 206)


@pytest.mark.parametrize("seed", SEEDS)
def test_bottleneck_carries_more_than_it_can(seed: int) -> None:
    trays = random_workshop(seed, bottleneck="trays")
    load = need_of(trays).trays / (trays.trays["tray"].count * (trays.days - 2))
    assert Fraction(102, 100) < load < Fraction(120, 100)
    hands = random_workshop(seed, bottleneck="hands")
    assert Fraction(102, 100) < need_of(hands).hands / sum(hands.minutes[:-1]) < Fraction(120, 100)
    moulds = random_workshop(seed, bottleneck="moulds")
    assert Fraction(102, 100) < _mould_load(moulds) < Fraction(120, 100)


@pytest.mark.parametrize("seed", SEEDS)
def test_drum_bottleneck_is_short_before_the_first_drum(seed: int) -> None:
    workshop = random_workshop(seed, bottleneck="drum")
    usable = min(
        offer.deliveries[0].usable
        for offer in workshop.offers.values()
        if offer.material == "surfactant"
    )
    there = sum(lot.amount for lot in workshop.lots if lot.item == "surfactant")
    there += sum(r.amount for r in workshop.receipts if r.material == "surfactant")
    load = need_of_material(workshop, "surfactant", usable) / there
    assert Fraction(102, 100) < load < Fraction(120, 100)
    assert usable > 35


@pytest.mark.parametrize("seed", SEEDS)
def test_without_a_bottleneck_everything_is_ample(seed: int) -> None:
    workshop = random_workshop(seed)
    need = need_of(workshop)
    assert 2 * need.trays < workshop.trays["tray"].count * workshop.days
    assert 2 * need.hands < sum(workshop.minutes)
    assert 2 * _mould_load(workshop) < 1


def test_the_draws_hold_every_kind_of_record() -> None:
    workshops = [random_workshop(seed) for seed in range(12)]
    kinds = {row.kind for workshop in workshops for row in workshop.demand}
    assert kinds == set(DemandKind)
    assert any(lot.use_by in range(w.days) for w in workshops for lot in w.lots if lot.use_by)
    assert any(batch.in_mould for w in workshops for batch in w.underway)
    assert any(receipt.expected < 0 for w in workshops for receipt in w.receipts)
    assert any(m.density for w in workshops for m in w.materials.values())
    assert any(len(offer.steps) > 1 for w in workshops for offer in w.offers.values())
    assert any(_uses_preparation(w) for w in workshops)


def test_retail_is_asked_for_by_the_rule_for_a_day_of_the_week() -> None:
    # day rule: day j of a week asks floor(q(j+1)/7) - floor(qj/7); for q = 10: 1 1 2 1 2 1 2
    product = tiny().products["bar"]
    row = demand_row(product, DemandKind.RETAIL, 10, -2, last_day=20)
    daily = [asked(row, day + 1) - asked(row, day) for day in range(30)]
    assert daily[:12] == [2, 1, 2, 1, 2, 1, 1, 2, 1, 2, 1, 2]
    assert daily[21:] == [0] * 9


def test_weights_follow_from_prices() -> None:
    product = tiny().products["bar"]
    order = demand_row(product, DemandKind.ORDER, 12, 5)
    assert (order.weight, order.unmet) == (240_000, 12_000_000)
    launch = demand_row(product, DemandKind.LAUNCH, 12, 5, launch="new")
    assert (launch.weight, launch.unmet) == (12_000_000, 12_000_000)
    assert demand_row(product, DemandKind.RESTOCK, 12, 5).weight == 10_000


def test_a_mould_is_filled_again_when_it_is_free() -> None:
    # two nights from a Monday: Monday, Wednesday, Friday, then Monday again
    monday = Calendar(first_day=tiny().first_day, days=30)
    assert fillings_of_one_mould(monday, 2, 14) == 6


def _mould_load(workshop: Workshop) -> Fraction:
    """Fillings needed over fillings possible until the last day that is of use."""
    closed = {day for day, minutes in enumerate(workshop.minutes) if minutes == 0}
    calendar = Calendar(first_day=workshop.first_day, days=workshop.days, closed=frozenset(closed))
    setting = [p for p in workshop.products.values() if p.set_days]
    last = workshop.days - 1 - min(p.set_days + p.cure_days for p in setting)
    fillings = fillings_of_one_mould(calendar, setting[0].set_days, last)
    return need_of(workshop).moulds / (workshop.moulds["long"].count * fillings)


def _uses_preparation(workshop: Workshop) -> bool:
    """True if one preparation is a part of another."""
    return any(
        part.item in workshop.preparations
        for preparation in workshop.preparations.values()
        for part in preparation.formula
    )


def _check(workshop: Workshop) -> None:
    """Names exist, formulas are whole, a batch fits every resource, days are in range."""
    items = {*workshop.materials, *workshop.preparations}
    recipes: list[Product | Preparation] = [*workshop.products.values()]
    for recipe in [*recipes, *workshop.preparations.values()]:
        assert sum(part.share for part in recipe.formula) == 1
        assert items >= {part.item for part in recipe.formula}
    for product in workshop.products.values():
        largest = recipe_of(workshop, product.id, max(product.sizes))
        assert batch_mass(product, largest.bars) <= workshop.vessels["pot"].capacity_mg
        assert largest.moulds <= workshop.moulds[product.mould].count
        assert largest.trays <= workshop.trays[product.tray].count
        assert largest.make_minutes <= max(workshop.minutes)
        assert largest.pack_minutes <= max(workshop.minutes)
        assert items >= {use.material for use in product.packaging}
    for offer in workshop.offers.values():
        assert offer.steps[0].packs in (1, offer.min_packs)
        assert all(d.order < d.arrive <= d.usable < workshop.days for d in offer.deliveries)
        assert all(workshop.minutes[d.arrive] > 0 for d in offer.deliveries)
    for batch in workshop.underway:
        assert batch.pour < 0 <= batch.unmould or not batch.in_mould
    assert len({row.id for row in workshop.demand}) == len(workshop.demand)
    assert all(row.day < workshop.days for row in workshop.demand)
    assert len({lot.lot for lot in workshop.lots}) == len(workshop.lots)
    assert workshop.values == values_of(workshop)
