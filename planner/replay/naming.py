"""Lot names for what a plan makes and buys."""

from planner.days import date_of
from planner.workshop import Workshop


class LotNames:
    """Gives each planned lot a name that no other lot of the workshop bears."""

    def __init__(self, workshop: Workshop) -> None:
        self._first_day = workshop.first_day
        self._taken = {lot.lot for lot in (*workshop.lots, *workshop.blocked)}
        self._taken.update(batch.lot for batch in workshop.underway)
        self._taken.update(receipt.reference for receipt in workshop.receipts)

    def fresh(self, what: str, day: int) -> str:
        """A name made of what it is and its date; a second one of the same day is numbered."""
        plain = f"{what} {date_of(self._first_day, day)}"
        name, number = plain, 1
        while name in self._taken:
            number += 1
            name = f"{plain} ({number})"
        self._taken.add(name)
        return name
