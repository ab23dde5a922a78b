"""One run of CP-SAT: a goal, a hint, limits, signs of life. Solver values are read only here."""

from math import ceil
from threading import Event, Thread
from time import monotonic

from ortools.sat.python import cp_model

from planner.settings import Progress, ProgressNote
from planner.solver.task import Found, Limits, Task


class NoPlanFound(Exception):  # noqa: N818 - not an error: the caller keeps what it has
    """The model has no assignment, or none was found within the limits."""

    def __init__(self, proven: bool) -> None:
        self.proven = proven
        super().__init__("no plan exists" if proven else "no plan was found in time")


class _Watch(cp_model.CpSolverSolutionCallback):
    """Remembers the best value and bound for the progress notes."""

    def __init__(self) -> None:
        super().__init__()
        self.best: int | None = None
        self.bound: int | None = None

    def on_solution_callback(self) -> None:
        self.best = round(self.objective_value)
        self.bound = ceil(self.best_objective_bound - 1e-6)


def minimise(task: Task, progress: Progress | None = None, stop: Event | None = None) -> Found:
    """Minimise a goal from a hint of all variables; the model is as before. Raises NoPlanFound."""
    proto = task.model.model.proto.clone()
    proto.minimize(task.goal.expression())
    for index, value in sorted(task.hint.items()):
        proto.add_hint(proto.get_int_var_from_proto_index(index), value)
    solver = _solver(task.limits)
    watch = _Watch()
    with _Ticker(solver, watch, task.stage, task.limits.seconds, progress, stop):
        status = solver.solve(proto, watch)
    if status == cp_model.MODEL_INVALID:
        raise AssertionError(proto.validate())
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise NoPlanFound(proven=status == cp_model.INFEASIBLE)
    values = dict(enumerate(solver.response_proto.solution))
    bound = min(task.goal.value(values), ceil(solver.best_objective_bound - 1e-6))
    return Found(values, bound)


def improved_at_once(task: Task, progress: Progress | None, stop: Event | None) -> Found:
    """What one run finds within the limits: the hint without a bound if it finds nothing in time.

    Raises NoPlanFound if there is no plan at all.
    """
    try:
        return minimise(task, progress, stop)
    except NoPlanFound as nothing:
        if nothing.proven:
            raise
        return Found(task.hint, None)


def _solver(limits: Limits) -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = limits.workers
    solver.parameters.random_seed = limits.seed
    solver.parameters.max_time_in_seconds = max(limits.seconds, 0.01)
    if limits.workers == 1:
        solver.parameters.max_deterministic_time = limits.work
    # Ctrl-C belongs to the command line, which stops all stages, not to one run of the solver.
    solver.parameters.catch_sigint_signal = False
    # One worker alone profits from the full linear relaxation: every rule is linear.
    solver.parameters.linearization_level = 2
    return solver


class _Ticker:
    """While a solve runs: a progress note twice a second, and a look at the stop event."""

    def __init__(
        self,
        solver: cp_model.CpSolver,
        watch: _Watch,
        stage: str,
        seconds: float,
        progress: Progress | None,
        stop: Event | None,
    ) -> None:
        self._solver = solver
        self._watch = watch
        self._stage = stage
        self._until = monotonic() + seconds
        self._progress = progress
        self._stop = stop
        self._over = Event()
        self._thread = Thread(target=self._run, daemon=True)
        solver.best_bound_callback = self._note_bound

    def __enter__(self) -> None:
        self._thread.start()

    def __exit__(self, *_: object) -> None:
        self._over.set()
        self._thread.join()

    def _note_bound(self, bound: float) -> None:
        self._watch.bound = ceil(bound - 1e-6)

    def _run(self) -> None:
        while not self._over.wait(0.2):
            if self._stop is not None and self._stop.is_set():
                self._solver.stop_search()
            if self._progress is not None:
                self._progress(
                    ProgressNote(
                        stage=self._stage,
                        value=self._watch.best,
                        bound=self._watch.bound,
                        seconds_left=max(0.0, self._until - monotonic()),
                    )
                )
