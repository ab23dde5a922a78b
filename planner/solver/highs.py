"""HiGHS: linear relaxations, and branch and cut where bounds matter.

Its cutting planes prove much more about these models than CP-SAT does in the same time. One thread
repeats exactly as long as the clock does not end the run.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from planner.solver.matrix import Flags, Floats, Program

LOOK_WORK = 4e-6
"""Units of work between two looks at the limits, for each row and column: 2.6e-6 to 1.4e-5 s."""

PART_GAP, PART_NODES, PART_SECONDS = 1e-4, 500, 120.0
"""A part of a program need not be solved to the last: its bound counts."""

WIDEST = 100_000
"""Amounts in milligrams need not be whole: over such wide domains HiGHS can work without end."""

Watch = Callable[["Proof"], None]
"""Hears each better assignment, and each higher bound, while branch and cut goes on."""


@dataclass(frozen=True, kw_only=True)
class Proof:
    """What a run came to: the best assignment if one was found, and the proven bound if any.

    `optimal` is True if nothing can be better than the assignment by the gap that was asked for,
    or, where there is no assignment, than the cutoff.
    `work` counts the looks at the limits, as units of work.
    """

    values: list[int] | None
    bound: int | None
    optimal: bool
    work: float = 0.0

    def followed_by(self, later: "Proof") -> "Proof":
        """What a run has come to with what it tells later: only what is better."""
        bounds = [bound for bound in (self.bound, later.bound) if bound is not None]
        return Proof(
            values=self.values if later.values is None else later.values,
            bound=max(bounds, default=None),
            optimal=later.optimal,
            work=max(self.work, later.work),
        )


@dataclass(frozen=True, kw_only=True)
class Effort:
    """How far branch and cut goes; a gap in units of the cost, in which the goal is whole.

    An assignment is of use only if it costs less than the cutoff, in the same units. `restarts`
    lets it presolve the program anew once much of it is settled: a proof may come sooner, good
    values do not. Without `heuristics` only the tree finds values. Before the first branch a look
    at the limits counts for so much more work, at the `root`.
    """

    work: float
    seconds: float
    seed: int = 1
    gap: float = 0.0
    cutoff: float = np.inf
    restarts: bool = True
    heuristics: bool = True
    root: float = 1.0


@dataclass(frozen=True, kw_only=True)
class Relaxation:
    """The best of the program without whole numbers: the bound, and the rows' duals."""

    bound: int
    duals: Floats


def relaxed(program: Program, seconds: float) -> Relaxation | None:
    """The linear relaxation by an interior point method; None if it was not given enough time.

    The duals follow HiGHS: negative where more of a row's upper bound would be of use. The bound
    is computed from them, so that it holds though the method sometimes ends before it is exact.
    """
    import highspy

    solver = _solver(highspy, program, seconds, whole=False)
    solver.setOptionValue("solver", "ipm")
    solver.setOptionValue("run_crossover", "off")
    solver.run()
    statuses = highspy.HighsModelStatus
    solution = solver.getSolution()
    duals: Floats = np.array(solution.row_dual)
    ended = solver.getModelStatus() in (statuses.kOptimal, statuses.kUnknown)
    if not ended or not solution.dual_valid or not np.isfinite(duals).all():
        return None
    return Relaxation(bound=program.dual_bound(duals), duals=duals)


class Simplex:
    """The linear relaxation solved again and again between other bounds of some columns.

    Each run goes on from the corner at which the one before it ended. Their times add up.
    """

    def __init__(self, program: Program, seconds: float) -> None:
        import highspy

        self._statuses = highspy.HighsModelStatus
        self._solver = _solver(highspy, program, seconds, whole=False)
        self._columns = np.arange(program.columns, dtype=np.int32)

    def least(self, lower: Floats, upper: Floats) -> tuple[float, Floats] | None:
        """The least cost and where it is; None if nothing is feasible. Raises TimeoutError."""
        self._solver.changeColsBounds(len(self._columns), self._columns, lower, upper)
        self._solver.run()
        status = self._solver.getModelStatus()
        if status == self._statuses.kInfeasible:
            return None
        if status != self._statuses.kOptimal:
            raise TimeoutError(str(status))
        values: Floats = np.array(self._solver.getSolution().col_value)
        return float(self._solver.getInfo().objective_function_value), values


