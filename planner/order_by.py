"""By when each line of a purchase must go out, at the latest, for this plan to hold.

The plan may order earlier than it must, to share a freight or to keep days free; the order-by day
is the wall behind it.
"""

from dataclasses import dataclass

from planner.account import Account, LineFacts, PurchaseFacts
from planner.workshop import Offer, Workshop


@dataclass(frozen=True, kw_only=True)
class LineNeed:
    """A purchase line with its latest days.

    needed    first day on which the plan runs out if this line, and all later ones of its
              material, have not come; None if the plan never does (bought ahead, or to keep a
              safety stock)
    order_by  last day on which the offer can be ordered and is usable on `needed`; None if
              `needed` is
    """

    line: LineFacts
    needed: int | None
    order_by: int | None


@dataclass(frozen=True, kw_only=True)
class PurchaseNeed:
    """A purchase, its lines' latest days, and the earliest of them for the whole order."""

    purchase: PurchaseFacts
    lines: tuple[LineNeed, ...]

    @property
    def order_by(self) -> int | None:
        """The last day for the whole order: the earliest of its lines'; None if no line has one."""
        return min(
            (need.order_by for need in self.lines if need.order_by is not None), default=None
        )


def last_order_day(offer: Offer, needed: int) -> int | None:
    """The last order day of an offer whose goods are usable on day `needed`; None if none is.

    Orders of a later day may come no later (a supplier's closure), so all days are looked at.
    """
    return max((d.order for d in offer.deliveries if d.usable <= needed), default=None)


def needed_day(account: Account, line: LineFacts) -> int | None:
    """The first day on which on hand falls below what this line and the later ones brought.

    on hand at the end of day d, less every purchase line of the material that became usable
    between this line's day and d, below 0: from then on the plan lives on this line. Lines that
    are usable on the same day count as one. Putting every line off to its own needed day at the
    same time still leaves no day short.
    """
    later = [
        other
        for purchase in account.purchases
        for other in purchase.lines
        if other.material == line.material and other.usable >= line.usable
    ]
    on_hand = account.flows[line.material].on_hand
    for day in range(line.usable, len(on_hand)):
        without = on_hand[day] - sum(other.amount for other in later if other.usable <= day)
        if without < 0:
            return day
    return None


def purchase_needs(workshop: Workshop, account: Account) -> tuple[PurchaseNeed, ...]:
    """Every purchase of a plan with its latest days, in the order of the account."""
    return tuple(
        PurchaseNeed(
            purchase=purchase,
            lines=tuple(_line_need(workshop, account, line) for line in purchase.lines),
        )
        for purchase in account.purchases
    )


def _line_need(workshop: Workshop, account: Account, line: LineFacts) -> LineNeed:
    needed = needed_day(account, line)
    order_by = None if needed is None else last_order_day(workshop.offers[line.offer], needed)
    return LineNeed(line=line, needed=needed, order_by=order_by)
