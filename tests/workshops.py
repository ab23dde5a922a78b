"""Workshops for tests: one tiny and hand-checkable, and random ones, the same for the same seed.

Both are compiled records; no table and no calendar of the planner takes part.
"""

from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from math import ceil
from random import Random
from typing import Literal

from planner.workshop import (
    DemandKind,
    Lot,
    Material,
    Mould,
    Offer,
    Part,
    PriceStep,
    Product,
    Supplier,
    Tray,
    Unit,
    Vessel,
    Workshop,
)
from tests.workshop_lines import Lines, draw_lines, draw_market
from tests.workshop_need import fillings_of_one_mould, need_of
from tests.workshop_parts import COSTS, Calendar, demand_row, values_of
from tests.workshop_supply import draw_supply

Bottleneck = Literal["none", "trays", "moulds", "hands", "drum"]


def tiny(**changes: object) -> Workshop:
    """One product of one material, everything ample, 30 days from a Monday.

    A batch is 10 bars of 100 g from 1 kg of base: poured on a working day, one night in one mould,
    5 days on one tray, packed in 10 min. There is base for one batch and no bar in stock; 1 kg more
    costs 10.00 and is usable two working days after it is ordered. One bar a day is asked for from
    day 14 on: 16 bars, 10.00 each.
    """
    calendar = Calendar(first_day=date(2026, 8, 31), days=30)
    bar = Product(
        id="bar",
        line="plain",
        pour_mg=100_000,
        net_mg=95_000,
        price=1000,
        mould="block",
        set_days=1,
        vessel="pot",
        vessel_minutes=60,
        make_minutes=60,
        unmould_minutes=10,
        pack_minutes_per_bar=Fraction(1),
        cure_days=5,
        tray="tray",
        bars_per_tray=10,
        sizes=(10,),
        formula=(Part(item="base", share=Fraction(1)),),
    )
    offer = Offer(
        id="shop/base/1 kg",
        supplier="shop",
        material="base",
        amount=1_000_000,
        pack_size="1",
        pack_unit="kg",
        steps=(PriceStep(packs=1, price=1000),),
        deliveries=calendar.deliveries(1, (0, 1, 2, 3, 4)),
        lead_days=1,
    )
    fields: dict[str, object] = {
        "name": "tiny",
        "currency": "EUR",
        "first_day": calendar.first_day,
        "days": calendar.days,
        "minutes": calendar.minutes(480),
        "materials": {"base": Material(id="base", kind="ingredient", unit=Unit.GRAM)},
        "products": {"bar": bar},
        "moulds": {"block": Mould(id="block", count=10, cavities=10)},
        "vessels": {"pot": Vessel(id="pot", count=1, capacity_mg=10_000_000, minutes_per_day=480)},
        "trays": {"tray": Tray(id="tray", count=10)},
        "suppliers": {"shop": Supplier(id="shop", lead_days=1)},
        "offers": {offer.id: offer},
        "lots": (Lot(item="base", lot="base-1", amount=1_000_000),),
        "demand": (demand_row(bar, DemandKind.RETAIL, 7, 14),),
    }
    workshop = Workshop(**{**fields, **changes})  # type: ignore[arg-type]
    return workshop if "values" in changes else replace(workshop, values=values_of(workshop))


def random_workshop(
    seed: int,
    products: int = 6,
    days: int = 120,
    bottleneck: Bottleneck = "none",
    materials: int | None = None,
) -> Workshop:
    """A workshop drawn from the seed: shampoo bars that cure for weeks, conditioners for days.

    With "none" everything is ample, so that next to nothing need be lost. A bottleneck's name
    makes the demand need 104 to 118 % of what that resource has; for "drum" that is the shared
    surfactant in all pours before the first new drum can be usable. `materials` counts
    ingredients and packaging together; by default 15 to 30 of them, more for many products.
    """
    draw = Random(f"{seed}/calendar")
    calendar = _calendar(draw, days)
    load = Fraction(draw.randrange(104, 119), 100)
    lines = draw_lines(Random(f"{seed}/lines"), products, materials, bottleneck)
    workshop = _with_demand(seed, calendar, lines, Fraction(1))
    if bottleneck in ("trays", "moulds", "hands"):
        workshop = _scarce(seed, calendar, lines, workshop, bottleneck, load)
    workshop = _ample(workshop, calendar, keep=bottleneck)
    scarce = load if bottleneck == "drum" else None
    workshop = draw_supply(Random(f"{seed}/supply"), calendar, workshop, scarce)
    return replace(workshop, values=values_of(workshop))


