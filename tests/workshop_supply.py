"""What a random workshop buys and holds: suppliers, offers, opening lots and open orders."""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from math import ceil
from random import Random

from planner.workshop import (
    Delivery,
    Lot,
    Material,
    Offer,
    Preparation,
    PriceStep,
    Receipt,
    Supplier,
    Unit,
    Workshop,
)
from tests.workshop_need import amounts_needed, need_of_material
from tests.workshop_parts import Calendar

DRUM, PAIL = 25_000_000, 5_000_000  # mg
LEADS = {"maker": 42, "distributor": 11, "shop": 2, "grower": 14, "printer": 21}
SUPPLIERS = (
    Supplier(id="maker", freight=9500, lead_days=42),
    Supplier(
        id="distributor",
        freight=1450,
        free_freight_from=25_000,
        minimum_order=5000,
        pay_days=30,
        lead_days=11,
    ),
    Supplier(id="shop", lead_days=2),
    Supplier(id="grower", freight=700, lead_days=14),
    Supplier(id="printer", freight=1200, free_freight_from=50_000, pay_days=0, lead_days=21),
)


def draw_supply(
    draw: Random, calendar: Calendar, workshop: Workshop, scarce: Fraction | None
) -> Workshop:
    """Add suppliers, offers, lots and receipts; `scarce` is the load on the shared surfactant."""
    need = amounts_needed(workshop)
    sized = {
        name: replace(preparation, charge=_charge(preparation, need.get(name, 0)))
        for name, preparation in workshop.preparations.items()
    }
    workshop = replace(workshop, preparations=sized)
    sources = {name: _source(draw, item) for name, item in workshop.materials.items()}
    offers = _offers(draw, calendar, workshop, need, sources, scarce is not None)
    lots = list(workshop.lots)
    for name in [*workshop.materials, *workshop.preparations]:
        if name != "surfactant":
            lots += _lots(draw, workshop, name, need.get(name, 0), sources.get(name, "grower"))
    lots, receipts = _surfactant(draw, calendar, workshop, need, offers, lots, scarce)
    receipts += _wax(draw, calendar, workshop, need)
    return replace(
        workshop,
        suppliers={supplier.id: supplier for supplier in SUPPLIERS},
        offers=offers,
        materials=_with_safety(draw, workshop, need),
        lots=tuple(lots),
        receipts=tuple(receipts),
    )


def _charge(preparation: Preparation, need: int) -> int:
    """A lot for about a third of the plan, in whole 100 g; at least 1 kg, at most a potful."""
    charge = max(1_000_000, 100_000 * ceil(need / 3 / 100_000))
    return min(charge, 8_000_000) if preparation.vessel else charge


def _source(draw: Random, material: Material) -> str:
    """Who sells it."""
    if material.kind == "packaging":
        return "printer"
    if material.id == "surfactant":
        return "maker"
    if material.id == "wax":
        return "distributor"
    return draw.choice(("distributor", "distributor", "distributor", "shop", "grower"))


def _offers(
    draw: Random,
    calendar: Calendar,
    workshop: Workshop,
    need: Mapping[str, int],
    sources: Mapping[str, str],
    scarce: bool,
) -> dict[str, Offer]:
    """Two packs for most ingredients, boxes in hundreds with a minimum, drums and pails."""
    days = {
        "maker": (0,),
        "distributor": (draw.choice((1, 2)),),
        "shop": (0, 1, 2, 3, 4),
        "grower": (0,),
        "printer": (draw.choice((0, 2)),),
    }
    found: list[Offer] = []
    for name, material in workshop.materials.items():
        supplier = sources[name]
        deliveries = calendar.deliveries(
            LEADS[supplier], days[supplier], receive_days=material.receive_days
        )
        life = draw.choice((120, 180)) if supplier == "grower" else None
        base = Offer(
            id="",
            supplier=supplier,
            material=name,
            amount=1,
            pack_size="",
            pack_unit="",
            steps=(),
            deliveries=deliveries,
            lead_days=LEADS[supplier],
            lead_days_late=LEADS[supplier] + 7,
            shelf_life_days=life,
        )
        if name == "surfactant":
            pails = calendar.deliveries(11, days["distributor"], first=35 if scarce else 0)
            found += _drum_and_pail(base, pails)
        elif material.kind == "packaging":
            found.append(_boxes(draw, base))
        else:
            found += _packs(draw, base, material, need.get(name, 0))
    return {offer.id: offer for offer in found}


def _drum_and_pail(base: Offer, pails: tuple[Delivery, ...]) -> list[Offer]:
    """A drum of 25 kg from the maker; at most two pails of 5 kg an order, at a third more."""
    drum = _pack(base, DRUM, "25", "kg", [(1, 42_000)])
    pail = replace(
        base, supplier="distributor", lead_days=11, lead_days_late=16, deliveries=pails, max_packs=2
    )
    return [drum, _pack(pail, PAIL, "5", "kg", [(1, 11_250)])]


