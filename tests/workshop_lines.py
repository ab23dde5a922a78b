"""What a random workshop makes and sells: materials, preparations, products and their demand."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from random import Random

from planner.workshop import (
    Demand,
    DemandKind,
    Lot,
    Material,
    Mould,
    Packaging,
    Part,
    Place,
    Preparation,
    Product,
    Underway,
    Unit,
)
from tests.workshop_need import asked
from tests.workshop_parts import Calendar, demand_row

SEASON = 28  # days for which one row of retail demand holds


@dataclass(frozen=True, kw_only=True)
class Lines:
    """The recipes' side of a workshop; counts of moulds and places are still to be set."""

    materials: Mapping[str, Material]
    preparations: Mapping[str, Preparation]
    products: Mapping[str, Product]
    moulds: Mapping[str, Mould]
    places: Mapping[str, Place]


@dataclass(frozen=True, kw_only=True)
class Market:
    """Demand, and the bars that are there or under way when the plan begins."""

    demand: tuple[Demand, ...]
    lots: tuple[Lot, ...]
    underway: tuple[Underway, ...]


def draw_lines(draw: Random, products: int, materials: int | None, bottleneck: str) -> Lines:
    """Shampoo bars and conditioners in equal parts; what is to be scarce is used up slowly.

    Moulds are held two or three nights where they are the bottleneck, and where hands are, a bar
    takes twice as long to pack: so the demand need not be out of proportion to reach the limit.
    """
    set_days = draw.choice((2, 3)) if bottleneck == "moulds" else 1
    pace = 2 if bottleneck == "hands" else 1
    names = [f"S{n + 1}" for n in range((products + 1) // 2)]
    names += [f"C{n + 1}" for n in range(products // 2)]
    total = materials or max(draw.randrange(15, 31), products + 10)
    pool = [f"m{n + 1:02}" for n in range(max(6, total - products - 3))]
    stock = _materials(draw, pool, names)
    preparations = _preparations(draw, pool)
    made = {}
    for number, name in enumerate(names):
        part = list(preparations)[number % len(preparations)] if draw.random() < 0.6 else None
        formula = _formula(draw, pool, part, name.startswith("S"))
        made[name] = _product(draw, name, formula, set_days, pace)
    return Lines(
        materials=stock,
        preparations=preparations,
        products=made,
        moulds={
            "long": Mould(id="long", count=1, cavities=12),
            "short": Mould(id="short", count=1, cavities=12, turns_per_day=draw.choice((1, 2))),
        },
        places={"fridge": Place(id="fridge", moulds=1, turns_per_day=draw.choice((1, 2, 3)))},
    )


def _materials(draw: Random, pool: list[str], products: list[str]) -> dict[str, Material]:
    """Surfactant, wax and the pool; a box for each product, stickers and cartons for all."""
    found = [
        Material(id="surfactant", kind="ingredient", unit=Unit.GRAM),
        Material(id="wax", kind="ingredient", unit=Unit.GRAM),
    ]
    for name in pool:
        liquid = draw.random() < 0.15
        found.append(
            Material(
                id=name,
                kind="ingredient",
                unit=Unit.MILLILITRE if liquid else Unit.GRAM,
                density=Fraction(draw.randrange(88, 127), 100) if liquid else None,
                receive_days=draw.choice((0, 1, 1, 2)),
            )
        )
    boxes = [f"box-{product}" for product in products]
    for name in [*boxes, "sticker", "carton"]:
        found.append(Material(id=name, kind="packaging", unit=Unit.PIECE))
    return {material.id: material for material in found}


def _preparations(draw: Random, pool: list[str]) -> dict[str, Preparation]:
    """A slow infusion, and now and then a quick blend of it; lots are sized later."""
    first, second, third = draw.sample(pool, 3)
    infusion = Preparation(
        id="infusion",
        unit=Unit.GRAM,
        charge=2_000_000,
        yields=Fraction(88, 100),
        make_minutes=60,
        ready_days=draw.randrange(10, 29),
        shelf_life_days=draw.choice((180, 365)),
        formula=_parts([(first, 700), (second, 300)]),
    )
    if draw.random() < 0.4:
        return {"infusion": infusion}
    base = "infusion" if draw.random() < 0.5 else second
    blend = Preparation(
        id="blend",
        unit=Unit.GRAM,
        charge=1_000_000,
        make_minutes=45,
        ready_days=draw.randrange(0, 4),
        shelf_life_days=90,
        vessel="pot",
        vessel_minutes=60,
        formula=_parts([(base, 400), (third, 600)]),
    )
    return {"infusion": infusion, "blend": blend}


def _parts(thousandths: list[tuple[str, int]]) -> tuple[Part, ...]:
    return tuple(Part(item=item, share=Fraction(share, 1000)) for item, share in thousandths)


def _formula(draw: Random, pool: list[str], part: str | None, shampoo: bool) -> tuple[Part, ...]:
    """Surfactant or wax first, a preparation perhaps, the rest split over the pool."""
    surfactant, wax = (
        (draw.randrange(500, 600, 10), draw.randrange(20, 40, 5))
        if shampoo
        else (draw.randrange(60, 90, 10), draw.randrange(320, 370, 10))
    )
    shares = [("surfactant", surfactant), ("wax", wax)]
    if part:
        shares.append((part, draw.randrange(20, 45, 5)))
    left = 1000 - sum(share for _, share in shares)
    chosen = draw.sample(pool, min(len(pool), draw.randrange(5, 10)))
    cuts = sorted(draw.sample(range(1, left), len(chosen) - 1))
    sizes = [end - start for start, end in zip([0, *cuts], [*cuts, left], strict=True)]
    return _parts([*shares, *zip(chosen, sorted(sizes, reverse=True), strict=True)])


def _product(
    draw: Random, name: str, formula: tuple[Part, ...], set_days: int, pace: int
) -> Product:
    """A shampoo bar (96 or 48 a batch) or a conditioner bar (72 or 36 a batch)."""
    shampoo = name.startswith("S")
    full = 96 if shampoo else 72
    sizes = (full // 2, full) if draw.random() < 0.5 else (full,)
    pour = draw.randrange(70, 86) if shampoo else draw.randrange(50, 66)
    price = draw.randrange(1100, 1500, 50)
    packaging = [(f"box-{name}", Fraction(1)), ("sticker", Fraction(1))]
    if draw.random() < 0.5:
        packaging.append(("carton", Fraction(1, 12)))
    return Product(
        id=name,
        line=f"line-{name[1:]}",
        pour_mg=1000 * pour,
        net_mg=1000 * (pour - 5),
        price=price,
        wholesale_price=price // 2,
        mould="long" if shampoo else "short",
        place=None if shampoo else "fridge",
        set_days=set_days if shampoo else 0,
        vessel="pot",
        vessel_minutes=140 if shampoo else 75,
        make_minutes=155 if shampoo else 110,
        unmould_minutes=40 if shampoo else 0,
        pack_minutes_per_bar=pace * (Fraction(13, 10) if shampoo else Fraction(11, 10)),
        cure_days=draw.randrange(14, 22) if shampoo else 5,
        tray="tray",
        bars_per_tray=16 if shampoo else 24,
        sizes=sizes,
        formula=formula,
        packaging=tuple(Packaging(material=item, per_bar=per_bar) for item, per_bar in packaging),
        loss=Fraction(2, 100),
        reject=Fraction(1, 32) if shampoo else Fraction(1, 36),
        keep_bars=3,
        shelf_life_days=draw.choice((None, 540)),
        importance=Fraction(1) if draw.random() < 0.8 else Fraction(3, 2),
    )


def draw_market(
    draw: Random, calendar: Calendar, products: Mapping[str, Product], factor: Fraction
) -> Market:
    """Demand of all four kinds times a factor, bars in stock to bridge the first cures."""
    days = calendar.days
    launched = _launched(list(products))
    launch_day = min(days - 1, max(2 * days // 5, 35) + draw.randrange(5))
    demand: list[Demand] = []
    lots: list[Lot] = []
    for product in products.values():
        weekly = draw.randrange(14, 41)
        if product.id in launched:
            stock = max(1, round(factor * weekly * 3))
            demand.append(
                demand_row(product, DemandKind.LAUNCH, stock, launch_day, launch="new line")
            )
            demand += _retail(draw, product, launch_day, days, factor * weekly)
            continue
        demand += _retail(draw, product, draw.choice((0, 0, -3)), days, factor * weekly)
        bridge = 3 + product.set_days + product.cure_days + draw.randrange(5, 12)
        bars = sum(asked(row, bridge) for row in demand if row.product == product.id)
        lots.append(Lot(item=product.id, lot=f"{product.id}-0", amount=max(1, bars)))
    running = [product for product in products.values() if product.id not in launched]
    demand += _orders_and_level(draw, running, days, factor)
    return Market(
        demand=tuple(demand), lots=tuple(lots), underway=_underway(draw, calendar, running)
    )


def _launched(names: list[str]) -> list[str]:
    """With three products or more the last shampoo is launched, with five its conditioner too."""
    shampoos = [name for name in names if name.startswith("S")]
    chosen = shampoos[-1:] if len(names) >= 3 else []
    return [*chosen, names[-1]] if len(names) >= 5 else chosen


def _retail(
    draw: Random, product: Product, first: int, days: int, weekly: Fraction
) -> list[Demand]:
    """One row for each four weeks; the demand grows up to double towards the end."""
    rows = []
    for day in range(first, days, SEASON):
        growth = Fraction(100 + 100 * max(0, day) // days + draw.randrange(-10, 11), 100)
        quantity = max(1, round(weekly * growth))
        rows.append(
            demand_row(product, DemandKind.RETAIL, quantity, day, last_day=day + SEASON - 1)
        )
    return rows


def _orders_and_level(
    draw: Random, running: list[Product], days: int, factor: Fraction
) -> list[Demand]:
    """Two stockists' orders, and a level that one product is to be kept at."""
    rows = []
    for customer in ("stockist A", "stockist B"):
        product = draw.choice(running)
        bars = max(6, 6 * round(factor * draw.randrange(4, 9)))
        day = draw.randrange(days // 3, max(days // 3 + 1, days - 10))
        rows.append(demand_row(product, DemandKind.ORDER, bars, day, customer=customer))
    level = max(1, round(factor * draw.randrange(4, 12)))
    rows.append(demand_row(draw.choice(running), DemandKind.RESTOCK, level, days // 4))
    unique = {row.id: row for row in rows}
    return list(unique.values())


def _underway(draw: Random, calendar: Calendar, running: list[Product]) -> tuple[Underway, ...]:
    """One batch that cures, and one that was poured on the last working day before the plan."""
    curing, poured = running[0], draw.choice(running)
    day = -10 - draw.randrange(4)
    while not calendar.works(day):
        day -= 1
    batches = [_batch(calendar, curing, day)]
    day = -1
    while not calendar.works(day):
        day -= 1
    if draw.random() < 0.7:
        batches.append(_batch(calendar, poured, day))
    return tuple(batches)


def _batch(calendar: Calendar, product: Product, pour: int) -> Underway:
    """A full batch as it stands on day 0."""
    unmould = calendar.first_working(pour + product.set_days)
    return Underway(
        lot=f"{product.id}{pour}",
        product=product.id,
        bars=max(product.sizes),
        pour=pour,
        unmould=unmould,
        in_mould=unmould >= 0,
    )
