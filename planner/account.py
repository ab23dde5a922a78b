"""What a plan comes to: the replay's account of it, which every report reads.

Amounts are in the item's smallest unit, money in minor units, service and money goals in
thousandths of a minor unit, days are day numbers; curves have one value for each day of the plan.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from planner.workshop import DemandKind


class Rule(StrEnum):
    """The day rules a plan can break."""

    ORDER_DAY = "order day"
    PACKS = "packs in an order line"
    MINIMUM_ORDER = "minimum order"
    BUDGET = "budget"
    WORKING_DAY = "working day"
    BATCH_SIZE = "batch size"
    BATCHES_PER_DAY = "batches in a day"
    VESSEL_CAPACITY = "vessel capacity"
    VESSEL_MINUTES = "vessel minutes"
    MOULDS = "moulds"
    PLACES = "places"
    TRAYS = "trays"
    HANDS = "hands"
    UNMOULD_DAY = "unmould day"
    CURE = "cure"
    STOCK = "stock below zero"
    PROMISE = "promise"
    UNDERWAY = "batch under way"
    UNKNOWN = "unknown name"


@dataclass(frozen=True, kw_only=True, order=True)
class Broken:
    """A rule that the plan breaks on a day, and how, in words with numbers and units."""

    day: int
    rule: Rule
    subject: str
    message: str


@dataclass(frozen=True, kw_only=True, order=True)
class BatchFacts:
    """A batch with what follows from it. `lot` is "product pour-date"-like and unique.

    `sound` bars are those not rejected; `good` bars can be sold (sound less keep_bars).
    `parts` is what was taken on the pour day: item -> amount.
    """

    pour: int
    product: str
    bars: int
    unmould: int
    pack: int | None
    lot: str
    in_progress: bool
    mass: int
    sound: int
    good: int
    moulds: int
    trays: int
    parts: Mapping[str, int] = field(compare=False)


@dataclass(frozen=True, kw_only=True, order=True)
class PreparationFacts:
    """A lot of a preparation: the amount that can be used, from `ready` to `use_by`."""

    make: int
    preparation: str
    lot: str
    amount: int
    ready: int
    use_by: int | None
    parts: Mapping[str, int] = field(compare=False)


@dataclass(frozen=True, kw_only=True, order=True)
class LineFacts:
    """One line of a purchase; `lot` names what arrives, for pegging."""

    offer: str
    material: str
    packs: int
    amount: int
    cost: int
    arrive: int
    usable: int
    use_by: int | None
    lot: str


@dataclass(frozen=True, kw_only=True, order=True)
class PurchaseFacts:
    """A purchase: `cost` is goods plus freight; `pay` the day on which it leaves."""

    order: int
    supplier: str
    lines: tuple[LineFacts, ...]
    freight: int
    cost: int
    pay: int


@dataclass(frozen=True, kw_only=True)
class Service:
    """How one row of demand fared.

    met        order and launch: the day it was met, None if not within the plan
    served     retail: bars sold within the plan; order, launch: quantity if met, else 0
    late_days  order and launch: days after its day (to the plan's end if not met)
    lost       retail: bars not sold; restock: bar-days below the level; order, launch: bars if
               not met
    loss       thousandths of a minor unit, as the service goal counts it
    lost_by_day retail: bars lost on each day; restock: bars below the level on each day
    """

    demand: str
    kind: DemandKind
    product: str
    due: int
    quantity: int
    met: int | None
    served: int
    late_days: int
    lost: int
    loss: int
    lost_by_day: tuple[int, ...] = ()


@dataclass(frozen=True, kw_only=True, order=True)
class Waste:
    """Part of a lot that passed its use-by date unused; it counts from `day` on as gone.

    `day` is the first day on which it can no longer be used (use_by + 1).
    """

    day: int
    item: str
    lot: str
    amount: int
    value: int


@dataclass(frozen=True, kw_only=True, order=True)
class Peg:
    """An amount of a lot taken on a day: which supply serves which use (textbook: pegging).

    `lot` is a stock lot, receipt reference, purchase-line lot, preparation lot or batch lot;
    `use` the lot of the batch or preparation that took it, or the demand row's id for bars.
    """

    day: int
    item: str
    lot: str
    use: str
    amount: int


@dataclass(frozen=True, kw_only=True)
class Load:
    """How much of a resource each day takes and has.

    kind is "hands", "vessel", "mould", "place" or "tray"; unit "min", "moulds", "fillings" or
    "trays". For moulds and places with more than one turn a day both count in fillings.
    """

    kind: str
    name: str
    unit: str
    used: tuple[int, ...]
    capacity: tuple[int, ...]


@dataclass(frozen=True, kw_only=True)
class Flow:
    """One item's stock by day: what came, what was used, what was on hand at the end of the day.

    Arrivals count on the day from which they are usable. `wasted` left by its use-by date.
    """

    arrived: tuple[int, ...]
    used: tuple[int, ...]
    wasted: tuple[int, ...]
    on_hand: tuple[int, ...]


@dataclass(frozen=True, kw_only=True)
class Money:
    """Thousandths of a minor unit.

    `service` is the service goal, `money` the money goal:
    money = purchases + freight + opening value - left value + capital + safety + clean_down;
    of a material no more counts than is worth having, used or left.
    """

    service: int
    money: int
    retail_lost: int
    orders_late: int
    launches_late: int
    restock_below: int
    purchases: int
    freight: int
    opening_value: int
    left_value: int
    waste: int
    capital: int
    safety: int
    clean_down: int


@dataclass(frozen=True, kw_only=True)
class Account:
    """The full account of a plan. It is certified when no rule is broken."""

    broken: tuple[Broken, ...]
    batches: tuple[BatchFacts, ...]
    preparations: tuple[PreparationFacts, ...]
    purchases: tuple[PurchaseFacts, ...]
    service: tuple[Service, ...]
    waste: tuple[Waste, ...]
    pegs: tuple[Peg, ...]
    flows: Mapping[str, Flow]
    loads: tuple[Load, ...]
    money: Money

    @property
    def certified(self) -> bool:
        """True if the replay found no broken rule."""
        return not self.broken
