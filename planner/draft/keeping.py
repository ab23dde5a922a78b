"""Staying near a kept plan: each of its batches that is poured as it was counts for something.

Without that a search that takes as good schedules as they come soon has moved every batch.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from planner.draft.choice import Choice
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
        if not self.worth:
            return choice.sold.loss
        poured = Counter(
            (placed.job.product.id, placed.job.recipe.bars, placed.pour)
            for placed in choice.schedule.placed
        )
        return choice.sold.loss + self.worth * (self.pours - poured).total()


NOTHING = Kept(pours=Counter(), worth=0)
"""No plan to stay near."""


def kept_of(batches: Iterable[Batch], loss: int) -> Kept:
    """The batches that a kept plan still has to pour, beside what the search begins with."""
    pours = Counter(
        (batch.product, batch.bars, batch.pour) for batch in batches if not batch.in_progress
    )
    return Kept(pours=pours, worth=loss // (SHARE * max(1, pours.total())))
