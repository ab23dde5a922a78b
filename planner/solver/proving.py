"""The bounds of a stage by HiGHS: products one by one, and branch and cut where that can pay."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from threading import Event
from time import monotonic

from planner.plan import Plan
from planner.settings import Progress, ProgressNote
from planner.solver.apart import apart
from planner.solver.bounding import bounds, branched, branched_between
from planner.solver.exchange import plan_of
from planner.solver.highs import Effort, Proof
from planner.solver.matrix import Flags, Program, program_of
from planner.solver.task import Found, Limits, Task
from planner.solver.tightening import Tightened, tightenings

WORK_TO_SET_UP = 1e-4
"""Units of work to set a program up in another process, for each row and column."""

ENDING = 0.95
"""Share of its seconds after which branch and cut ends by itself: only in the end it tells what the
whole tree proves, which may have stood still for ten seconds."""

Hear = Callable[[int], bool]
"""Hears the bound of the linear relaxations; tells whether that is enough."""


@dataclass(kw_only=True)
class Prover:
    """Proves bounds for a task until a moment of the clock, and tells of each.

    What has proven most belongs to the program that is branched on.
    """

    task: Task
    until: float
    progress: Progress
    stop: Event
    tightest: Tightened | None = field(init=False, default=None)

    @cached_property
    def program(self) -> Program:
        """The task in arrays."""
        return program_of(self.task.model.model, self.task.goal)

    def prepare(self) -> int:
        """Set the programs up, before a search goes on beside; tells the tightest one's size.

        What calls libraries a thousand times, as this does, waits 5 ms for the search each time.
        """
        return self._tightened[-1].size

    @cached_property
    def _tightened(self) -> list[Tightened]:
        """The program more and more tightly."""
        return tightenings(self.program, self.task.model.model)

    @property
    def branching(self) -> Tightened:
        """The program that is branched on, with all that tightens it."""
        return self.tightest or Tightened(base=self.program, model=self.task.model.model)

    def tighten(self, covers: Sequence[int]) -> None:
        """Branch on the tightest program with these covers only, without its relaxation."""
        self.tightest = self._tightened[-1].only(covers)

    @property
    def size(self) -> int:
        """Rows and columns of the program that is branched on."""
        return self.branching.size

    def linear_bound(self) -> int | None:
        """That of the tightest linear relaxation; None without time."""
        return self._bound(one_by_one=False)

    def relaxation_bound(self, hear: Hear = lambda *_: False) -> int | None:
        """The same, then, if it is not enough, each product by itself at its prices.

        None without time. `hear` is told of the bound in between.
        """
        return self._bound(one_by_one=True, hear=hear)

    def _bound(self, one_by_one: bool, hear: Hear = lambda *_: False) -> int | None:
        """The last that another process proves before it is enough, or the time is over."""
        tightened = self._tightened
        if not one_by_one:  # nothing comes after the relaxations: the quickest of them first
            quickest = Tightened(base=self.program, model=self.task.model.model)
            tightened = [quickest, *tightened]
        programs = [each.shared for each in tightened]
        best: int | None = None
        for told in apart(bounds, programs, self._seconds_left(), one_by_one, goes_on=self.goes_on):
            if told is None:
                if best is not None and hear(best):
                    break
                continue
            best = told.bound
            if told.prices is not None:
                self.tightest = tightened[told.place].reduced(told.prices)
            self.tell(best)
        return best

    @property
    def may_have_spans(self) -> bool:
        """True if taking days together may prove more, once the relaxation is solved."""
        return self._tightened[-1].patterned is not None

    @property
    def has_spans(self) -> bool:
        """True if taking days together proves more."""
        return self.branching.patterned is not None

    def bound_in_spans(self, value: int, limits: Limits) -> int | None:
        """What branch and cut proves with days taken together; at most a value that is known.

        None where nothing is proven.
        """
        program = self.branching.in_spans()
        if program is None:
            return None
        effort = Effort(
            work=limits.work,
            seconds=ENDING * limits.seconds,
            seed=limits.seed,
            cutoff=program.units_below(value),
            restarts=False,
            heuristics=False,
        )

        def hear(proof: Proof) -> None:
            if proof.bound is not None:
                self.tell(min(proof.bound, value))

        proof = branched_apart(program, None, effort, self.goes_on, hear)
        if proof.optimal and proof.values is None:
            return value
        return None if proof.bound is None else min(proof.bound, value)

    def tell(self, bound: int | None = None, value: int | None = None) -> None:
        """Tell a bound, what was found, or only the time that is left."""
        left = self._seconds_left()
        self.progress(
            ProgressNote(stage=self.task.stage, value=value, bound=bound, seconds_left=left)
        )

    def completed(self, values: list[int]) -> list[int] | None:
        """The values as they are, or with all that follows from their decisions in whole numbers.

        The better of the two that keeps every row; None if neither does.
        """
        plan = plan_of(self.task.model.variables, values.__getitem__)
        kept = [each for each in (values, self._values_of(plan)) if self.program.holds(each)]
        return min(kept, key=self._value, default=None)

    def kept(self, plan: Plan) -> dict[int, int] | None:
        """A plan as an assignment; None if it does not keep every row."""
        values = self._values_of(plan)
        return dict(enumerate(values)) if self.program.holds(values) else None

    def without_idle_lots(self, values: list[int]) -> list[int]:
        """The same without the lots of preparations that nothing needs, the last looked at first.

        Where purchases are left out such a lot costs nothing, but what goes into it will.
        """
        plan = plan_of(self.task.model.variables, values.__getitem__)
        for place in reversed(range(len(plan.preparations))):
            lots = plan.preparations[:place] + plan.preparations[place + 1 :]
            fewer = replace(plan, preparations=lots)
            found = self._values_of(fewer)
            if self._value(found) <= self._value(values) and self.program.holds(found):
                plan, values = fewer, found
        return values

    def assignment(self, values: list[int]) -> dict[int, int] | None:
        """The model's own columns of a tighter program's values, completed; None if not a plan."""
        found = self.completed(values[: self.program.columns])
        return None if found is None else dict(enumerate(found))

    def needed(self, values: dict[int, int]) -> Found:
        """An assignment without the lots of preparations that nothing needs."""
        columns = range(self.program.columns)
        fewer = self.without_idle_lots([values[column] for column in columns])
        return Found(dict(enumerate(fewer)), None)

    def _values_of(self, plan: Plan) -> list[int]:
        values = self.task.model.values_of(plan)
        return [values[column] for column in range(self.program.columns)]

    def _value(self, values: list[int]) -> int:
        return self.task.goal.value(dict(enumerate(values)))

    def goes_on(self) -> bool:
        """False once the stop is set or the time is over."""
        return not self.stop.is_set() and self._seconds_left() > 0

    def _seconds_left(self) -> float:
        return max(0.0, self.until - monotonic())


def set_up(program: Program) -> float:
    """Units of work that setting up a program counts for."""
    return WORK_TO_SET_UP * (program.rows + program.columns)


def branched_apart(
    program: Program,
    hint: dict[int, int] | None,
    effort: Effort,
    goes_on: Callable[[], bool],
    hear: Callable[[Proof], None] = lambda _: None,
) -> Proof:
    """What branch and cut in another process has come to when it ends, or is ended.

    `hear` is told of each better assignment and of each bound.
    """
    return _reached(apart(branched, program, hint, effort, goes_on=goes_on), hear)


def branched_between_apart(
    program: Program,
    hint: dict[int, int],
    effort: Effort,
    counts: Flags,
    goes_on: Callable[[], bool],
) -> Proof:
    """The same of what is between the hint's counts and the relaxation's; it proves no bound."""
    proofs = apart(branched_between, program, hint, effort, counts, goes_on=goes_on)
    return replace(_reached(proofs, lambda _: None), bound=None)


def _reached(proofs: Iterator[Proof], hear: Callable[[Proof], None]) -> Proof:
    """What a run comes to that tells so."""
    reached = Proof(values=None, bound=None, optimal=False)
    for proof in proofs:
        reached = reached.followed_by(proof)
        hear(proof)
    return reached
