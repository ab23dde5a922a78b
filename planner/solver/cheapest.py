"""The least that a plan can cost by what it buys in all, and plans that come near it.

The money goal without the days of purchases is small enough for branch and cut, and for windows
beside it. Each plan that they find is bought for; what that costs day by day is hardly more.
"""

from concurrent.futures import Future
from dataclasses import dataclass, field
from threading import Event

from planner.solver.closing import awaited
from planner.solver.task import Found, Limits
from planner.solver.unbought import UnboughtSearch


@dataclass(kw_only=True)
class CheapestInAll(UnboughtSearch):
    """Looks for plans that cost little in all by `prover`, and for what they cost at least."""

    relaxed: Future[int | None] = field(default_factory=Future, init=False)

    def improved(self, limits: Limits, at_once: int, stop: Event) -> Found:
        """The best that windows come to, once the relaxation is solved."""
        if awaited(self.relaxed, self.full.tell) is None:
            return Found(self.full.task.hint, None)
        return super().improved(limits, at_once, stop)

    def _relaxation_bound(self) -> int | None:
        """Whoever waits for it waits no longer after it."""
        bound = None
        try:
            bound = super()._relaxation_bound()
        finally:
            self.relaxed.set_result(bound)
        return bound
