"""A small workshop with a plan made by hand, rich enough that every report has something to say.

Eight weeks from Mon 31 Aug 2026. The drum of flakes must be ordered on the first day to be usable
on Tue 29 Sep, the day of the third pour; a week later that pour has none. Of the 8 shampoo bars
that are asked for each day some are lost before the batches under way come off their trays.
"""

from dataclasses import replace
from datetime import date
from fractions import Fraction

from planner.plan import (
    Batch,
    Plan,
    PreparationLot,
    Promise,
    Purchase,
    PurchaseLine,
    Stage,
    Status,
)
from planner.workshop import (
    DemandKind,
    Lot,
    Material,
    Mould,
    Offer,
    Packaging,
    Part,
    Place,
    Preparation,
    PriceStep,
    Product,
    Receipt,
    Supplier,
    Tray,
    Underway,
    Unit,
    Vessel,
    Workshop,
)
from tests.workshop_parts import Calendar, demand_row, values_of

DAYS = 56
CALENDAR = Calendar(first_day=date(2026, 8, 31), days=DAYS)
EVERY_WEEKDAY = (0, 1, 2, 3, 4)
KG = 1_000_000

SHAMPOO = Product(
    id="shampoo",
    line="Tern",
    pour_mg=82_000,
    net_mg=75_000,
    price=1250,
    wholesale_price=700,
    mould="long",
    set_days=1,
    vessel="pot",
    vessel_minutes=140,
    make_minutes=155,
    unmould_minutes=40,
    pack_minutes_per_bar=Fraction(13, 10),
    cure_days=14,
    tray="rack",
    bars_per_tray=16,
    sizes=(96, 48),
    formula=(
        Part(item="flakes", share=Fraction(60, 100)),
        Part(item="wax", share=Fraction(36, 100)),
        Part(item="glycerite", share=Fraction(4, 100)),
    ),
    packaging=(Packaging(material="box", per_bar=Fraction(1)),),
    loss=Fraction(2, 100),
    reject=Fraction(3, 100),
    keep_bars=3,
)
CONDITIONER = replace(
    SHAMPOO,
    id="conditioner",
    line="Gull",
    pour_mg=62_000,
    net_mg=60_000,
    price=1400,
    mould="short",
    place="fridge",
    set_days=0,
    vessel_minutes=75,
    make_minutes=110,
    unmould_minutes=0,
    pack_minutes_per_bar=Fraction(11, 10),
    cure_days=5,
    bars_per_tray=24,
    sizes=(72,),
    formula=(
        Part(item="wax", share=Fraction(92, 100)),
        Part(item="flakes", share=Fraction(8, 100)),
    ),
    packaging=(),
    reject=Fraction(2, 100),
)


def _offer(supplier: str, material: str, amount: int, pack: str, price: int, lead: int) -> Offer:
    size, unit = pack.split()
    return Offer(
        id=f"{supplier}/{material}/{pack}",
        supplier=supplier,
        material=material,
        amount=amount,
        pack_size=size,
        pack_unit=unit,
        steps=(PriceStep(packs=1, price=price),),
        deliveries=CALENDAR.deliveries(lead, EVERY_WEEKDAY),
        lead_days=lead,
    )


