"""What is free of each resource on each day, and what a task takes of it.

Hands and vessels count in minutes, trays in trays, the batches of a product in batches. Moulds
and places count in fillings: one held over night takes as many as its turns in a day, one filled
and emptied on the same day takes one.
"""

from bisect import bisect_right, insort
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from planner.draft.daysets import days_with, first_from
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
    """On which of a plan's days somebody works."""

    days: int
    works: int

    def after(self, day: int) -> int:
        """The first working day from a day on; the plan's length if there is none."""
        return first_from(self.works, max(0, day), self.days)


def workdays_of(workshop: Workshop) -> Workdays:
    """The working days of the workshop."""
    return Workdays(days=workshop.days, works=days_with(np.array(workshop.minutes) > 0))


class Free:
    """What is free of one resource on each day, and the days with enough of it for what needs it.

    The days with enough for an amount are worked out once and then changed together with what is
    free, where a day comes to have less or more than the amount.
    """

    def __init__(self, amounts: Iterable[int]) -> None:
        self.amounts = list(amounts)
        self._enough: dict[int, int] = {}
        self._asked: list[int] = []  # the amounts known so far, in order

    def copy(self) -> "Free":
        """The same amounts, to be changed by themselves."""
        twin = Free(self.amounts)
        twin._enough = self._enough.copy()
        twin._asked = self._asked.copy()
        return twin

    def enough(self, amount: int) -> int:
        """The days on which so much is free."""
        days = self._enough.get(amount)
        if days is None:
            days = self._enough[amount] = days_with(np.array(self.amounts) >= amount)
            insort(self._asked, amount)
        return days

    def take(self, first: int, stop: int, amount: int) -> None:
        """Take so much on the days from `first` up to, without, `stop`; negative gives it back."""
        asked, amounts = self._asked, self.amounts
        for day in range(first, stop):
            before = amounts[day]
            after = amounts[day] = before - amount
            low, high = (after, before) if amount > 0 else (before, after)
            for passed in asked[bisect_right(asked, low) : bisect_right(asked, high)]:
                self._enough[passed] ^= 1 << day


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


def capacity_of(workshop: Workshop) -> dict[str, Free]:
    """What there is of each resource on each day when nothing is planned yet."""
    capacity = {HANDS: list(workshop.minutes)}
    for vessel in workshop.vessels.values():
        capacity[vessel_key(vessel.id)] = [vessel.count * vessel.minutes_per_day] * workshop.days
    for mould in workshop.moulds.values():
        capacity[mould_key(mould.id)] = [mould.count * mould.turns_per_day] * workshop.days
    for place in workshop.places.values():
        capacity[place_key(place.id)] = [place.moulds * place.turns_per_day] * workshop.days
    for tray in workshop.trays.values():
        capacity[tray_key(tray.id)] = [tray.count] * workshop.days
    for product in workshop.products.values():
        if product.max_batches_per_day is not None:
            capacity[product_key(product.id)] = [product.max_batches_per_day] * workshop.days
    return {resource: Free(amounts) for resource, amounts in capacity.items()}


def take(free: Mapping[str, Free], takes: tuple[Take, ...], sign: int) -> None:
    """Take from what is free (sign 1), or give it back (sign -1)."""
    for resource, first, stop, amount in takes:
        free[resource].take(first, stop, sign * amount)
