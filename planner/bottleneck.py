"""How full each resource is, week by week, and which one holds the workshop up.

A share is what the plan takes of a resource over what there is of it on the days that count:
every day for trays, on which bars cure day and night; working days for the rest, because nothing
is poured, unmoulded or packed on the others.
"""

from dataclasses import dataclass
from fractions import Fraction

from planner.account import Account, Load
from planner.days import weekday_of
from planner.workshop import Workshop

FULL = Fraction(9, 10)
"""From this share on a resource counts as full (common practice, no source)."""
BUSY_WEEKS = 4
"""A bottleneck is judged over this many weeks in a row: one full week alone can be worked round."""


@dataclass(frozen=True, kw_only=True)
class WeekLoad:
    """A resource in one week, Monday to Sunday, cut off at the plan's ends.

    first, last  day numbers
    used, capacity  sums over the days that count
    peak         the day with the highest share, the earliest of several; None if no day counts
    """

    first: int
    last: int
    used: int
    capacity: int
    peak: int | None

    @property
    def share(self) -> Fraction | None:
        """Used over capacity; None in a week without capacity."""
        return Fraction(self.used, self.capacity) if self.capacity else None


@dataclass(frozen=True, kw_only=True)
class ResourceLoad:
    """A resource over the whole plan.

    busy        highest share over BUSY_WEEKS weeks in a row; 0 for a resource never needed
    busy_first, busy_last  the first and last day of those weeks
    full_days   days that count on which the share is at least FULL
    """

    load: Load
    weeks: tuple[WeekLoad, ...]
    share: Fraction
    busy: Fraction
    busy_first: int
    busy_last: int
    full_days: tuple[int, ...]

    @property
    def is_full(self) -> bool:
        """True if the resource is full over its busiest weeks."""
        return self.busy >= FULL


def resource_loads(workshop: Workshop, account: Account) -> tuple[ResourceLoad, ...]:
    """Every resource, the one that is fullest over its busiest weeks first."""
    found = [_resource_load(workshop, load) for load in account.loads]
    return tuple(sorted(found, key=lambda r: (-r.busy, -r.share, r.load.kind, r.load.name)))


def bottleneck(loads: tuple[ResourceLoad, ...]) -> ResourceLoad | None:
    """The resource that holds the workshop up; None if none is full over its busiest weeks."""
    return next((resource for resource in loads if resource.is_full), None)


def _resource_load(workshop: Workshop, load: Load) -> ResourceLoad:
    counts = [load.kind == "tray" or minutes > 0 for minutes in workshop.minutes]
    used = [number if count else 0 for number, count in zip(load.used, counts, strict=True)]
    there = [number if count else 0 for number, count in zip(load.capacity, counts, strict=True)]
    weeks = _weeks(workshop, used, there)
    busy, first, last = max(
        (_span(weeks[start : start + BUSY_WEEKS]) for start in range(_starts(weeks))),
        key=lambda span: (span[0], -span[1]),
    )
    return ResourceLoad(
        load=load,
        weeks=weeks,
        share=_share(sum(used), sum(there)),
        busy=busy,
        busy_first=first,
        busy_last=last,
        full_days=tuple(day for day in range(workshop.days) if _is_full(used[day], there[day])),
    )


def _starts(weeks: tuple[WeekLoad, ...]) -> int:
    return max(1, len(weeks) - BUSY_WEEKS + 1)


def _weeks(workshop: Workshop, used: list[int], there: list[int]) -> tuple[WeekLoad, ...]:
    first = 0
    found = []
    while first < workshop.days:
        sunday = first + 6 - weekday_of(workshop.first_day, first)
        last = min(sunday, workshop.days - 1)
        days = range(first, last + 1)
        counted = [day for day in days if there[day] > 0]
        found.append(
            WeekLoad(
                first=first,
                last=last,
                used=sum(used[day] for day in days),
                capacity=sum(there[day] for day in days),
                peak=max(
                    counted, key=lambda day: (_share(used[day], there[day]), -day), default=None
                ),
            )
        )
        first = last + 1
    return tuple(found)


def _span(weeks: tuple[WeekLoad, ...]) -> tuple[Fraction, int, int]:
    share = _share(sum(week.used for week in weeks), sum(week.capacity for week in weeks))
    return share, weeks[0].first, weeks[-1].last


def _share(used: int, capacity: int) -> Fraction:
    return Fraction(used, capacity) if capacity else Fraction(0)


def _is_full(used: int, capacity: int) -> bool:
    return capacity > 0 and _share(used, capacity) >= FULL
