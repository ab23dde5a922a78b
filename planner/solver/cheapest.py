"""The least that a plan can cost by what it buys in all, and plans that come near it.

The money goal without the days of purchases is small enough for branch and cut, and for windows
beside it. Each plan that they find is bought for; what that costs day by day is hardly more.
"""

from concurrent.futures import Future
from dataclasses import dataclass, field
from threading import Event

from planner.solver.closing import awaited
from planner.solver.highs import Effort, Proof
from planner.solver.proving import branched_apart, set_up
from planner.solver.task import Found, Limits, better_of
from planner.solver.unbought import UnboughtSearch

ENOUGH = 1e-4
"""Share of the value within which a bound is good enough."""

ROOT = 5.0
"""How much more a look at the limits counts for before branch and cut first branches.

Until then it cuts for half a second from one look to the next.
"""


@dataclass(kw_only=True)
class CheapestInAll(UnboughtSearch):
    """Looks for plans that cost little in all by `prover`, and for what they cost at least."""

    relaxed: Future[int | None] = field(default_factory=Future, init=False)

    def proven(self, limits: Limits) -> tuple[Found, float]:
        """What no plan can cost less than, and the best plan found on the way; the work it took."""
        bound = None
        try:
            bound = self.prover.linear_bound()
        finally:
            self.relaxed.set_result(bound)
        best = Found(self.full.task.hint, bound)
        if bound is None:
            return best, 0.0
        program, value = self.prover.branching.program, self._value(self.prover.task.hint)
        effort = Effort(
            work=limits.work,
            seconds=limits.seconds,
            seed=limits.seed,
            gap=ENOUGH * value / program.unit,
            cutoff=program.units_below(value),
            heuristics=False,
            root=ROOT,
        )

        def hear(proof: Proof) -> None:
            nonlocal best
            found = None if proof.values is None else self.prover.assignment(proof.values)
            if found is not None:
                best = self.better(best, found)
            if proof.bound is not None:
                # Beyond the cutoff HiGHS proves nothing: the hint costs no more in all.
                proven = Found(best.values, min(proof.bound, value))
                best = better_of(self.full.task.goal, best, proven)
            self.tell(best)

        proof = branched_apart(program, None, effort, self.prover.goes_on, hear)
        if proof.optimal and proof.values is None:
            best = Found(best.values, value)
        return best, proof.work + set_up(program)

    def improved(self, limits: Limits, at_once: int, stop: Event) -> Found:
        """The best that windows come to, once the relaxation is solved."""
        if awaited(self.relaxed, self.full.tell) is None:
            return Found(self.full.task.hint, None)
        return super().improved(limits, at_once, stop)

    def _value(self, values: dict[int, int]) -> int:
        return self.prover.task.goal.value(values)
