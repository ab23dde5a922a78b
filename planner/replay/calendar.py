"""Which day numbers are working days of the plan."""

from bisect import bisect_left

from planner.workshop import Workshop


def in_plan(workshop: Workshop, day: int) -> bool:
    """True for days 0 to the plan's last day."""
    return 0 <= day < workshop.days


def is_working_day(workshop: Workshop, day: int) -> bool:
    """True if somebody works on this day of the plan."""
    return in_plan(workshop, day) and workshop.minutes[day] > 0


def first_working_day(workshop: Workshop, day: int) -> int | None:
    """The first working day on or after `day`; None if the plan has none left."""
    working = workshop.working_days
    place = bisect_left(working, day)
    return working[place] if place < len(working) else None