def _calendar(draw: Random, days: int) -> Calendar:
    """Monday to Friday, less a week off in the middle and a single day here and there."""
    first = date(2026, 8, 31) + timedelta(draw.randrange(7))
    week = draw.randrange(days // 3, days // 2)
    closed = {*range(week, week + 5), *(draw.randrange(5, days) for _ in range(days // 60))}
    return Calendar(first_day=first, days=days, closed=frozenset(closed))


def _with_demand(seed: int, calendar: Calendar, lines: Lines, factor: Fraction) -> Workshop:
    """The workshop with its demand times a factor, bars in stock and under way; no resources yet.

    The factor takes part in no draw, so that the same rows come out larger or smaller.
    """
    market = draw_market(Random(f"{seed}/market"), calendar, lines.products, factor)
    return Workshop(
        name=f"random {seed}",
        currency="EUR",
        first_day=calendar.first_day,
        days=calendar.days,
        minutes=calendar.minutes(480),
        costs=COSTS,
        materials=lines.materials,
        preparations=lines.preparations,
        products=lines.products,
        moulds=lines.moulds,
        vessels={"pot": Vessel(id="pot", count=1, capacity_mg=9_000_000, minutes_per_day=480)},
        places=lines.places,
        trays={"tray": Tray(id="tray", count=1)},
        lots=market.lots,
        underway=market.underway,
        demand=market.demand,
    )


def _scarce(
    seed: int,
    calendar: Calendar,
    lines: Lines,
    workshop: Workshop,
    bottleneck: str,
    load: Fraction,
) -> Workshop:
    """Give the bottleneck a count that suits the demand, then fit the demand to `load` of it."""
    span = _span(workshop, calendar, bottleneck)
    least, step = {"trays": (12, 3), "moulds": (8, 4), "hands": (400, 10)}[bottleneck]
    wanted = getattr(need_of(workshop), bottleneck) / (load * span)
    count = max(least, step * round(wanted / step))
    factor = Fraction(1)
    for _ in range(8):
        need = getattr(need_of(workshop), bottleneck)
        grown = factor * load * count * span / need if need else 2 * factor
        factor = grown.limit_denominator(1000)
        workshop = _with_demand(seed, calendar, lines, factor)
    if bottleneck == "trays":
        return replace(workshop, trays={"tray": Tray(id="tray", count=count)})
    if bottleneck == "moulds":
        moulds = {**workshop.moulds, "long": replace(workshop.moulds["long"], count=count)}
        return replace(workshop, moulds=moulds)
    return replace(workshop, minutes=calendar.minutes(count))


def _span(workshop: Workshop, calendar: Calendar, bottleneck: str) -> int:
    """Days (trays, hands) or fillings (moulds) that one unit of the bottleneck has at the most.

    Trays fill from day 0 on and are of use until the day before the last; so are hands. A mould
    has to be filled early enough for its bars to set, cure and leave.
    """
    days = workshop.days
    if bottleneck == "trays":
        return days - 2
    if bottleneck == "hands":
        return len(calendar.working_days(days - 1))
    setting = [product for product in workshop.products.values() if product.set_days]
    quickest = min(product.set_days + product.cure_days for product in setting)
    return fillings_of_one_mould(calendar, setting[0].set_days, days - 1 - quickest)


def _ample(workshop: Workshop, calendar: Calendar, keep: str) -> Workshop:
    """About three times what the demand needs of everything but the bottleneck."""
    need = need_of(workshop)
    days = max(1, len(calendar.working_days(workshop.days - 7)))
    trays = ceil(3 * need.trays / workshop.days) + 12
    hands = 10 * ceil(3 * need.hands / days / 10) + 240
    pots = ceil(3 * need.vessel / days / 480) + 1
    long = ceil(3 * need.moulds * _hold(workshop) / days) + 8
    short = ceil(3 * need.fillings / days) + 6
    moulds = {
        "long": replace(workshop.moulds["long"], count=long),
        "short": replace(workshop.moulds["short"], count=short),
    }
    changes: dict[str, object] = {
        "vessels": {"pot": replace(workshop.vessels["pot"], count=pots)},
        "places": {"fridge": replace(workshop.places["fridge"], moulds=short)},
    }
    if keep != "trays":
        changes["trays"] = {"tray": Tray(id="tray", count=trays)}
    if keep != "hands":
        changes["minutes"] = calendar.minutes(hands)
    changes["moulds"] = moulds if keep != "moulds" else {**moulds, "long": workshop.moulds["long"]}
    return workshop.changed(**changes)


def _hold(workshop: Workshop) -> int:
    """Nights that a mould is held by the bars that set longest."""
    return max(1, *(product.set_days for product in workshop.products.values()))
