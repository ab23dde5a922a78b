"""Which day follows from which: the calendar seen by the solver, in day numbers."""

from collections.abc import Callable

from planner.workshop import Product, Workshop


class Timeline:
    """Working days of a workshop, and the days that follow from pouring on one of them."""

    def __init__(self, workshop: Workshop) -> None:
        self.days = workshop.days
        self.working = workshop.working_days
        self._next: list[int | None] = [None] * (self.days + 1)
        for day in reversed(range(self.days)):
            self._next[day] = day if workshop.minutes[day] > 0 else self._next[day + 1]
        self._last_pour: dict[tuple[int, int], list[int]] = {}

    def next_working(self, day: int) -> int | None:
        """The first working day on or after `day`; None beyond the plan."""
        return self._next[max(day, 0)] if day < self.days else None

    def unmould(self, product: Product, pour: int) -> int | None:
        """The day on which a batch poured on `pour` leaves its moulds."""
        return pour if product.set_days == 0 else self.next_working(pour + product.set_days)

    def earliest_pack(self, product: Product, pour: int) -> int | None:
        """The first day on which a batch poured on `pour` may be packed."""
        unmould = self.unmould(product, pour)
        return None if unmould is None else self.next_working(unmould + product.cure_days)

    def pour_days(self, product: Product) -> tuple[int, ...]:
        """Working days on which a batch can be poured and still be packed within the plan."""
        return tuple(day for day in self.working if self.earliest_pack(product, day) is not None)

    def last_unmoulded(self, product: Product) -> list[int]:
        """For each day, the last pour day whose batches are out of their moulds by then; or -1."""
        return self._last_by(product.set_days, -1, lambda day: self.unmould(product, day))

    def last_cured(self, product: Product) -> list[int]:
        """For each day, the last pour day whose batches may be packed by then; or -1."""
        return self._last_by(
            product.set_days, product.cure_days, lambda day: self.earliest_pack(product, day)
        )

    def _last_by(
        self, set_days: int, cure_days: int, follows: Callable[[int], int | None]
    ) -> list[int]:
        key = (set_days, cure_days)
        if key not in self._last_pour:
            last = [-1] * self.days
            for pour in self.working:
                day = follows(pour)
                if day is not None:
                    last[day] = pour
            for day in range(1, self.days):
                last[day] = max(last[day], last[day - 1])
            self._last_pour[key] = last
        return self._last_pour[key]
