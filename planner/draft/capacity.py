"""What is free of each resource on each day, and what a task takes of it.

Hands and vessels count in minutes, trays in trays, the batches of a product in batches. Moulds
and places count in fillings: one held over night takes as many as its turns in a day, one filled
and emptied on the same day takes one.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from planner.draft.supply import Flags, Ints
from planner.workshop import Workshop

HANDS = "hands"


class Take(NamedTuple):
    """An amount of a resource taken on the days from `first` up to, without, `stop`."""

    resource: str
    first: int
    stop: int
    amount: int


@dataclass(frozen=True, kw_only=True)
class Workdays:
    """On which days somebody works. `following[d]` is the first such day from d on.

    `following` has one entry more than the plan has days; the plan's length means: none.
    """

    days: int
    works: Flags
    following: Ints

    def after(self, start: Ints) -> Ints:
        """The first working day from each start day on; the plan's length if there is none."""
        return self.following[np.clip(start, 0, self.days)]


def next_of(flags: Flags) -> Ints:
    """For each day, and the day after the last, the first flagged day from it on."""
    days = len(flags)
    marks = np.full(days + 1, days)
    marks[:days][flags] = np.flatnonzero(flags)
    return np.minimum.accumulate(marks[::-1])[::-1]


def workdays_of(workshop: Workshop) -> Workdays:
    """The working days of the workshop."""
    works = np.array(workshop.minutes, np.int64) > 0
    return Workdays(days=workshop.days, works=works, following=next_of(works))


def mould_key(mould: str) -> str:
    """The resource name of a kind of mould."""
    return f"mould {mould}"


def place_key(place: str) -> str:
    """The resource name of a place."""
    return f"place {place}"


def vessel_key(vessel: str) -> str:
    """The resource name of a kind of vessel."""
    return f"vessel {vessel}"


def tray_key(tray: str) -> str:
    """The resource name of a kind of tray."""
    return f"tray {tray}"


def product_key(product: str) -> str:
    """The resource name of a product's batches in a day."""
    return f"product {product}"


def capacity_of(workshop: Workshop) -> dict[str, Ints]:
    """What there is of each resource on each day when nothing is planned yet."""
    full = np.ones(workshop.days, np.int64)
    capacity = {HANDS: np.array(workshop.minutes, np.int64)}
    for vessel in workshop.vessels.values():
        capacity[vessel_key(vessel.id)] = full * (vessel.count * vessel.minutes_per_day)
    for mould in workshop.moulds.values():
        capacity[mould_key(mould.id)] = full * (mould.count * mould.turns_per_day)
    for place in workshop.places.values():
        capacity[place_key(place.id)] = full * (place.moulds * place.turns_per_day)
    for tray in workshop.trays.values():
        capacity[tray_key(tray.id)] = full * tray.count
    for product in workshop.products.values():
        if product.max_batches_per_day is not None:
            capacity[product_key(product.id)] = full * product.max_batches_per_day
    return capacity


def take(free: Mapping[str, Ints], takes: tuple[Take, ...], sign: int) -> None:
    """Take from what is free (sign 1), or give it back (sign -1)."""
    for part in takes:
        free[part.resource][part.first : part.stop] -= sign * part.amount