def branch_and_cut(
    program: Program,
    hint: dict[int, int] | None,
    effort: Effort,
    watch: Watch = lambda _: None,
) -> Proof:
    """Branch and cut, from an assignment of all columns on if there is one, within the effort."""
    import highspy

    solver = _solver(highspy, program, effort.seconds, whole=True)
    solver.setOptionValue("random_seed", effort.seed)
    # In units of the cost the goal is whole, so that a gap below one unit is none.
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", max(0.999, effort.gap))
    solver.setOptionValue("mip_allow_restart", effort.restarts)
    # Both were seen to work on for minutes past the limits.
    solver.setOptionValue("mip_heuristic_run_root_reduced_cost", False)
    solver.setOptionValue("mip_heuristic_run_rins", False)
    if not effort.heuristics:
        solver.setOptionValue("mip_heuristic_effort", 0.0)
        solver.setOptionValue("mip_heuristic_run_rens", False)
        solver.setOptionValue("mip_heuristic_run_feasibility_jump", False)
    solver.setOptionValue("objective_bound", effort.cutoff)
    if hint is not None:
        start = highspy.HighsSolution()
        start.col_value = [float(hint[column]) for column in range(program.columns)]
        solver.setSolution(start)

    # HiGHS looks at its limits after the same steps in every run, so that the work repeats.
    look = LOOK_WORK * (program.rows + program.columns)
    work, highest = 0.0, -np.inf

    def heed(event: Any) -> None:
        nonlocal highest, work
        bound = event.data_out.mip_dual_bound
        work += look if event.data_out.mip_node_count else effort.root * look
        if work > effort.work:
            event.interrupt()
        elif highest < bound < np.inf:
            highest = bound
            watch(Proof(values=None, bound=program.bound(bound), optimal=False))

    def hear(event: Any) -> None:
        watch(Proof(values=_whole(event.data_out.mip_solution), bound=None, optimal=False))

    solver.cbMipInterrupt += heed
    solver.cbMipImprovingSolution += hear
    solver.run()
    if _was_misled(highspy, solver, program):
        solver.clearSolver()
        solver.run()
    proof = _proof(highspy, solver, program)
    none = proof.values is None and solver.getModelStatus() == highspy.HighsModelStatus.kInfeasible
    return replace(proof, optimal=proof.optimal or none, work=work)


def least_cost(part: Program, cost: Floats) -> float:
    """The least of another cost for a small program, or a bound below it.

    Minus infinity if it has none in the time it gets, infinity if there is no assignment.
    """
    import highspy

    priced = replace(part, cost=cost)
    solver = _solver(highspy, priced, PART_SECONDS, whole=True)
    solver.setOptionValue("mip_rel_gap", PART_GAP)
    solver.setOptionValue("mip_max_nodes", PART_NODES)
    solver.run()
    if solver.getModelStatus() == highspy.HighsModelStatus.kOptimal and _divisible(part).all():
        # Without whole numbers HiGHS leaves the bound of its branch and cut at nothing.
        return priced.dual_value(np.array(solver.getSolution().row_dual))
    return float(solver.getInfo().mip_dual_bound)


def _whole(values: Any) -> list[int]:
    whole: list[int] = np.rint(values).astype(np.int64).tolist()
    return whole


def _solver(highspy: Any, program: Program, seconds: float, whole: bool) -> Any:
    solver = highspy.Highs()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("time_limit", max(0.01, seconds))
    matrix = linear_program(highspy, program)
    if whole:
        kinds = highspy.HighsVarType
        matrix.integrality_ = [
            kinds.kContinuous if free else kinds.kInteger for free in _divisible(program)
        ]
    if solver.passModel(matrix) == highspy.HighsStatus.kError:
        raise ValueError("HiGHS refused the model")
    return solver


def _divisible(program: Program) -> Flags:
    """The columns that need not be whole: they never have to, or are amounts over wide domains."""
    wide: Flags = program.upper - program.lower > WIDEST
    return program.divisible | wide


def linear_program(highspy: Any, program: Program) -> Any:
    """The program as HiGHS takes it, all columns continuous."""
    matrix = highspy.HighsLp()
    matrix.num_col_, matrix.num_row_ = program.columns, program.rows
    matrix.col_cost_ = program.cost
    matrix.col_lower_, matrix.col_upper_ = program.lower, program.upper
    matrix.row_lower_, matrix.row_upper_ = program.row_lower, program.row_upper
    matrix.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    matrix.a_matrix_.num_col_, matrix.a_matrix_.num_row_ = program.columns, program.rows
    matrix.a_matrix_.start_ = program.starts.astype(np.int32)
    matrix.a_matrix_.index_ = program.indices.astype(np.int32)
    matrix.a_matrix_.value_ = program.values
    return matrix


def _was_misled(highspy: Any, solver: Any, program: Program) -> bool:
    """True if the start counted for less than it costs, so that the run ended too soon.

    HiGHS 1.16 carries a start into its presolved model, where it can come out cheaper than any
    assignment is. The bound then is that false value: too low, but not wrong.
    """
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return False
    cost = float(program.cost @ np.rint(solver.getSolution().col_value))
    return bool(solver.getInfo().objective_function_value < cost - 0.5)


def _proof(highspy: Any, solver: Any, program: Program) -> Proof:
    info = solver.getInfo()
    found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    bound = info.mip_dual_bound
    return Proof(
        values=_whole(solver.getSolution().col_value) if found else None,
        bound=program.bound(bound) if np.isfinite(bound) else None,
        optimal=solver.getModelStatus() == highspy.HighsModelStatus.kOptimal,
    )
