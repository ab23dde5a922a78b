"""What searches by parts and by windows share: a prover's program, limits, and pieces by turns."""

from collections.abc import Callable, Mapping
from threading import Event
from time import monotonic
from typing import Generic

from planner.solver.linear import Linear
from planner.solver.proving import Prover
from planner.solver.task import Limits
from planner.solver.turns import About, Result, Turns


class Piecewise(Generic[About, Result]):
    """A search of a prover's program piece by piece, so many at once, within limits.

    The less of a measure an assignment has, the better it is.
    """

    def __init__(
        self, prover: Prover, measure: Linear, limits: Limits, at_once: int, stop: Event
    ) -> None:
        self.prover = prover
        self.measure = measure
        self.limits = limits
        self.stop = stop
        self._until = monotonic() + limits.seconds
        self._turns: Turns[About, Result] = Turns(limits.work, at_once)

    def _value(self, values: Mapping[int, int]) -> int:
        return self.measure.value(dict(values))

    def _goes_on(self) -> bool:
        return not self.stop.is_set() and monotonic() < self._until

    def _for_seconds(self, seconds: float) -> Callable[[], bool]:
        """Tells whether a piece that begins now still goes on; not after so many seconds."""
        over = monotonic() + seconds
        return lambda: self._goes_on() and monotonic() < over
