"""Small pieces for the tests of the list scheduler."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

import numpy as np

from planner.draft.bench import Bench
from planner.draft.offers import Span
from planner.plan import Batch
from planner.workshop import Delivery, Offer, PriceStep, Product, Workshop
from tests.workshop_parts import Calendar, values_of
from tests.workshops import tiny

CALENDAR = Calendar(first_day=date(2026, 8, 31), days=30)
"""The calendar of the tiny workshop: day 0 is a Monday."""

NEVER_BOUGHT = np.zeros(30, np.bool_)


def span(first: int, last: int, amount: int) -> Span:
    return Span(first=first, last=last, amount=amount)


def serves(days: int, spans: Iterable[Span], uses: dict[int, int]) -> bool:
    """Day by day, the lot that expires first: True if nothing is ever missing."""
    left = [[lot.last, lot.first, lot.amount] for lot in spans]
    for day in range(days):
        wanted = uses.get(day, 0)
        for lot in sorted(left):
            if lot[1] <= day <= lot[0]:
                used = min(wanted, lot[2])
                lot[2] -= used
                wanted -= used
        if wanted:
            return False
    return True


def rooms(bench: Bench) -> list[list[int]]:
    """The room of every item (rows) on every day (columns)."""
    return [bench.pantry.room(row).tolist() for row in range(len(bench.pantry.stores))]


def free_amounts(bench: Bench) -> dict[str, list[int]]:
    """What is free of each resource on each day."""
    return {resource: list(free.amounts) for resource, free in bench.free.items()}


def with_bar(**fields: object) -> Workshop:
    """The tiny workshop with a changed product."""
    bar: Product = replace(tiny().products["bar"], **fields)  # type: ignore[arg-type]
    return tiny(products={"bar": bar})


def offer(
    packs: str,
    amount: int,
    price: int | Sequence[tuple[int, int]],
    deliveries: tuple[Delivery, ...] | None = None,
    **fields: object,
) -> Offer:
    """An offer of base from the shop, by default usable two working days after the order."""
    steps = [(1, price)] if isinstance(price, int) else price
    base = Offer(
        id=packs,
        supplier="shop",
        material="base",
        amount=amount,
        pack_size=packs,
        pack_unit="g",
        steps=tuple(PriceStep(packs=count, price=each) for count, each in steps),
        deliveries=CALENDAR.deliveries(1, (0, 1, 2, 3, 4)) if deliveries is None else deliveries,
        lead_days=1,
    )
    return replace(base, **fields)  # type: ignore[arg-type]


def selling(*offers: Offer, **changes: object) -> Workshop:
    """The tiny workshop without base in stock, and with these offers of it."""
    workshop = tiny(**{"lots": (), **changes, "offers": {one.id: one for one in offers}})
    return replace(workshop, values=values_of(workshop))


def poured(*days: int) -> list[Batch]:
    """Batches of ten bars, 1 kg of base each, poured on the given days."""
    batches = []
    for day in days:
        unmould = CALENDAR.first_working(day + 1)
        pack = CALENDAR.first_working(unmould + 5)
        batches.append(Batch(pour=day, product="bar", bars=10, unmould=unmould, pack=pack))
    return batches