def _boxes(draw: Random, base: Offer) -> Offer:
    """Hundreds, at least three, cheaper from ten on."""
    price = draw.randrange(2400, 4800, 100)
    return _pack(replace(base, min_packs=3), 100, "100", "ea", [(3, price), (10, price * 7 // 10)])


def _packs(draw: Random, base: Offer, material: Material, need: int) -> list[Offer]:
    """A small and a large pack that suit what is needed; the large one costs less by weight."""
    sizes = [100, 250, 500, 1000, 5000, 25_000]
    fitting = [size for size in sizes if 3000 * size <= need]
    large = fitting[-1] if fitting else sizes[0]
    small = sizes[max(0, sizes.index(large) - 1)]
    price = Fraction(draw.randrange(400, 6000, 50), 1000)  # cents per g or ml
    unit = "ml" if material.unit is Unit.MILLILITRE else "g"
    packs = []
    for size in sorted({small, large}):
        cost = ceil(price * size * Fraction(13 if size < large else 10, 10))
        steps = (
            [(1, cost), (4, ceil(cost * Fraction(9, 10)))] if draw.random() < 0.3 else [(1, cost)]
        )
        packs.append(_pack(base, 1000 * size, str(size), unit, steps))
    return packs


def _pack(base: Offer, amount: int, size: str, unit: str, steps: list[tuple[int, int]]) -> Offer:
    return replace(
        base,
        id=f"{base.supplier}/{base.material}/{size} {unit}",
        amount=amount,
        pack_size=size,
        pack_unit=unit,
        steps=tuple(PriceStep(packs=packs, price=price) for packs, price in steps),
    )


def _lots(draw: Random, workshop: Workshop, name: str, need: int, supplier: str) -> list[Lot]:
    """Stock for the lead time and some weeks more; now and then a lot that expires in the plan."""
    days = workshop.days
    lead = LEADS[supplier]
    if name in workshop.preparations:
        lead += workshop.preparations[name].ready_days
    if need == 0:
        return []
    cover = min(days, 2 * lead + draw.randrange(14, 42))
    amount = need * cover // days + 1
    use_by = days + draw.randrange(60, 500) if draw.random() < 0.5 else None
    lots = [Lot(item=name, lot=f"{name}-a", amount=amount, use_by=use_by)]
    if draw.random() < 0.25:
        old = amount // 4 + 1
        lots.append(Lot(item=name, lot=f"{name}-b", amount=old, use_by=draw.randrange(10, days)))
    return lots


def _surfactant(
    draw: Random,
    calendar: Calendar,
    workshop: Workshop,
    need: Mapping[str, int],
    offers: Mapping[str, Offer],
    lots: list[Lot],
    scarce: Fraction | None,
) -> tuple[list[Lot], list[Receipt]]:
    """Surfactant on the shelf and on the way.

    Scarce: `scarce` times that is what must be poured before the first new drum or pail. Else
    it lasts for the lead time of a drum and weeks more.
    """
    if scarce is None:
        amount = need.get("surfactant", 0) * min(workshop.days, 84) // workshop.days + PAIL
    else:
        usable = [
            o.deliveries[0].usable
            for o in offers.values()
            if o.deliveries and o.material == "surfactant"
        ]
        amount = int(
            need_of_material(workshop, "surfactant", min(usable, default=workshop.days)) / scarce
        )
    receipts = []
    if amount > DRUM + PAIL:
        receipts.append(
            _receipt(calendar, "drum-1", "maker", "surfactant", DRUM, draw.randrange(3, 9))
        )
        amount -= DRUM
    return [*lots, Lot(item="surfactant", lot="surfactant-a", amount=amount)], receipts


def _wax(
    draw: Random, calendar: Calendar, workshop: Workshop, need: Mapping[str, int]
) -> list[Receipt]:
    """An open order for wax that comes within the first two weeks, or is overdue."""
    amount = 1_000_000 * max(1, need.get("wax", 0) // 10_000_000)
    day = draw.choice((-3, 4, 9))
    return [_receipt(calendar, "wax-1", "distributor", "wax", amount, day)]


def _receipt(
    calendar: Calendar, reference: str, supplier: str, material: str, amount: int, day: int
) -> Receipt:
    arrive = calendar.first_working(max(0, day)) if day >= 0 else 0
    return Receipt(
        reference=reference,
        supplier=supplier,
        material=material,
        amount=amount,
        expected=day,
        arrive=arrive,
        usable=calendar.first_working(arrive, 1),
    )


def _with_safety(draw: Random, workshop: Workshop, need: Mapping[str, int]) -> dict[str, Material]:
    """A week's use as safety stock for a third of the materials."""
    return {
        name: replace(material, safety_stock=7 * need.get(name, 0) // workshop.days)
        if draw.random() < 0.3
        else material
        for name, material in workshop.materials.items()
    }
