"""The same rules given to HiGHS as a mixed-integer program, from the list scheduler's plan on.

HiGHS is the open solver for such programs that one would take instead of
CP-SAT; the planner itself takes it for bounds. Here it is alone: it gets the planner's own rows,
all columns whole, two threads, and the stages of the planner: service first, then money with no
more lost. All its tolerances are left as they are.
"""

from dataclasses import dataclass, replace
from time import monotonic
from typing import Any

import numpy as np

from planner.draft import draft, purchases_for
from planner.plan import Plan
from planner.solver.exchange import plan_of
from planner.solver.highs import linear_program
from planner.solver.linear import Linear
from planner.solver.matrix import Program, program_of
from planner.solver.model import PlanModel
from planner.workshop import Workshop
from tests.benchmark.judging import Judged, certified, judged

THREADS = 2

SERVICE_SHARE = 0.6
"""Share of the time for the service stage; what it leaves goes to the money stage."""


@dataclass(frozen=True, kw_only=True)
class Solved:
    """The best assignment found, None if none was, and the bound that HiGHS claims; None if none.

    Columns are rounded to whole numbers.
    """

    values: list[int] | None
    bound: int | None
    status: str


@dataclass(frozen=True, kw_only=True)
class HighsAnswer:
    """The best plan, both bounds, the seconds to the first plan and of the service stage, remarks.

    The first plan is the list scheduler's. A remark says why an assignment gave no better plan.
    """

    best: Judged
    first: Judged
    first_seconds: float
    service_seconds: float
    service_bound: int | None
    money_bound: int | None
    remarks: tuple[str, ...]


def minimise(
    program: Program, hint: dict[int, int], seconds: float, threads: int = THREADS
) -> Solved:
    """Solve a program from a value for each column. The first solver greets on standard output."""
    import highspy

    # The planner's runs have one thread; the pool of threads of a process has one size only.
    highspy.Highs.resetGlobalScheduler(True)
    solver = highspy.Highs()  # type: ignore[no-untyped-call]
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", threads)
    solver.setOptionValue("time_limit", max(0.01, seconds))
    solver.setOptionValue("random_seed", 1)
    # In its unit the goal is whole, so that a gap below one unit is none.
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", 0.999)
    # With amounts in milligrams this heuristic was seen to work on for minutes past the limit.
    solver.setOptionValue("mip_heuristic_run_root_reduced_cost", False)
    matrix = linear_program(highspy, program)
    matrix.integrality_ = [highspy.HighsVarType.kInteger] * program.columns
    if solver.passModel(matrix) == highspy.HighsStatus.kError:
        raise ValueError("HiGHS refused the model")
    start = highspy.HighsSolution()
    start.col_value = [float(hint[column]) for column in range(program.columns)]
    solver.setSolution(start)
    solver.run()
    highspy.Highs.resetGlobalScheduler(True)
    return _solved(highspy, solver, program)


def _solved(highspy: Any, solver: Any, program: Program) -> Solved:
    info = solver.getInfo()
    found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    columns = np.rint(solver.getSolution().col_value).astype(np.int64) if found else None
    bound = info.mip_dual_bound
    return Solved(
        values=None if columns is None else columns.tolist(),
        bound=program.bound(bound) if np.isfinite(bound) else None,
        status=solver.modelStatusToString(solver.getModelStatus()),
    )


def highs_plan(workshop: Workshop, seconds: float, threads: int = THREADS) -> HighsAnswer:
    """Service, then money, within so many seconds in all, the planner's models built included."""
    search = _Search(workshop, monotonic() + seconds, threads)
    started = monotonic()
    first = certified(workshop, draft(workshop), "the list scheduler")
    first_seconds = monotonic() - started
    service_started = monotonic()
    best, service_bound = search.service(first)
    service_seconds = monotonic() - service_started
    best, money_bound = search.money(best)
    return HighsAnswer(
        best=best,
        first=first,
        first_seconds=first_seconds,
        service_seconds=service_seconds,
        service_bound=service_bound,
        money_bound=money_bound,
        remarks=tuple(search.remarks),
    )


class _Search:
    """The two stages, with the clock that they share."""

    def __init__(self, workshop: Workshop, until: float, threads: int) -> None:
        self.workshop = workshop
        self.until = until
        self.threads = threads
        self.remarks: list[str] = []

    def service(self, best: Judged) -> tuple[Judged, int | None]:
        """Lose as little as can be; as in the planner, purchases take part only if they must."""
        if best.account.money.service == 0:
            return best, 0
        for with_purchases in (True,) if self.workshop.budgets else (False, True):
            model = PlanModel(self.workshop, with_purchases)
            solved = self._minimise(model, model.service, best, SERVICE_SHARE)
            plan = self._plan(model, solved)
            if plan is not None and not with_purchases:
                plan = self._with_purchases(plan)
                if plan is None:
                    continue
            return self._better(best, plan, "service"), solved.bound
        return best, None

    def money(self, best: Judged) -> tuple[Judged, int | None]:
        """Spend as little as can be without losing more."""
        model = PlanModel(self.workshop, True)
        service = model.service.value(model.values_of(best.plan))
        model.model.at_most(Linear().add(model.service), service, "no more lost")
        solved = self._minimise(model, model.money, best, 1.0)
        return self._better(best, self._plan(model, solved), "money"), solved.bound

    def _minimise(self, model: PlanModel, goal: Linear, best: Judged, share: float) -> Solved:
        started = monotonic()
        program = program_of(model.model, goal)
        # That Python reads the rows one by one is not HiGHS's doing, and costs it no time.
        self.until += monotonic() - started
        seconds = share * (self.until - monotonic())
        solved = minimise(program, model.values_of(best.plan), seconds, self.threads)
        if solved.values is None:
            self.remarks.append(f"no assignment: {solved.status}")
        return solved

    def _plan(self, model: PlanModel, solved: Solved) -> Plan | None:
        if solved.values is None:
            return None
        return plan_of(model.variables, solved.values.__getitem__)

    def _with_purchases(self, plan: Plan) -> Plan | None:
        purchases = purchases_for(self.workshop, plan.batches, plan.preparations)
        return None if purchases is None else replace(plan, purchases=purchases)

    def _better(self, best: Judged, plan: Plan | None, stage: str) -> Judged:
        """The better of two plans; one that breaks a rule is none."""
        if plan is None:
            return best
        found = judged(self.workshop, plan)
        if not found.account.certified:
            broken = found.account.broken[0]
            self.remarks.append(f"{stage}: breaks {broken.rule} on day {broken.day}")
            return best
        return min(best, found, key=lambda choice: choice.rank)
