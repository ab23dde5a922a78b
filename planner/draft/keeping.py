"""Staying near a kept plan: each of its batches that is poured as it was counts for something.

Without that a search that takes as good schedules as they come soon has moved every batch.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from planner.draft.choice import Choice
from planner.draft.placing import Placed
from planner.plan import Batch

SHARE = 5
"""All batches together count for one part in so many of the loss with which the search begins."""

Pour = tuple[str, int, int]
"""Product, bars and day."""


@dataclass(frozen=True, kw_only=True)
class Kept:
    """How often a kept plan pours what on which day, and what each such batch counts for.

    `worth` is in thousandths of a minor unit.
    """

    pours: "Counter[Pour]"
    worth: int

    def value(self, choice: Choice) -> int:
        """What a schedule loses, and the worth of each kept batch that it does not have."""
        return self._value(choice.sold.loss, (_pour_of(one) for one in choice.schedule.placed))

    def value_of(self, loss: int, batches: Iterable[Batch]) -> int:
        """The same of a plan's batches, which lose so much."""
        return self._value(loss, _pours(batches))

    def _value(self, loss: int, pours: Iterable[Pour]) -> int:
        return loss + self.worth * self._missing(pours).total() if self.worth else loss

    def missing(self, placed: Iterable[Placed]) -> "Counter[Pour]":
        """The kept batches that are not among those placed."""
        return self._missing(_pour_of(one) for one in placed)

    def _missing(self, pours: Iterable[Pour]) -> "Counter[Pour]":
        return self.pours - Counter(pours)


NOTHING = Kept(pours=Counter(), worth=0)
"""No plan to stay near."""


def kept_of(batches: Iterable[Batch], loss: int) -> Kept:
    """The batches that a kept plan still has to pour, beside what the search begins with."""
    pours = Counter(_pours(batches))
    return Kept(pours=pours, worth=loss // (SHARE * max(1, pours.total())))


def _pour_of(placed: Placed) -> Pour:
    return placed.job.product.id, placed.job.recipe.bars, placed.pour


def _pours(batches: Iterable[Batch]) -> Iterable[Pour]:
    return ((batch.product, batch.bars, batch.pour) for batch in batches if not batch.in_progress)
