"""Plans looked for without purchases, which count once something is bought for them.

Without the days of purchases a model is small enough for windows. Only what such a plan comes to
with purchases, in the full model, says how good it is.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from threading import Event

from planner.plan import Plan
from planner.settings import Progress
from planner.solver.exchange import plan_of
from planner.solver.highs import Effort, Proof
from planner.solver.proving import ENDING, Prover, branched_apart, set_up
from planner.solver.task import Found, Limits, Task, better_of
from planner.solver.windows import WindowSearch

Buy = Callable[[Plan], Iterable[Plan]]
"""A plan with purchases that may cover what it uses, in one way or in several; none if none do."""

ENOUGH = 1e-4
"""Share of the value within which a bound is good enough."""

ROOT = 5.0
"""How much more a look at the limits counts for before branch and cut first branches.

Until then it cuts for half a second from one look to the next.
"""


@dataclass(frozen=True, kw_only=True)
class Unbought:
    """A task without purchases, and how to buy for what is found.

    `covers` are those that proved most of what is lost, if that is known: with the loss near to the
    least they prove most of what is spent, too.
    """

    task: Task
    buy: Buy
    covers: Sequence[int] | None = None

    def prover(self, until: float, progress: Progress, stop: Event) -> Prover:
        """Its prover, which tells no values: they are not yet a plan's."""
        return Prover(
            task=self.task,
            until=until,
            progress=lambda note: progress(replace(note, value=None)),
            stop=stop,
        )


@dataclass(kw_only=True)
class UnboughtSearch:
    """Looks for plans by the goal of `prover`, and counts them by that of `full`.

    No plan comes to less by the second than by the first, so what is proven of one holds of both.
    """

    prover: Prover
    full: Prover
    buy: Buy

    def improved(self, limits: Limits, at_once: int, stop: Event) -> Found:
        """The best that windows come to from the hint on, so many at once."""
        best = Found(self.full.task.hint, None)

        def hear(values: dict[int, int]) -> None:
            nonlocal best
            best = self.better(best, values)
            self.tell(best)

        windows = WindowSearch(self.prover, limits, at_once, stop, hear)
        hear(windows.improved([self.prover.task.hint]).values)
        return best

    def proven(self, limits: Limits) -> tuple[Found, float]:
        """What no plan can be below, and the best plan found on the way; the work it took."""
        bound = self._relaxation_bound()
        best = Found(self.full.task.hint, bound)
        if bound is None:
            return best, 0.0
        task, program = self.prover.task, self.prover.branching.program
        value = task.goal.value(task.hint)
        effort = Effort(
            work=limits.work,
            seconds=ENDING * limits.seconds,
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
                # Beyond the cutoff HiGHS proves nothing: the hint comes to no more.
                proven = Found(best.values, min(proof.bound, value))
                best = better_of(self.full.task.goal, best, proven)
            self.tell(best)

        proof = branched_apart(program, None, effort, self.prover.goes_on, hear)
        if proof.optimal and proof.values is None:
            best = Found(best.values, value)
        return best, proof.work + set_up(program)

    def _relaxation_bound(self) -> int | None:
        return self.prover.linear_bound()

    def better(self, best: Found, found: dict[int, int]) -> Found:
        """The best, or what was found with purchases, if that is better in the full model."""
        for plan in self.buy(plan_of(self.prover.task.model.variables, found.__getitem__)):
            bought = self.full.kept(plan)
            if bought is not None:
                best = better_of(self.full.task.goal, best, Found(bought, None))
        return best

    def tell(self, best: Found) -> None:
        """Tell the bound, and what the best comes to with purchases."""
        self.full.tell(bound=best.bound, value=self.full.task.goal.value(best.values))
