"""The least that a plan can cost by what it buys in all, and plans that come near it.

The money goal without the days of purchases is small enough for branch and cut, and for windows
beside it. Each plan that they find is bought for; what that costs day by day is hardly more.
"""

from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass, field
from threading import Event

from planner.plan import Plan
from planner.solver.closing import awaited
from planner.solver.exchange import plan_of
from planner.solver.highs import Effort, Proof
from planner.solver.proving import Prover, branched_apart, set_up
from planner.solver.task import Found, Limits, better_of
from planner.solver.windows import WindowSearch

ENOUGH = 1e-4
"""Share of the value within which a bound is good enough."""

ROOT = 5.0
"""How much more a look at the limits counts for before branch and cut first branches.

Until then it cuts for half a second from one look to the next.
"""

Buy = Callable[[Plan], Plan | None]
"""A plan with purchases that cover what it uses; None if there are none."""


@dataclass(kw_only=True)
class CheapestInAll:
    """Looks for plans by the goal of `prover`, and counts them by that of `full`."""

    prover: Prover
    full: Prover
    buy: Buy
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
                best = self._better(best, found)
            if proof.bound is not None:
                # Beyond the cutoff HiGHS proves nothing: the hint costs no more in all.
                proven = Found(best.values, min(proof.bound, value))
                best = better_of(self.full.task.goal, best, proven)
            self._tell(best)

        proof = branched_apart(program, None, effort, self.prover.goes_on, hear)
        if proof.optimal and proof.values is None:
            best = Found(best.values, value)
        return best, proof.work + set_up(program)

    def improved(self, limits: Limits, stop: Event) -> Found:
        """The best that windows come to, one after the other, once the relaxation is solved."""
        best = Found(self.full.task.hint, None)

        def hear(values: dict[int, int]) -> None:
            nonlocal best
            best = self._better(best, values)
            self._tell(best)

        if awaited(self.relaxed, self.full.tell) is not None:
            windows = WindowSearch(self.prover, limits, 1, stop, hear)
            hear(windows.improved([self.prover.task.hint]).values)
        return best

    def _better(self, best: Found, found: dict[int, int]) -> Found:
        """The best, or what was found in all with purchases, if that costs less."""
        plan = self.buy(plan_of(self.prover.task.model.variables, found.__getitem__))
        bought = None if plan is None else self.full.kept(plan)
        if bought is None:
            return best
        return better_of(self.full.task.goal, best, Found(bought, None))

    def _tell(self, best: Found) -> None:
        self.full.tell(bound=best.bound, value=self.full.task.goal.value(best.values))

    def _value(self, values: dict[int, int]) -> int:
        return self.prover.task.goal.value(values)
