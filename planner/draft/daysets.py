"""Sets of days as whole numbers: bit d is set where day d belongs.

What must hold on a day that another one leads to becomes a shift and a bitwise and, for all days at
once. On some hundreds of days that takes a tenth of a microsecond, a tenth of what a call on so
short an array takes.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

REMEMBERED = 4096
"""Sets for which the days in a row are remembered: those of trays change only now and then."""

Flags = npt.NDArray[np.bool_]


def days_with(flags: Flags) -> int:
    """The days with a flag."""
    return int.from_bytes(np.packbits(flags, bitorder="little").tobytes(), "little")


def all_days(days: int) -> int:
    """The days 0 up to, without, so many."""
    return (1 << days) - 1


def first_from(days: int, day: int, none: int) -> int:
    """The first of the days from a day on; `none` if there is none."""
    rest = days >> day
    return day + (rest & -rest).bit_length() - 1 if rest else none


def last_before(days: int, day: int) -> int:
    """The last of the days before a day; -1 if there is none."""
    return (days & ((1 << day) - 1)).bit_length() - 1


def ascending(days: int) -> Iterator[int]:
    """The days one by one, the first first."""
    while days:
        lowest = days & -days
        yield lowest.bit_length() - 1
        days ^= lowest


def descending(days: int) -> Iterator[int]:
    """The days one by one, the last first."""
    while days:
        last = days.bit_length() - 1
        yield last
        days ^= 1 << last


@lru_cache(maxsize=REMEMBERED)
def runs(days: int, length: int) -> int:
    """The days that begin so many in a row; any day begins none in a row."""
    if length <= 0:
        return -1
    begun, joined = days, 1
    while joined < length:
        more = min(joined, length - joined)
        begun &= begun >> more
        joined += more
    return begun


def spread(days: int, length: int) -> int:
    """Each of the days and those after it, so many in all."""
    if length <= 0:
        return 0
    joined = 1
    while joined < length:
        more = min(joined, length - joined)
        days |= days << more
        joined += more
    return days


@dataclass(frozen=True, kw_only=True)
class Leads:
    """To which later day each day leads: pairs of so many days later, and the days it holds for."""

    groups: tuple[tuple[int, int], ...]

    def to(self, days: int) -> int:
        """The days that lead to one of some days."""
        found = 0
        for later, those in self.groups:
            found |= days >> later & those
        return found

    def within(self, days: int) -> int:
        """The days that belong together with all up to, without, the one they lead to."""
        found = 0
        for later, those in self.groups:
            found |= runs(days, later) & those
        return found


def leads_of(targets: Sequence[int], stop: int) -> Leads:
    """From the day that each day leads to; those that lead to `stop` or later lead nowhere."""
    groups: dict[int, int] = {}
    for day, target in enumerate(targets):
        if target < stop:
            groups[target - day] = groups.get(target - day, 0) | 1 << day
    return Leads(groups=tuple(groups.items()))
