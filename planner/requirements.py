"""Requirements explosion: from the demand to what every level needs, period by period.

The textbook record in whole numbers, with these
conventions: receipts come before issues within a period; the projected balance stands at the end
of the period and includes planned receipts; a receipt is planned in the first period whose balance
would fall below the safety stock; its release lies the lead time earlier; releases before the
first period are counted together as past due. Period 0 is the first period.

It knows no capacities, working days, whole batches or use-by dates: it says what the demand takes
at the least, and by when. The plan says what can be done.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from graphlib import TopologicalSorter
from itertools import accumulate, islice
from math import ceil

Sizing = Callable[[Iterator[int]], int]
"""The quantity of a receipt planned for a period with a net requirement. It reads what would be
missing at the end of that period, and of each later one, if nothing more were planned."""


def lot_for_lot(missing: Iterator[int]) -> int:
    """Exactly the net requirement of the period."""
    return next(missing)


def fixed_quantity(quantity: int) -> Sizing:
    """The fixed order quantity, or the least multiple of it that meets the net requirement."""

    def size(missing: Iterator[int]) -> int:
        return quantity * -(-next(missing) // quantity)

    return size


def periods_of_supply(periods: int) -> Sizing:
    """What this and the next `periods` - 1 periods need together.

    The count starts anew with each period that has a net requirement, so receipts keep no fixed
    rhythm. (The other rule in use allows receipts in periods 1, P + 1, 2P + 1 ... only.)
    """

    def size(missing: Iterator[int]) -> int:
        return max(islice(missing, periods))

    return size


@dataclass(frozen=True, kw_only=True)
class Record:
    """One item's planning record; every row has one whole number for each period.

    balance(t) = balance(t-1) + scheduled(t) + receipts(t) - gross(t).
    `past_due` is the quantity that should have been released before period 0.
    """

    gross: tuple[int, ...]
    scheduled: tuple[int, ...]
    balance: tuple[int, ...]
    net: tuple[int, ...]
    receipts: tuple[int, ...]
    releases: tuple[int, ...]
    past_due: int


@dataclass(frozen=True, kw_only=True)
class Use:
    """A part of an item: `per` units for each unit, needed `offset` periods after the release."""

    item: str
    per: Fraction
    offset: int = 0


@dataclass(frozen=True, kw_only=True)
class Item:
    """What the record of one item starts from; `lead` is in periods.

    `scheduled` may be shorter than the horizon: nothing comes after its end.
    """

    on_hand: int = 0
    scheduled: tuple[int, ...] = ()
    lead: int = 0
    safety_stock: int = 0
    sizing: Sizing = lot_for_lot
    uses: tuple[Use, ...] = ()


def record_of(item: Item, gross: Sequence[int]) -> Record:
    """Fill the record of one item for its gross requirements."""
    periods = len(gross)
    scheduled = (*item.scheduled, *[0] * periods)[:periods]
    balance, net, receipts = [], [], [0] * periods
    stock = item.on_hand
    for period in range(periods):
        stock += scheduled[period] - gross[period]
        net.append(max(0, item.safety_stock - stock))
        if net[period]:
            later = zip(gross[period + 1 :], scheduled[period + 1 :], strict=True)
            changes = (need - come for need, come in later)
            receipts[period] = item.sizing(accumulate(changes, initial=net[period]))
            stock += receipts[period]
        balance.append(stock)
    released = [*receipts[item.lead :], *[0] * periods][:periods]
    return Record(
        gross=tuple(gross),
        scheduled=scheduled,
        balance=tuple(balance),
        net=tuple(net),
        receipts=tuple(receipts),
        releases=tuple(released),
        past_due=sum(receipts[: item.lead]),
    )


def explode(items: Mapping[str, Item], demand: Mapping[str, Sequence[int]]) -> dict[str, Record]:
    """Records of all items, every item after all that use it.

    `demand` holds independent demand by period, all rows of one length; items that nobody asks
    for, and that no item uses, get records of zeros. A part's gross requirement is the sum over
    its users of release x per, rounded up, `offset` periods later; what should have been released
    before period 0 is needed in period 0 (or in the offset period, if that is not past).
    Raises graphlib.CycleError if an item is, through others, a part of itself.
    """
    periods = max((len(row) for row in demand.values()), default=0)
    gross = {item: list(demand.get(item, [0] * periods)) for item in items}
    users = {item: [use.item for use in items[item].uses] for item in items}
    records: dict[str, Record] = {}
    for name in reversed(list(TopologicalSorter(users).static_order())):
        item = items[name]
        records[name] = record_of(item, gross[name])
        for period, receipt in enumerate(records[name].receipts):
            for use in item.uses if receipt else ():
                needed = max(0, period - item.lead + use.offset)
                if needed < periods:
                    gross[use.item][needed] += ceil(receipt * use.per)
    return {name: records[name] for name in items}
