"""Where an item's stock comes from, and in which order it passes its use-by date.

A source answers two questions for a day t as sums of variables: how much of it has become usable
by t, and how much of it has a use-by date not after t. Sources whose lots expire in the order in
which they become usable form a chain; in a chain, first-expired-first-used is first-in-first-out,
so cumulative use and waste tell which lots are left.
"""

from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from planner.solver.linear import Linear
from planner.solver.variables import Variables
from planner.workshop import Offer


@dataclass(frozen=True)
class Source:
    """usable(t), expired(t): cumulative amounts up to `most`; the days on which either can rise.

    A use-by date on or after the plan's last day counts as never and is no expiry day.
    """

    name: str
    most: int
    usable: Callable[[Linear, int], None]
    expired: Callable[[Linear, int], None]
    usable_days: tuple[int, ...]
    expiry_days: tuple[int, ...]

    @property
    def perishable(self) -> bool:
        """True if some of it can pass its date within the plan."""
        return bool(self.expiry_days)


def nothing(_row: Linear, _day: int) -> None:
    """A source that adds nothing: what never expires."""


def fixed(name: str, amount: int, usable: int, use_by: int | None, last_day: int) -> Source:
    """A lot on hand or on order."""
    expires = use_by is not None and use_by < last_day

    def add_usable(row: Linear, day: int) -> None:
        if day >= usable:
            row.constant += amount

    def add_expired(row: Linear, day: int) -> None:
        if use_by is not None and day >= use_by:
            row.constant += amount

    return Source(
        name,
        amount,
        add_usable,
        add_expired if expires else nothing,
        (usable,),
        (use_by,) if expires and use_by is not None else (),
    )


def made(variables: Variables, preparation_id: str) -> Source | None:
    """The lots of a preparation that the plan makes."""
    staircase = variables.made.get(preparation_id)
    if staircase is None:
        return None
    preparation = variables.workshop.preparations[preparation_id]
    amount = variables.lot_recipes[preparation_id].amount
    ready, life = preparation.ready_days, preparation.shelf_life_days
    last_day = variables.workshop.days - 1
    expiry_days: tuple[int, ...] = ()
    if life is not None:
        expiry_days = tuple(day + life for day in staircase.days if day + life < last_day)

    def add_usable(row: Linear, day: int) -> None:
        row.step(staircase, day - ready, amount)

    def add_expired(row: Linear, day: int) -> None:
        row.step(staircase, day - (life or 0), amount)

    return Source(
        f"made {preparation_id}",
        amount * variables.ceilings.lots(preparation_id),
        add_usable,
        add_expired if expiry_days else nothing,
        tuple(day + ready for day in staircase.days),
        expiry_days,
    )


def bought(variables: Variables, offer: Offer) -> Source | None:
    """The packs of an offer that the plan orders."""
    staircase = variables.bought.get(offer.id)
    if staircase is None:
        return None
    orders = staircase.days
    usable = [delivery.usable for delivery in offer.deliveries]
    last_day = variables.workshop.days - 1
    life = offer.shelf_life_days
    expiry = [] if life is None else [d.arrive + life for d in offer.deliveries]
    expiry_days = tuple(day for day in expiry if day < last_day)

    def add_usable(row: Linear, day: int) -> None:
        position = bisect_right(usable, day)
        if position:
            row.step(staircase, orders[position - 1], offer.amount)

    def add_expired(row: Linear, day: int) -> None:
        position = bisect_right(expiry, day)
        if position:
            row.step(staircase, orders[position - 1], offer.amount)

    return Source(
        f"bought {offer.id}",
        offer.amount * variables.ceilings.packs(offer),
        add_usable,
        add_expired if expiry_days else nothing,
        tuple(usable),
        expiry_days,
    )


def chains(sources: Sequence[Source]) -> list[list[Source]]:
    """Group sources so that within a group lots expire in the order in which they become usable.

    Sources are taken by their first use-by date; each joins the first chain it fits, else opens
    one. Almost always one chain is enough.
    """
    never = float("inf")

    def first_expiry(source: Source) -> float:
        return source.expiry_days[0] if source.perishable else never

    def last_expiry(source: Source) -> float:
        if not source.perishable:
            return never
        # A lot that becomes usable late may not expire within the plan: it comes after all others.
        return source.expiry_days[-1] if len(source.usable_days) == 1 else never

    ordered = sorted(sources, key=lambda s: (first_expiry(s), s.usable_days[0], s.name))
    grouped: list[list[Source]] = []
    for source in ordered:
        for chain in grouped:
            if all(
                (
                    last_expiry(earlier) <= first_expiry(source)
                    and earlier.usable_days[-1] <= source.usable_days[0]
                )
                or (not earlier.perishable and not source.perishable)
                for earlier in chain
            ):
                chain.append(source)
                break
        else:
            grouped.append([source])
    return grouped
