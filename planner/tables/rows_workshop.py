"""The rows of the tables that say what the workshop has: people, time and equipment."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated

from annotated_types import Ge, Le

from planner.tables.columns import About, Row
from planner.tables.values import (
    Count,
    Country,
    Currency,
    Day,
    Days,
    Minutes,
    Money,
    Name,
    Percent,
    PositiveCount,
    PositiveQuantity,
    Subdivision,
    Text,
    Weekday,
    Weight,
)


@dataclass(frozen=True, kw_only=True)
class WorkshopRow(Row):
    """The workshop itself and what the maker holds against late or restless plans; one row."""

    name: Annotated[Name, About("what the workshop is called", key=True)]
    currency: Annotated[Currency, About("currency of all money, ISO 4217")]
    country: Annotated[
        Country | None, About("country whose public holidays close the workshop, ISO 3166-1")
    ] = None
    subdivision: Annotated[
        Subdivision | None, About("part of the country for its holidays, ISO 3166-2 after the dash")
    ] = None
    horizon_days: Annotated[int, Ge(1), Le(730), About("calendar days that a plan covers")] = 120
    receive_days: Annotated[
        Days, About("working days from arrival until a material is released for use")
    ] = 1
    capital_percent: Annotated[
        Percent, About("cost of tied-up money, in percent of its value per year")
    ] = Decimal(10)
    late_percent: Annotated[
        Percent, About("cost of a late order, in percent of its value per day late")
    ] = Decimal(2)
    launch_percent: Annotated[
        Weight, About("cost of a late launch, in percent of its stock's value per day late")
    ] = Decimal(100)
    restock_percent: Annotated[
        Percent, About("cost of a bar missing from a restock level, in percent of price per day")
    ] = Decimal(1)
    safety_percent: Annotated[
        Percent, About("cost of being below safety stock, in percent of the value per day")
    ] = Decimal("0.1")
    clean_down: Annotated[Money, About("money that each batch costs for cleaning down")] = Decimal(
        0
    )
    frozen_days: Annotated[
        Days, About("first calendar days of a stored plan that a new plan leaves alone")
    ] = 0


@dataclass(frozen=True, kw_only=True)
class HandsRow(Row):
    """The minutes one person works on one weekday; no row means a day off."""

    person: Annotated[Name, About("who works", key=True)]
    weekday: Annotated[Weekday, About("day of the week", key=True)]
    minutes: Annotated[Minutes, About("working minutes on that weekday")]


@dataclass(frozen=True, kw_only=True)
class ClosureRow(Row):
    """Days on which the workshop, a person or a supplier does not work."""

    who: Annotated[Name, About("`workshop`, a person or a supplier", key=True)]
    first_day: Annotated[Day, About("first day of the closure", key=True)]
    last_day: Annotated[Day, About("last day of the closure, itself included")]
    reason: Annotated[Text, About("why, for the reader")] = ""


@dataclass(frozen=True, kw_only=True)
class ExtraDayRow(Row):
    """The minutes of a person on one date, whatever weekday, holiday or closure say."""

    day: Annotated[Day, About("the date", key=True)]
    person: Annotated[Name, About("who works", key=True)]
    minutes: Annotated[Minutes, About("working minutes on that date; 0 for a day off")]


@dataclass(frozen=True, kw_only=True)
class MouldRow(Row):
    """A kind of mould."""

    mould: Annotated[Name, About("short name of the kind of mould", key=True)]
    count: Annotated[Count, About("moulds of this kind")]
    cavities: Annotated[PositiveCount, About("bars that one of them holds")]
    turns_per_day: Annotated[
        PositiveCount, About("fillings of one mould in a day, where bars are unmoulded that day")
    ] = 1


@dataclass(frozen=True, kw_only=True)
class VesselRow(Row):
    """A kind of pot or other vessel."""

    vessel: Annotated[Name, About("short name of the kind of vessel", key=True)]
    count: Annotated[Count, About("vessels of this kind")]
    capacity_g: Annotated[PositiveQuantity, About("most mass that one of them takes, in g")]
    minutes_per_day: Annotated[Minutes, About("minutes that one can be used in a day")]


@dataclass(frozen=True, kw_only=True)
class PlaceRow(Row):
    """A place where moulds set: a fridge shelf, a counter."""

    place: Annotated[Name, About("short name of the place", key=True)]
    moulds: Annotated[Count, About("moulds that fit at once")]
    turns_per_day: Annotated[PositiveCount, About("times it can be filled in a day")] = 1


@dataclass(frozen=True, kw_only=True)
class TrayRow(Row):
    """A kind of drying tray."""

    tray: Annotated[Name, About("short name of the kind of tray", key=True)]
    count: Annotated[Count, About("trays of this kind")]
