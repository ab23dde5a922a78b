"""What the demand of a workshop takes of every product, preparation and material, by day.

Pro rata: a bar takes its share of a batch of the largest size, with the batch's loss, rejects and
kept bars; a preparation its share of a lot. So these are the least amounts; whole batches, lots
and packs take more. Lead times are whole calendar days: a bar leaves the day after it is packed,
and is poured set_days + cure_days before that. Packaging is needed on the pack day.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction

from planner.recipes import lot_recipe_of, recipe_of
from planner.requirements import Item, Record, Use, explode
from planner.workshop import Demand, DemandKind, Preparation, Product, Underway, Workshop

ItemOnDay = tuple[str, int, int]
"""An item, a day and an amount of the item, in its smallest unit, products in bars."""


def requirements_of(workshop: Workshop) -> dict[str, Record]:
    """The planning record of every product, preparation and material, day by day.

    Amounts are in the item's smallest unit, products in bars. Bars and stock on hand, open orders
    and batches under way are netted off on every level; blocked lots and lots past their use-by
    date are not. So of the levels below the product only what the stock of the levels above does
    not cover is needed, and the packaging of batches under way. Safety stock is not asked for here.
    """
    scheduled = _by_day(workshop, _coming(workshop))
    items = {
        name: Item(scheduled=scheduled.get(name, ()), lead=lead, uses=uses)
        for name, (lead, uses) in _recipes(workshop).items()
    }
    demand = {name: bars_needed(workshop, name) for name in workshop.products}
    return explode(items, {**demand, **_by_day(workshop, _to_be_packed(workshop))})


def worth_having(workshop: Workshop) -> dict[str, int]:
    """Material -> how much of it, in its smallest unit, counts for something in the money goal.

    Twice what all demand takes, less what of this is there in bars and preparations, what batches
    under way still need, and the safety stock: nobody knows of uses for more. The explosion of a
    single period that covers the plan.
    """
    there: Counter[str] = Counter()
    for item, _, amount in _coming(workshop):
        if item not in workshop.materials:
            there[item] += amount
    items = {}
    for name, (_, uses) in _recipes(workshop).items():
        preparation = workshop.preparations.get(name)
        safety = preparation.safety_stock if preparation else 0
        items[name] = Item(on_hand=there[name], safety_stock=safety, uses=_at_once(uses))
    records = explode(items, {name: [2 * bars_asked(workshop, name)] for name in workshop.products})
    enough = Counter({name: sum(records[name].gross) for name in workshop.materials})
    for material, _, amount in _to_be_packed(workshop):
        enough[material] += amount
    materials = workshop.materials.items()
    return {name: enough[name] + record.safety_stock for name, record in materials}


def bars_asked(workshop: Workshop, product: str) -> int:
    """Bars that the demand rows of a product ask for within the plan; a level counts once."""
    return sum(
        sum(retail_on(row, day) for day in range(workshop.days))
        if row.kind is DemandKind.RETAIL
        else row.quantity
        for row in workshop.demand
        if row.product == product
    )


def bars_needed(workshop: Workshop, product: str) -> tuple[int, ...]:
    """Bars of a product that demand newly asks for on each day of the plan.

    need(t) = orders due up to t + max(launch stock, retail asked up to t) + restock level of t,
    and a day asks for what its need exceeds all earlier ones by. A launch takes no stock but needs
    it; the retail sale that begins with it then draws on that stock.
    """
    rows = [row for row in workshop.demand if row.product == product]
    launches = _launch_days(workshop)
    own = [launches[row.launch] for row in rows if row.kind is DemandKind.LAUNCH]
    begin = min(own, default=0)
    days, highest, retail = [], 0, 0
    for day in range(workshop.days):
        orders = sum(
            row.quantity for row in rows if row.kind is DemandKind.ORDER and row.day <= day
        )
        if day >= begin:
            retail += sum(retail_on(row, day) for row in rows)
        stock = max(
            (r.quantity for r in rows if r.kind is DemandKind.LAUNCH and launches[r.launch] <= day),
            default=0,
        )
        level = max((row.quantity for row in rows if _keeps_level(row, day)), default=0)
        need = orders + max(stock, retail) + level
        days.append(max(0, need - highest))
        highest = max(highest, need)
    return tuple(days)


def _launch_days(workshop: Workshop) -> dict[str, int]:
    """Name of a launch -> the latest day of its rows."""
    days: dict[str, int] = {}
    for row in workshop.demand:
        if row.kind is DemandKind.LAUNCH:
            days[row.launch] = max(row.day, days.get(row.launch, row.day))
    return days


def retail_on(row: Demand, day: int) -> int:
    """Bars a retail row asks for on a day: floor(q(j+1)/7) - floor(qj/7) on day j of its week."""
    if row.kind is not DemandKind.RETAIL or not _runs(row, day):
        return 0
    weekday = (day - row.day) % 7
    return row.quantity * (weekday + 1) // 7 - row.quantity * weekday // 7


def _keeps_level(row: Demand, day: int) -> bool:
    return row.kind is DemandKind.RESTOCK and _runs(row, day)


def _runs(row: Demand, day: int) -> bool:
    return row.day <= day and (row.last_day is None or day <= row.last_day)


def _recipes(workshop: Workshop) -> dict[str, tuple[int, tuple[Use, ...]]]:
    """Item -> its lead time in days and its parts for one bar or one smallest unit."""
    found: dict[str, tuple[int, tuple[Use, ...]]] = {}
    for product in workshop.products.values():
        found[product.id] = _product_recipe(workshop, product)
    for preparation in workshop.preparations.values():
        found[preparation.id] = _preparation_recipe(workshop, preparation)
    for material in workshop.materials:
        found[material] = (0, ())
    return found


def _product_recipe(workshop: Workshop, product: Product) -> tuple[int, tuple[Use, ...]]:
    """A good bar's share of the largest batch; packaging comes in on the pack day."""
    batch = recipe_of(workshop, product.id, max(product.sizes))
    cure = product.set_days + product.cure_days
    good = max(1, batch.good)
    parts = _uses(batch.parts, good, 0) + _uses(batch.packaging, good, cure)
    return cure + 1, parts


