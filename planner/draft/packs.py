"""The cheapest whole packs that cover an amount, when some of it may be left over."""

from collections.abc import Sequence
from dataclasses import dataclass

from planner.draft.offers import line_price
from planner.workshop import Offer


@dataclass(frozen=True, kw_only=True)
class Line:
    """An order line that can grow: `ordered` packs stand on it already."""

    offer: Offer
    ordered: int = 0

    @property
    def most(self) -> int | None:
        """Packs that can still be added; None without limit."""
        if self.offer.max_packs is None:
            return None
        return max(0, self.offer.max_packs - self.ordered)

    @property
    def least(self) -> int:
        """Packs that have to be added if any are."""
        return max(1, self.offer.min_packs - self.ordered)

    def price(self, packs: int) -> int:
        """Minor units that so many more packs add to the line."""
        return line_price(self.offer, self.ordered + packs) - line_price(self.offer, self.ordered)

    def allowed(self, packs: int) -> int:
        """The number of packs nearest to `packs` that can be added; 0 if none can."""
        most = self.most
        packs = max(packs, self.least)
        if most is None:
            return packs
        return min(packs, most) if most >= self.least else 0


@dataclass(frozen=True, kw_only=True, order=True)
class Mix:
    """Packs to add to each line: what stays uncovered, and the cost in thousandths of a minor unit.

    The cost is the price less what the surplus is still worth.
    """

    uncovered: int
    cost: float
    packs: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, kw_only=True)
class Credit:
    """What each unit of surplus is worth, in thousandths of a minor unit; beyond `most` nothing."""

    each: float = 0.0
    most: int = 0

    def of(self, surplus: int) -> float:
        """What a surplus is worth."""
        return self.each * max(0, min(surplus, self.most))


def cheapest_mix(lines: Sequence[Line], amount: int, credit: Credit) -> Mix:
    """The mix that covers most of an amount, of several the cheapest.

    The packs are pairs of a line's place in `lines` and a number. One line may give all, or whole
    packs up to just below the amount while others give the rest, or enough to reach a price step.
    """
    return min(
        (
            mix
            for place in range(len(lines))
            for mix in _led_by(lines, place, amount, credit, list(range(len(lines))))
        ),
        default=Mix(uncovered=amount, cost=0.0),
    )


def _led_by(
    lines: Sequence[Line], place: int, amount: int, credit: Credit, usable: list[int]
) -> list[Mix]:
    line = lines[place]
    size = line.offer.amount
    whole = line.allowed(-(-amount // size))
    if not whole:
        return []
    steps = [step.packs - line.ordered for step in line.offer.steps]
    counts = [whole, *(packs for packs in steps if packs > whole and line.allowed(packs) == packs)]
    mixes = [_mix(line, place, packs, amount, credit) for packs in counts]
    others = [other for other in usable if other != place]
    for below in dict.fromkeys([amount // size, whole]):
        rest = amount - below * size
        if others and rest > 0 and line.allowed(below) == below:
            mixes += _with_rest(
                lines, _mix(line, place, below, amount, credit), rest, credit, others
            )
    return mixes


def _mix(line: Line, place: int, packs: int, amount: int, credit: Credit) -> Mix:
    surplus = packs * line.offer.amount - amount
    return Mix(
        uncovered=max(0, -surplus),
        cost=1000.0 * line.price(packs) - credit.of(surplus),
        packs=((place, packs),),
    )


def _with_rest(
    lines: Sequence[Line], begun: Mix, rest: int, credit: Credit, others: list[int]
) -> list[Mix]:
    """A begun mix completed by each of the other lines."""
    return [
        Mix(
            uncovered=ending.uncovered,
            cost=begun.cost + ending.cost,
            packs=begun.packs + ending.packs,
        )
        for place in others
        for ending in _led_by(lines, place, rest, credit, others)
    ]
