"""Small workshops and plans drawn by hypothesis: two weeks, one or two products, every rule on.

They are small enough for hypothesis to shrink, and odd enough for all rules to bind.
"""

from dataclasses import replace
from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from planner.draft.draft import draft
from planner.plan import Batch, Plan, PreparationLot, Purchase, PurchaseLine
from planner.workshop import (
    Budget,
    Costs,
    Demand,
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
from tests.workshops import tiny

Draw = Any  # hypothesis' own type of `draw` is generic over what is drawn

KILO = 1_000_000
PRODUCTS = ("bar", "balm")


@st.composite
def workshops(draw: Draw) -> Workshop:
    """A workshop of 8 to 16 days; "bar" is poured of base, tea and "balm" of base."""
    names = PRODUCTS[: draw(st.integers(1, 2))]
    calendar = Calendar(first_day=tiny().first_day, days=draw(st.integers(8, 16)))
    products = {name: draw(_products(name)) for name in names}
    suppliers = {name: draw(_suppliers(name)) for name in ("shop", "mill")}
    offers = [draw(_offers(calendar, *kind)) for kind in (("shop", 1), ("mill", 1), ("mill", 2))]
    demand: list[Demand] = []
    for product in products.values():
        demand += draw(_demand(product, calendar.days))
    workshop = tiny(
        days=calendar.days,
        minutes=calendar.minutes(draw(st.sampled_from((40, 100, 480)))),
        costs=Costs(clean_down=draw(st.sampled_from((0, 200))), safety=Fraction(1, 100)),
        materials={
            "base": Material(
                id="base",
                kind="ingredient",
                unit=Unit.GRAM,
                safety_stock=draw(st.sampled_from((0, KILO))),
            ),
            "box": Material(id="box", kind="packaging", unit=Unit.PIECE),
        },
        preparations={"tea": draw(_teas())},
        products=products,
        moulds={"block": Mould(id="block", count=draw(st.integers(2, 4)), cavities=4)},
        places={"shelf": Place(id="shelf", moulds=draw(st.integers(2, 4)))},
        vessels={"pot": Vessel(id="pot", count=1, capacity_mg=5 * KILO, minutes_per_day=100)},
        trays={"tray": Tray(id="tray", count=draw(st.integers(2, 5)))},
        suppliers=suppliers,
        offers={offer.id: offer for offer in offers},
        lots=tuple(draw(_lots(names, calendar.days))),
        receipts=draw(_receipts(calendar.days)),
        underway=draw(_underway(products["bar"])),
        demand=_named_apart(demand),
        budgets=draw(_budgets(calendar.days)),
    )
    return replace(workshop, values=values_of(workshop))


@st.composite
def _products(draw: Draw, name: str) -> Product:
    set_days, cure_days = draw(st.integers(0, 2)), draw(st.integers(0, 3))
    tea = draw(st.booleans()) and name == "bar"
    parts = [("base", Fraction(3, 4)), ("tea", Fraction(1, 4))] if tea else [("base", Fraction(1))]
    life = draw(st.none() | st.integers(2, 6))
    return Product(
        id=name,
        line=name,
        pour_mg=250_000,
        net_mg=240_000,
        price=1000,
        wholesale_price=600,
        mould="block",
        place=draw(st.sampled_from((None, "shelf"))),
        set_days=set_days,
        vessel="pot",
        vessel_minutes=30,
        make_minutes=20,
        unmould_minutes=5,
        pack_minutes_per_bar=Fraction(5, 4),
        cure_days=cure_days,
        tray="tray",
        bars_per_tray=4,
        sizes=draw(st.sampled_from(((4,), (8,), (4, 8)))),
        formula=tuple(Part(item=item, share=share) for item, share in parts),
        packaging=(Packaging(material="box", per_bar=Fraction(1)),) if draw(st.booleans()) else (),
        reject=draw(st.sampled_from((Fraction(0), Fraction(1, 8)))),
        keep_bars=draw(st.integers(0, 1)),
        shelf_life_days=None if life is None else set_days + cure_days + life,
        max_batches_per_day=draw(st.sampled_from((None, 1))),
    )


@st.composite
def _teas(draw: Draw) -> Preparation:
    ready = draw(st.integers(0, 3))
    return Preparation(
        id="tea",
        unit=Unit.GRAM,
        charge=draw(st.sampled_from((500_000, KILO))),
        yields=draw(st.sampled_from((Fraction(1), Fraction(9, 10)))),
        make_minutes=15,
        ready_days=ready,
        shelf_life_days=draw(st.none() | st.integers(1, 5).map(lambda more: ready + more)),
        vessel=draw(st.sampled_from((None, "pot"))),
        vessel_minutes=20,
        formula=(Part(item="base", share=Fraction(1)),),
    )


@st.composite
def _suppliers(draw: Draw, name: str) -> Supplier:
    return Supplier(
        id=name,
        freight=draw(st.sampled_from((0, 300))),
        free_freight_from=draw(st.sampled_from((None, 2000))),
        minimum_order=draw(st.sampled_from((None, 1500))),
        pay_days=draw(st.sampled_from((0, 0, 5))),
        lead_days=1,
    )


@st.composite
def _offers(draw: Draw, calendar: Calendar, supplier: str, kilos: int) -> Offer:
    """Base in packs of one or two kilos, from every day of the week or from Mondays."""
    price = 900 * kilos + draw(st.sampled_from((0, 200)))
    least = draw(st.sampled_from((1, 1, 2)))
    steps = [PriceStep(packs=least, price=price)]
    if draw(st.booleans()):
        steps.append(PriceStep(packs=3, price=price - 150))
    lead = draw(st.integers(0, 3))
    return Offer(
        id=f"{supplier}/base/{kilos} kg",
        supplier=supplier,
        material="base",
        amount=kilos * KILO,
        pack_size=str(kilos),
        pack_unit="kg",
        steps=tuple(steps),
        deliveries=calendar.deliveries(
            lead, draw(st.sampled_from(((0,), (0, 1, 2, 3, 4)))), receive_days=1
        ),
        min_packs=least,
        max_packs=draw(st.sampled_from((None, None, least, 3))),
        lead_days=lead,
        shelf_life_days=draw(st.sampled_from((None, None, 2, 5))),
    )


@st.composite
def _lots(draw: Draw, products: tuple[str, ...], days: int) -> list[Lot]:
    """Base and boxes, now and then tea and bars; some with a use-by date or in quarantine."""
    lots = [
        Lot(item="base", lot="base-1", amount=draw(st.integers(0, 6)) * KILO),
        Lot(item="box", lot="box-1", amount=draw(st.sampled_from((0, 10, 30, 100)))),
    ]
    for item, amount in [("base", KILO), ("tea", 600_000), *((name, 6) for name in products)]:
        if draw(st.booleans()):
            usable = draw(st.sampled_from((0, 0, 3)))
            use_by = draw(st.none() | st.integers(usable, days + 2))
            lots.append(
                Lot(item=item, lot=f"{item}-2", amount=amount, usable=usable, use_by=use_by)
            )
    return lots


@st.composite
def _receipts(draw: Draw, days: int) -> tuple[Receipt, ...]:
    if not draw(st.booleans()):
        return ()
    day = draw(st.integers(0, days - 1))
    receipt = Receipt(
        reference="R-1",
        supplier="shop",
        material="base",
        amount=2 * KILO,
        expected=day,
        arrive=day,
        usable=day + 1,
    )
    return (receipt,)


@st.composite
def _underway(draw: Draw, bar: Product) -> tuple[Underway, ...]:
    """Perhaps a batch poured on the Friday before; in its moulds if it sets over the weekend.

    It takes two moulds, places and trays at the most, which are always there, and up to eight
    boxes, which may be missing: then it stays on its trays.
    """
    if not draw(st.booleans()):
        return ()
    unmould = -3 if bar.set_days == 0 else 0
    batch = Underway(
        lot="old", product="bar", bars=bar.sizes[0], pour=-3, unmould=unmould, in_mould=unmould == 0
    )
    return (batch,)


@st.composite
def _budgets(draw: Draw, days: int) -> tuple[Budget, ...]:
    amount = draw(st.none() | st.sampled_from((2000, 4000)))
    if amount is None:
        return ()
    return (Budget(month="first week", first=-3, last=days // 2, amount=amount),)


@st.composite
def _demand(draw: Draw, product: Product, days: int) -> list[Demand]:
    """Retail of one or two importances, orders, launches and a level of one product."""
    rows = []
    for weight in range(draw(st.integers(0, 2))):
        first = draw(st.integers(-3, days - 1))
        last = draw(st.none() | st.integers(max(first, 0), days + 3))
        row = demand_row(
            product, DemandKind.RETAIL, draw(st.sampled_from((3, 7, 14))), first, last_day=last
        )
        rows.append(replace(row, weight=row.weight * (1 + weight)))
    for _ in range(draw(st.integers(0, 2))):
        day = draw(st.integers(-2, days - 1))
        rows.append(demand_row(product, DemandKind.ORDER, draw(st.integers(1, 9)), day))
    for number in range(draw(st.sampled_from((0, 0, 1, 2)))):
        day = draw(st.integers(0, days - 1))
        name = f"launch {number}"
        rows.append(
            demand_row(product, DemandKind.LAUNCH, draw(st.integers(1, 9)), day, launch=name)
        )
    if draw(st.booleans()):
        rows.append(demand_row(product, DemandKind.RESTOCK, draw(st.integers(1, 5)), days // 2))
    return rows


def _named_apart(rows: list[Demand]) -> tuple[Demand, ...]:
    """Rows with ids of their own; all rows of a launch fall due on the latest of their days."""
    due: dict[str, int] = {}
    for row in rows:
        if row.launch:
            due[row.launch] = max(row.day, due.get(row.launch, row.day))
    return tuple(
        replace(row, id=f"{number} {row.id}", day=due.get(row.launch, row.day))
        for number, row in enumerate(rows)
    )


@st.composite
def plans(draw: Draw, workshop: Workshop) -> Plan:
    """The draft with batches, lots and orders left out, moved or added: often a worse plan."""
    plan = draft(workshop)
    batches = [batch for batch in plan.batches if draw(st.integers(0, 3)) or batch.in_progress]
    batches = [draw(_packed_later(workshop, batch)) for batch in batches]
    batches += draw(st.lists(_batches(workshop), max_size=2))
    purchases = [order for order in plan.purchases if draw(st.integers(0, 3))]
    purchases += draw(st.lists(_purchases(workshop), max_size=2))
    makes = st.builds(
        PreparationLot, make=st.sampled_from(workshop.working_days), preparation=st.just("tea")
    )
    return Plan(
        batches=tuple(sorted(batches, key=lambda batch: (batch.pour, batch.product, batch.bars))),
        preparations=tuple(sorted([*plan.preparations, *draw(st.lists(makes, max_size=1))])),
        purchases=_merged(purchases),
        promises=tuple(draw(st.permutations(plan.promises))),
    )


@st.composite
def _packed_later(draw: Draw, workshop: Workshop, batch: Batch) -> Batch:
    if batch.pack is None or draw(st.integers(0, 2)):
        return batch
    if batch.in_progress and draw(st.booleans()):
        return replace(batch, pack=None)
    later = [day for day in workshop.working_days if day >= batch.pack]
    return replace(batch, pack=draw(st.sampled_from(later)))


@st.composite
def _batches(draw: Draw, workshop: Workshop) -> Batch:
    product = workshop.products[draw(st.sampled_from(tuple(workshop.products)))]
    pour = draw(st.sampled_from(workshop.working_days))
    unmould = _working(workshop, pour + product.set_days) if product.set_days else pour
    pack = _working(workshop, unmould + product.cure_days + draw(st.integers(0, 2)))
    bars = draw(st.sampled_from(product.sizes))
    return Batch(pour=pour, product=product.id, bars=bars, unmould=unmould, pack=pack)


def _working(workshop: Workshop, day: int) -> int:
    """The first working day on or after `day`; beyond the plan its length, which is refused."""
    return next((d for d in workshop.working_days if d >= day), workshop.days)


@st.composite
def _purchases(draw: Draw, workshop: Workshop) -> Purchase:
    offer = workshop.offers[draw(st.sampled_from(tuple(workshop.offers)))]
    if not offer.deliveries:
        return Purchase(order=0, supplier=offer.supplier, lines=())
    line = PurchaseLine(offer=offer.id, packs=draw(st.integers(1, 4)))
    day = draw(st.sampled_from(offer.deliveries)).order
    return Purchase(order=day, supplier=offer.supplier, lines=(line,))


def _merged(purchases: list[Purchase]) -> tuple[Purchase, ...]:
    """One order for each supplier and day, one line for each offer."""
    packs: dict[tuple[int, str], dict[str, int]] = {}
    for purchase in purchases:
        lines = packs.setdefault((purchase.order, purchase.supplier), {})
        for line in purchase.lines:
            lines[line.offer] = lines.get(line.offer, 0) + line.packs
    return tuple(
        Purchase(
            order=day,
            supplier=supplier,
            lines=tuple(PurchaseLine(offer=o, packs=n) for o, n in sorted(lines.items())),
        )
        for (day, supplier), lines in sorted(packs.items())
        if lines
    )