def _preparation_recipe(
    workshop: Workshop, preparation: Preparation
) -> tuple[int, tuple[Use, ...]]:
    """A usable unit's share of one lot."""
    lot = lot_recipe_of(workshop, preparation)
    return preparation.ready_days, _uses(lot.parts, max(1, lot.amount), 0)


def _uses(amounts: Mapping[str, int], outcome: int, offset: int) -> tuple[Use, ...]:
    return tuple(
        Use(item=item, per=Fraction(amount, outcome), offset=offset)
        for item, amount in amounts.items()
    )


def _at_once(uses: tuple[Use, ...]) -> tuple[Use, ...]:
    return tuple(Use(item=use.item, per=use.per) for use in uses)


def _by_day(workshop: Workshop, amounts: Iterable[ItemOnDay]) -> dict[str, tuple[int, ...]]:
    """Item -> its amounts of each day of the plan; those of days gone by count for the first."""
    days: dict[str, list[int]] = {}
    for item, day, amount in amounts:
        if day < workshop.days:
            days.setdefault(item, [0] * workshop.days)[max(0, day)] += amount
    return {item: tuple(row) for item, row in days.items()}


def _coming(workshop: Workshop) -> Iterator[ItemOnDay]:
    """Everything that is there, on order or under way, from the day on which it is usable."""
    for lot in workshop.lots:
        if lot.is_usable:
            yield lot.item, lot.usable, lot.amount
    for receipt in workshop.receipts:
        yield receipt.material, receipt.usable, receipt.amount
    for batch in workshop.underway:
        good = recipe_of(workshop, batch.product, batch.bars).good
        yield batch.product, _pack_day(workshop, batch) + 1, good


def _to_be_packed(workshop: Workshop) -> Iterator[ItemOnDay]:
    """The packaging that batches under way still need."""
    for batch in workshop.underway:
        for material, amount in recipe_of(workshop, batch.product, batch.bars).packaging.items():
            yield material, _pack_day(workshop, batch), amount


def _pack_day(workshop: Workshop, batch: Underway) -> int:
    """The first day on which a batch under way can be packed, by its cure."""
    return max(0, batch.unmould + workshop.products[batch.product].cure_days)
