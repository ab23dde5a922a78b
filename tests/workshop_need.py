"""How much of each resource the whole demand of a test workshop needs, at the least.

Lower bounds: batches count in fractions of the largest size, cures last not a day longer than
they must. A resource that has less than this cannot serve the demand.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from planner.workshop import Demand, DemandKind, Preparation, Product, Unit, Workshop
from tests.workshop_parts import Calendar


@dataclass(frozen=True, kw_only=True)
class Need:
    """What has to be poured, and what that takes, over the whole plan."""

    trays: Fraction  # tray-days
    moulds: Fraction  # fillings of moulds that set over night
    hands: Fraction  # minutes
    vessel: Fraction  # minutes
    fillings: Fraction  # of moulds unmoulded on the same day


def asked(row: Demand, until: int) -> int:
    """Bars that retail asks for, or an order takes, on days before `until`."""
    if row.kind is DemandKind.ORDER:
        return row.quantity if row.day < until else 0
    if row.kind is not DemandKind.RETAIL:
        return 0
    end = until if row.last_day is None else min(row.last_day + 1, until)
    return max(0, _since(row, end) - _since(row, 0))


def _since(row: Demand, day: int) -> int:
    """Bars asked for from the row's first day up to but not including `day`."""
    weeks, rest = divmod(max(0, day - row.day), 7)
    return row.quantity * weeks + row.quantity * rest // 7


def good_bars(product: Product, bars: int) -> int:
    """Bars of a batch that can be sold."""
    return max(0, floor(bars * (1 - product.reject)) - product.keep_bars)


def bars_to_pour(workshop: Workshop, product: Product, until: int) -> int:
    """Bars that the demand before `until` asks for beyond what is there or under way."""
    rows = [row for row in workshop.demand if row.product == product.id]
    wanted = sum(asked(row, until) for row in rows)
    launch = [r.quantity for r in rows if r.kind is DemandKind.LAUNCH and r.day < until]
    there = sum(lot.amount for lot in workshop.lots if lot.item == product.id)
    there += sum(good_bars(product, b.bars) for b in workshop.underway if b.product == product.id)
    return max(0, max([wanted, *launch]) - there)


def batches_to_pour(workshop: Workshop, product: Product, until: int) -> Fraction:
    """Batches of the largest size, as a fraction, for the bars still to pour."""
    good = good_bars(product, max(product.sizes))
    return Fraction(bars_to_pour(workshop, product, until), good)


def need_of(workshop: Workshop) -> Need:
    """The least that serving all demand of the plan takes."""
    trays = moulds = hands = vessel = fillings = Fraction(0)
    for product in workshop.products.values():
        batches = batches_to_pour(workshop, product, workshop.days)
        bars = max(product.sizes)
        cavities = ceil(Fraction(bars, workshop.moulds[product.mould].cavities))
        trays += batches * ceil(Fraction(bars, product.bars_per_tray)) * product.cure_days
        hands += batches * (product.make_minutes + product.unmould_minutes)
        hands += batches * bars * (product.make_minutes_per_bar + product.pack_minutes_per_bar)
        vessel += batches * product.vessel_minutes
        if product.set_days:
            moulds += batches * cavities
        else:
            fillings += batches * cavities
    return Need(trays=trays, moulds=moulds, hands=hands, vessel=vessel, fillings=fillings)


def need_of_material(workshop: Workshop, material: str, usable: int) -> Fraction:
    """Amount of a material in the bars that must be poured before the day it next is usable.

    Bars poured on day `usable` are packed at least set and cure days later and leave a day after.
    """
    total = Fraction(0)
    for product in workshop.products.values():
        share = sum((p.share for p in product.formula if p.item == material), Fraction(0))
        until = min(workshop.days, usable + product.set_days + product.cure_days + 1)
        mass = max(product.sizes) * product.pour_mg / (1 - product.loss)
        total += batches_to_pour(workshop, product, until) * mass * share
    return total


def fillings_of_one_mould(calendar: Calendar, set_days: int, until: int) -> int:
    """How often one mould can be filled on days before `until` if it never waits."""
    count, day = 0, calendar.first_working(0)
    while day < until:
        count, day = count + 1, calendar.first_working(day + set_days)
    return count


def amounts_needed(workshop: Workshop) -> dict[str, int]:
    """Material or preparation -> amount in all bars still to pour, pro rata, in smallest units."""
    total: dict[str, Fraction] = {}

    def add(item: str, mass: Fraction) -> None:
        record = workshop.materials.get(item) or workshop.preparations[item]
        amount = mass / (record.density or 1) if record.unit is Unit.MILLILITRE else mass
        total[item] = total.get(item, Fraction(0)) + amount
        if isinstance(record, Preparation):
            for part in record.formula:
                add(part.item, part.share * mass / record.yields)

    for product in workshop.products.values():
        batches = batches_to_pour(workshop, product, workshop.days)
        bars = max(product.sizes) * batches
        for part in product.formula:
            add(part.item, part.share * bars * product.pour_mg / (1 - product.loss))
        for use in product.packaging:
            item, sound = use.material, bars * (1 - product.reject)
            total[item] = total.get(item, Fraction(0)) + sound * use.per_bar
    return {item: ceil(amount) for item, amount in total.items()}
