"""The workshop as the planner sees it: frozen records in whole numbers and day numbers.

Day 0 is the plan's first day; negative days lie in the past, days from `Workshop.days` on beyond
the plan. Amounts count in the smallest unit of their item: thousandths of a gram (milligrams) for
items kept in g, thousandths of a millilitre for ml, pieces for ea. Money counts in minor units of
the currency (cents). Shares such as losses are exact fractions between 0 and 1.
Loss weights are whole thousandths of a minor unit, so that model and replay add the same numbers.
"""

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from enum import StrEnum
from fractions import Fraction
from functools import cached_property


class Unit(StrEnum):
    """The base unit in which an item is kept."""

    GRAM = "g"
    MILLILITRE = "ml"
    PIECE = "ea"

    @property
    def parts(self) -> int:
        """How many of the smallest units make one base unit."""
        return 1 if self is Unit.PIECE else 1000


class DemandKind(StrEnum):
    """The four kinds of demand."""

    LAUNCH = "launch"
    ORDER = "order"
    RETAIL = "retail"
    RESTOCK = "restock"


@dataclass(frozen=True, kw_only=True)
class Material:
    """A bought ingredient, packaging or consumable. `density` is grams per millilitre."""

    id: str
    kind: str
    unit: Unit
    density: Fraction | None = None
    safety_stock: int = 0
    receive_days: int = 1
    caution: str = ""
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Part:
    """One line of a formula: the share of the poured mass that is this material or preparation."""

    item: str
    share: Fraction


@dataclass(frozen=True, kw_only=True)
class Preparation:
    """A part made in-house in lots: `charge` is put together, `yields` of it can be used after.

    `charge` is an amount in the item's smallest unit; shares of `formula` are by weight of the
    charge's mass. A lot made on day s is usable from s + ready_days up to and including
    s + shelf_life_days.
    """

    id: str
    unit: Unit
    charge: int
    make_minutes: int
    ready_days: int
    formula: tuple[Part, ...] = ()
    density: Fraction | None = None
    yields: Fraction = Fraction(1)
    shelf_life_days: int | None = None
    vessel: str | None = None
    vessel_minutes: int = 0
    safety_stock: int = 0
    caution: str = ""


@dataclass(frozen=True, kw_only=True)
class Packaging:
    """A packaging material used for each sound bar; `per_bar` in the material's smallest unit."""

    material: str
    per_bar: Fraction


@dataclass(frozen=True, kw_only=True)
class Product:
    """A bar as sold; fields follow the columns of the products table."""

    id: str
    line: str
    pour_mg: int
    net_mg: int
    price: int
    mould: str
    set_days: int
    vessel: str
    vessel_minutes: int
    make_minutes: int
    pack_minutes_per_bar: Fraction
    cure_days: int
    tray: str
    bars_per_tray: int
    sizes: tuple[int, ...]
    formula: tuple[Part, ...]
    packaging: tuple[Packaging, ...] = ()
    wholesale_price: int | None = None
    place: str | None = None
    make_minutes_per_bar: Fraction = Fraction(0)
    unmould_minutes: int = 0
    loss: Fraction = Fraction(0)
    reject: Fraction = Fraction(0)
    keep_bars: int = 0
    shelf_life_days: int | None = None
    max_batches_per_day: int | None = None
    importance: Fraction = Fraction(1)


@dataclass(frozen=True, kw_only=True)
class Mould:
    """A kind of mould: `count` of them with `cavities` each, filled `turns_per_day` times."""

    id: str
    count: int
    cavities: int
    turns_per_day: int = 1


@dataclass(frozen=True, kw_only=True)
class Vessel:
    """A kind of pot: how many, the mass one holds, and the minutes one can be used in a day."""

    id: str
    count: int
    capacity_mg: int
    minutes_per_day: int


@dataclass(frozen=True, kw_only=True)
class Place:
    """Where moulds set: how many moulds fit at once, and how often in a day."""

    id: str
    moulds: int
    turns_per_day: int = 1


@dataclass(frozen=True, kw_only=True)
class Tray:
    """A kind of drying tray and how many there are."""

    id: str
    count: int


@dataclass(frozen=True, kw_only=True, order=True)
class Delivery:
    """A day on which an offer can be ordered, and the days that follow from the calendars.

    Only orders that are usable within the plan are listed.
    """

    order: int
    arrive: int
    usable: int


@dataclass(frozen=True, kw_only=True)
class PriceStep:
    """From `packs` packs in one order line on, every pack of the line costs `price`."""

    packs: int
    price: int


@dataclass(frozen=True, kw_only=True)
class Offer:
    """A pack that a supplier sells; `deliveries` lists every day on which it can be ordered.

    `amount` is one pack in the material's smallest unit; `pack` is how the maker writes it
    ("25 kg"), `pack_size` and `pack_unit` its two halves. `steps` is sorted by packs and starts
    at 1 or at min_packs. min_packs and max_packs bound one order line.
    `lead_days_late` is the lead time in days (counted as the supplier counts) kept 19 times in 20.
    """

    id: str
    supplier: str
    material: str
    amount: int
    pack_size: str
    pack_unit: str
    steps: tuple[PriceStep, ...]
    deliveries: tuple[Delivery, ...]
    min_packs: int = 1
    max_packs: int | None = None
    lead_days: int = 0
    lead_days_late: int | None = None
    shelf_life_days: int | None = None

    @property
    def pack(self) -> str:
        """The pack as the maker writes it, for example "25 kg"."""
        return f"{self.pack_size} {self.pack_unit}"


