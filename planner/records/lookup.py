"""The rows of all tables by name, with what they share: the plan's days, money and amounts."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from typing import TypeVar

from planner.days import day_number
from planner.records.calendar import Calendar, calendar_of
from planner.records.money import minor_digits, minor_units
from planner.tables.rows import (
    FormulaRow,
    MaterialRow,
    MouldRow,
    PackagingRow,
    PlaceRow,
    PreparationRow,
    ProductRow,
    Row,
    SupplierRow,
    Tables,
    TrayRow,
    VesselRow,
    WorkshopRow,
)
from planner.units import to_smallest
from planner.workshop import Unit

R = TypeVar("R", bound=Row)


@dataclass(frozen=True, kw_only=True, eq=False)
class Records:
    """The tables of one workshop on the plan's first day, with look-ups.

    Of rows with the same name the first counts. A table `workshop` without a row is stood in for
    by defaults, so that everything else can still be checked. Equal only to itself, so that what
    is worked out from it can be cached by it.
    """

    tables: Tables
    today: date

    @cached_property
    def workshop(self) -> WorkshopRow:
        """The one row of the table `workshop`."""
        rows = self.tables.workshop
        return rows[0] if rows else WorkshopRow(name="", currency="")

    @property
    def days(self) -> int:
        """How many days the plan covers."""
        return self.workshop.horizon_days

    @cached_property
    def calendar(self) -> Calendar:
        """Working days and suppliers' days."""
        return calendar_of(self.tables, self.workshop, self.today)

    @cached_property
    def materials(self) -> Mapping[str, MaterialRow]:
        """The materials by name."""
        return _by_name(self.tables.materials, lambda row: row.material)

    @cached_property
    def preparations(self) -> Mapping[str, PreparationRow]:
        """The preparations by name."""
        return _by_name(self.tables.preparations, lambda row: row.preparation)

    @cached_property
    def products(self) -> Mapping[str, ProductRow]:
        """The products by name."""
        return _by_name(self.tables.products, lambda row: row.product)

    @cached_property
    def moulds(self) -> Mapping[str, MouldRow]:
        """The kinds of mould by name."""
        return _by_name(self.tables.moulds, lambda row: row.mould)

    @cached_property
    def vessels(self) -> Mapping[str, VesselRow]:
        """The kinds of vessel by name."""
        return _by_name(self.tables.vessels, lambda row: row.vessel)

    @cached_property
    def places(self) -> Mapping[str, PlaceRow]:
        """The places by name."""
        return _by_name(self.tables.places, lambda row: row.place)

    @cached_property
    def trays(self) -> Mapping[str, TrayRow]:
        """The kinds of tray by name."""
        return _by_name(self.tables.trays, lambda row: row.tray)

    @cached_property
    def suppliers(self) -> Mapping[str, SupplierRow]:
        """The suppliers by name."""
        return _by_name(self.tables.suppliers, lambda row: row.supplier)

    @cached_property
    def formulas(self) -> Mapping[str, tuple[FormulaRow, ...]]:
        """Item -> the rows of its formula."""
        return _grouped(self.tables.formulas, lambda row: row.item)

    @cached_property
    def packaging(self) -> Mapping[str, tuple[PackagingRow, ...]]:
        """Product -> the rows of its packaging."""
        return _grouped(self.tables.packaging, lambda row: row.product)

    @cached_property
    def sizes(self) -> Mapping[str, tuple[int, ...]]:
        """Product -> its batch sizes in bars, ascending."""
        grouped = _grouped(self.tables.batch_sizes, lambda row: row.product)
        return {name: tuple(sorted(row.bars for row in rows)) for name, rows in grouped.items()}

    @cached_property
    def uses(self) -> Mapping[str, tuple[str, ...]]:
        """Material or preparation -> the products and preparations that take it."""
        users: dict[str, list[str]] = {}
        for part in self.tables.formulas:
            users.setdefault(part.part, []).append(part.item)
        for pack in self.tables.packaging:
            users.setdefault(pack.material, []).append(pack.product)
        return {item: tuple(dict.fromkeys(names)) for item, names in users.items()}

    def day(self, day: date) -> int:
        """The day number of a date."""
        return day_number(self.today, day)

    def money(self, amount: Decimal) -> int:
        """An amount of money in minor units, rounded half up."""
        return minor_units(amount, minor_digits(self.workshop.currency))

    def unit_of(self, item: str) -> Unit | None:
        """The base unit of a material, preparation or product (pieces); None if unknown."""
        row = self.materials.get(item) or self.preparations.get(item)
        if row is not None:
            return row.unit
        return Unit.PIECE if item in self.products else None

    def density_of(self, item: str) -> Fraction | None:
        """The density of a material or preparation in g/ml, if given."""
        row = self.materials.get(item) or self.preparations.get(item)
        if row is None or row.density_g_per_ml is None:
            return None
        return Fraction(row.density_g_per_ml)

    def amount(self, item: str, quantity: Decimal, unit: str | None = None) -> int:
        """A quantity of a known item in its smallest unit; without `unit` it is in its base unit.

        Raises UnitError if the unit does not fit the item, KeyError if the item is not known.
        """
        base = self.unit_of(item)
        if base is None:
            raise KeyError(item)
        return to_smallest(quantity, unit or base.value, base, self.density_of(item))


def _by_name(rows: Iterable[R], name: Callable[[R], str]) -> Mapping[str, R]:
    found: dict[str, R] = {}
    for row in rows:
        found.setdefault(name(row), row)
    return found


def _grouped(rows: Iterable[R], name: Callable[[R], str]) -> Mapping[str, tuple[R, ...]]:
    found: dict[str, list[R]] = {}
    for row in rows:
        found.setdefault(name(row), []).append(row)
    return {key: tuple(group) for key, group in found.items()}
