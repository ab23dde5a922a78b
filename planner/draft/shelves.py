"""One material while it is bought: its uses served day by day, and where they fall short."""

from bisect import bisect_right, insort
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import accumulate

from planner.draft.offers import Span


@dataclass(kw_only=True, order=True)
class _Lot:
    """A lot in the order of use: what expires first, then what came first."""

    last: int
    first: int
    amount: int = field(compare=False)
    left: int = field(compare=False)
    used_on: list[int] = field(compare=False, default_factory=list)


@dataclass(frozen=True, kw_only=True)
class Short:
    """A day on which an amount is missing; `hard` if for a use, else only for safety stock."""

    day: int
    missing: int
    hard: bool


class Shelf:
    """The lots of a material and its uses; `days` is the plan's length."""

    def __init__(
        self,
        material: str,
        uses: Mapping[int, int],
        spans: Iterable[Span],
        days: int,
        safety_stock: int = 0,
        worth_having: int = 0,
    ) -> None:
        self.material = material
        self.safety_stock = safety_stock
        self.worth_having = worth_having
        self.days = days
        self.uses = sorted(uses.items())
        self.use_days = [day for day, _ in self.uses]
        self.spoiled = 0
        self._total = [0, *accumulate(amount for _, amount in self.uses)]
        self._lots = [_lot(span) for span in spans]
        self._stock: list[_Lot] = []
        self._next = self._served = 0
        self._restart()

    def add(self, span: Span) -> None:
        """One more lot, for the use that falls short or later ones."""
        lot = _lot(span)
        self._lots.append(lot)
        insort(self._stock, lot)

    def add_anew(self, spans: Iterable[Span]) -> None:
        """More lots that earlier uses are to take from too: serve all uses again."""
        self._lots += [_lot(span) for span in spans]
        self._restart()

    def spans(self) -> list[Span]:
        """All lots as they came."""
        return [Span(first=lot.first, last=lot.last, amount=lot.amount) for lot in self._lots]

    def run(self, wish: int = 0) -> Short | None:
        """Serve uses until one falls short, or leaves less than the wished safety stock."""
        while self._next < len(self.uses):
            day, amount = self.uses[self._next]
            self._served += self._take(day, amount - self._served)
            if self._served < amount:
                return Short(day=day, missing=amount - self._served, hard=True)
            self._next += 1
            self._served = 0
            if wish and (missing := wish - self.on_hand(day)) > 0:
                return Short(day=day, missing=missing, hard=False)
        return None

    def on_hand(self, day: int) -> int:
        """What is left of the lots usable on a day."""
        return sum(lot.left for lot in self._stock if lot.first <= day <= lot.last)

    def wanted(self, until: int) -> int:
        """What the uses still to be served up to a day take beyond the lots there are by then."""
        stop = bisect_right(self.use_days, until)
        uses = self._total[max(stop, self._next)] - self._total[self._next] - self._served
        return uses - sum(lot.left for lot in self._stock if lot.first <= until)

    def worth_keeping(self) -> int:
        """The most that counts for something when the plan ends: what is worth having and not used.

        An order must not be filled up with years of something cheap to save its freight.
        """
        return max(0, self.worth_having - self._total[-1])

    def surplus(self, amount: int) -> int:
        """How much beyond an amount bought now still counts for something."""
        return max(0, self.wanted(self.days - 1) - amount + self.worth_keeping())

    def worthless(self) -> int:
        """What is left of all lots beyond what is worth keeping, without what spoils."""
        left = sum(lot.left for lot in self._stock if lot.last == self.days - 1)
        return max(0, left - self.worth_keeping())

    def left_to_spoil(self) -> int:
        """What is left of lots that expire within the plan."""
        late = sum(lot.left for lot in self._stock if lot.last < self.days - 1)
        return self.spoiled + late

    def exchangeable(self, day: int) -> list[int]:
        """Days on which a lot would help on `day`: uses that could leave their lots to others."""
        reached = [day]
        for here in reached:
            for lot in self._lots:
                if lot.first <= here <= lot.last:
                    reached += [used for used in lot.used_on if used not in reached]
        return reached

    def _restart(self) -> None:
        for lot in self._lots:
            lot.left = lot.amount
            lot.used_on = []
        self._stock = sorted(self._lots)
        self._next = self._served = self.spoiled = 0

    def _take(self, day: int, wanted: int) -> int:
        taken = 0
        while self._stock and self._stock[0].last < day:
            self.spoiled += self._stock.pop(0).left
        for lot in self._stock:
            if taken == wanted:
                break
            if lot.first <= day and lot.left:
                part = min(lot.left, wanted - taken)
                lot.left -= part
                lot.used_on.append(day)
                taken += part
        if taken:
            self._stock = [lot for lot in self._stock if lot.left]
        return taken


def _lot(span: Span) -> _Lot:
    return _Lot(last=span.last, first=span.first, amount=span.amount, left=span.amount)