@dataclass(frozen=True, kw_only=True)
class Supplier:
    """Somebody who sells; money amounts are per order, and an order is one day's lines."""

    id: str
    freight: int = 0
    free_freight_from: int | None = None
    minimum_order: int | None = None
    pay_days: int = 0
    lead_days: int = 0
    lead_counts: str = "calendar"
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Lot:
    """Stock of one lot: usable from `usable` (0 = now) up to and including `use_by`.

    Covers what lies on the shelf, what waits in quarantine, and preparations under way.
    Blocked lots are in `Workshop.blocked` and never count.
    """

    item: str
    lot: str
    amount: int
    usable: int = 0
    use_by: int | None = None
    status: str = "free"
    supplier: str = ""
    supplier_lot: str = ""

    @property
    def is_usable(self) -> bool:
        """False for a lot that passes its date before the plan begins or before its release."""
        return self.use_by is None or self.use_by >= max(self.usable, 0)


@dataclass(frozen=True, kw_only=True)
class Receipt:
    """An open order line at a supplier (textbook: scheduled receipt)."""

    reference: str
    supplier: str
    material: str
    amount: int
    expected: int
    arrive: int
    usable: int
    confirmed: bool = True


@dataclass(frozen=True, kw_only=True)
class Underway:
    """A batch poured before the first day that is not packed yet.

    `unmould` is the day it left, or will leave, its moulds; if `in_mould` it still sits in them
    and holds them, and its place, up to that day. From `unmould` on it holds trays until packed.
    """

    lot: str
    product: str
    bars: int
    pour: int
    unmould: int
    in_mould: bool


@dataclass(frozen=True, kw_only=True)
class Demand:
    """One row of demand. `day` may be negative for rows that began, or fell due, in the past.

    weight   thousandths of a minor unit that are lost
             - retail: with each bar not sold
             - restock: with each bar and day below the level
             - order and launch: with each day that the row is late
    unmet    thousandths of a minor unit lost in addition if an order or launch is not met at all
             within the plan (its late days then count up to the plan's end, day `Workshop.days`)
    launch   name that groups launch rows; never empty on a launch row
    last_day last day of a retail or restock row; None = to the end of the plan
    """

    id: str
    kind: DemandKind
    product: str
    quantity: int
    day: int
    weight: int
    unmet: int = 0
    last_day: int | None = None
    launch: str = ""
    customer: str = ""
    importance: Fraction = Fraction(1)


@dataclass(frozen=True, kw_only=True)
class Budget:
    """The most that may leave for planned purchases in one month (days first to last)."""

    month: str
    first: int
    last: int
    amount: int


@dataclass(frozen=True, kw_only=True)
class Costs:
    """What the maker holds against late, tied-up or restless plans; columns of `workshop`.

    capital     share of a value that a year of holding it costs
    safety      share of a material's value that each day below safety stock costs
    clean_down  minor units for each batch poured
    frozen_days first days of a stored plan in which a new plan changes nothing
    """

    capital: Fraction = Fraction(10, 100)
    safety: Fraction = Fraction(1, 1000)
    clean_down: int = 0
    frozen_days: int = 0


@dataclass(frozen=True, kw_only=True)
class Workshop:
    """Everything a plan depends on. Mappings keep the order of the maker's tables.

    minutes[d] is the sum of everybody's working minutes on day d, for d in 0 .. days-1; a day is
    a working day when it is above 0. `values` gives each material's, preparation's and product's
    cost price per 1,000 smallest units (materials, preparations) or per 1,000 bars (products), in
    thousandths of a minor unit, from the cheapest price of each material's offers.
    """

    name: str
    currency: str
    first_day: date
    days: int
    minutes: tuple[int, ...]
    currency_digits: int = 2
    costs: Costs = field(default_factory=Costs)
    materials: Mapping[str, Material] = field(default_factory=dict)
    preparations: Mapping[str, Preparation] = field(default_factory=dict)
    products: Mapping[str, Product] = field(default_factory=dict)
    moulds: Mapping[str, Mould] = field(default_factory=dict)
    vessels: Mapping[str, Vessel] = field(default_factory=dict)
    places: Mapping[str, Place] = field(default_factory=dict)
    trays: Mapping[str, Tray] = field(default_factory=dict)
    suppliers: Mapping[str, Supplier] = field(default_factory=dict)
    offers: Mapping[str, Offer] = field(default_factory=dict)
    lots: tuple[Lot, ...] = ()
    blocked: tuple[Lot, ...] = ()
    receipts: tuple[Receipt, ...] = ()
    underway: tuple[Underway, ...] = ()
    demand: tuple[Demand, ...] = ()
    budgets: tuple[Budget, ...] = ()
    values: Mapping[str, int] = field(default_factory=dict)

    @cached_property
    def working_days(self) -> tuple[int, ...]:
        """The day numbers on which somebody works, ascending."""
        return tuple(day for day, minutes in enumerate(self.minutes) if minutes > 0)

    def first_working_day(self, day: int) -> int | None:
        """The first working day of the plan on or after a day."""
        place = bisect_left(self.working_days, day)
        return self.working_days[place] if place < len(self.working_days) else None

    def unit_of(self, item: str) -> Unit:
        """The base unit of a material or preparation; a product counts in pieces."""
        if item in self.materials:
            return self.materials[item].unit
        if item in self.preparations:
            return self.preparations[item].unit
        return Unit.PIECE

    def changed(self, **fields: object) -> "Workshop":
        """A copy with some fields replaced."""
        return replace(self, **fields)  # type: ignore[arg-type]