def shop() -> Workshop:
    """The workshop."""
    offers = (
        _offer("maker", "flakes", 25 * KG, "25 kg", 42_000, 28),
        _offer("grocer", "flakes", 5 * KG, "5 kg", 11_250, 9),
        _offer("grocer", "wax", 5 * KG, "5 kg", 12_800, 2),
        _offer("printer", "box", 250, "250 ea", 9_000, 20),
    )
    workshop = Workshop(
        name="Tern Cottage",
        currency="EUR",
        first_day=CALENDAR.first_day,
        days=DAYS,
        minutes=CALENDAR.minutes(330),
        materials={
            "flakes": Material(
                id="flakes",
                kind="ingredient",
                unit=Unit.GRAM,
                safety_stock=KG,
                caution="fine dust: mask, goggles, lid on",
            ),
            "wax": Material(
                id="wax", kind="ingredient", unit=Unit.GRAM, caution="hot mass sticks: sleeves"
            ),
            "glycerin": Material(
                id="glycerin",
                kind="ingredient",
                unit=Unit.MILLILITRE,
                density=Fraction(126, 100),
            ),
            "petals": Material(id="petals", kind="ingredient", unit=Unit.GRAM),
            "box": Material(id="box", kind="packaging", unit=Unit.PIECE),
        },
        preparations={
            "glycerite": Preparation(
                id="glycerite",
                unit=Unit.GRAM,
                charge=KG,
                make_minutes=60,
                ready_days=14,
                formula=(
                    Part(item="glycerin", share=Fraction(60, 100)),
                    Part(item="petals", share=Fraction(40, 100)),
                ),
                yields=Fraction(90, 100),
                shelf_life_days=365,
            )
        },
        products={"shampoo": SHAMPOO, "conditioner": CONDITIONER},
        moulds={
            "long": Mould(id="long", count=8, cavities=12),
            "short": Mould(id="short", count=6, cavities=12),
        },
        vessels={"pot": Vessel(id="pot", count=1, capacity_mg=8_200_000, minutes_per_day=330)},
        places={"fridge": Place(id="fridge", moulds=6)},
        trays={"rack": Tray(id="rack", count=12)},
        suppliers={
            "maker": Supplier(id="maker", freight=9_500, lead_days=28),
            "grocer": Supplier(
                id="grocer", freight=1_450, free_freight_from=25_000, pay_days=30, lead_days=2
            ),
            "printer": Supplier(id="printer", lead_days=20, minimum_order=5_000),
        },
        offers={offer.id: offer for offer in offers},
        lots=(
            Lot(item="flakes", lot="F-1", amount=11 * KG),
            Lot(item="wax", lot="W-1", amount=12 * KG),
            Lot(item="glycerite", lot="G-1", amount=700_000, use_by=40),
            Lot(item="glycerin", lot="GL-1", amount=3_000_000, usable=2, status="quarantine"),
            Lot(item="petals", lot="P-1", amount=600_000),
            Lot(item="box", lot="B-1", amount=260),
            Lot(item="shampoo", lot="S-1", amount=60),
        ),
        blocked=(Lot(item="wax", lot="W-0", amount=2 * KG, status="blocked"),),
        receipts=(
            Receipt(
                reference="PO-7",
                supplier="grocer",
                material="wax",
                amount=5 * KG,
                expected=3,
                arrive=3,
                usable=4,
            ),
        ),
        underway=(
            Underway(lot="U-1", product="shampoo", bars=96, pour=-10, unmould=-9, in_mould=False),
        ),
        demand=(
            demand_row(SHAMPOO, DemandKind.RETAIL, 56, 0, id="shop shampoo"),
            demand_row(CONDITIONER, DemandKind.LAUNCH, 60, 25, id="launch", launch="Gull"),
            demand_row(CONDITIONER, DemandKind.RETAIL, 14, 25, id="shop conditioner"),
            demand_row(SHAMPOO, DemandKind.ORDER, 24, 30, id="stockist"),
        ),
    )
    return replace(workshop, values=values_of(workshop))


def plan() -> Plan:
    """Three shampoo batches, two of conditioner, and what they need."""
    return Plan(
        batches=(
            Batch(pour=-10, product="shampoo", bars=96, unmould=-9, pack=7, lot="U-1"),
            Batch(pour=1, product="shampoo", bars=96, unmould=2, pack=16),
            Batch(pour=8, product="conditioner", bars=72, unmould=8, pack=14),
            Batch(pour=15, product="shampoo", bars=96, unmould=16, pack=30),
            Batch(pour=21, product="conditioner", bars=72, unmould=21, pack=28),
            Batch(pour=29, product="shampoo", bars=96, unmould=30, pack=44),
        ),
        preparations=(PreparationLot(make=9, preparation="glycerite"),),
        purchases=(
            Purchase(
                order=0,
                supplier="maker",
                lines=(PurchaseLine(offer="maker/flakes/25 kg", packs=1),),
            ),
            Purchase(
                order=1,
                supplier="printer",
                lines=(PurchaseLine(offer="printer/box/250 ea", packs=1),),
            ),
            Purchase(
                order=18,
                supplier="grocer",
                lines=(PurchaseLine(offer="grocer/wax/5 kg", packs=1),),
            ),
        ),
        promises=(Promise(demand="Gull", day=25), Promise(demand="stockist", day=30)),
        stages=(
            Stage(
                goal="service",
                value=67_500_000,
                bound=50_000_000,
                seconds=1.5,
                status=Status.FEASIBLE,
            ),
        ),
    )
