"""Large neighbourhood search with one worker: most of a plan is kept, a part is planned anew.

A part is a random share of the counts: the others are fixed to the best plan so far, which leaves
each batch a few days to move between them. The share grows while parts are solved to the end and
shrinks where they are not. All draws follow from the seed, so the search repeats.
"""

from collections.abc import Sequence
from random import Random
from threading import Event
from time import monotonic

from ortools.sat.python import cp_model

from planner.settings import Progress, ProgressNote
from planner.solver.linear import Linear, LinearModel
from planner.solver.task import Found, Task
from planner.solver.variables import Variables

LARGEST_IN_PARTS = 60_000
"""Rows and columns up to which parts are planned anew."""

FIRST_FREE = 0.8
"""Share of the counts that is left free in the first part."""

WORK_EACH = 0.1
"""Units of work for one part at the most; more is better spent on another part."""

WORK_TO_SET_UP = 4e-5
"""Units of work that each part counts for besides, for each variable and row of the model."""


def improved_in_parts(task: Task, progress: Progress | None, stop: Event | None) -> Found:
    """The best found from a task's hint on within its limits, without a bound.

    The hint itself where the model is so large that setting up a part takes too long.
    """
    model, limits = task.model, task.limits
    if model.model.size > LARGEST_IN_PARTS:
        return Found(task.hint, None)
    search = NeighbourhoodSearch(
        model.model, model.variables, task.goal, limits.seed, progress, stop
    )
    until = monotonic() + limits.seconds
    return Found(search.improve(task.hint, task.stage, limits.work, until), None)


class NeighbourhoodSearch:
    """Improves an assignment of a model part by part."""

    def __init__(
        self,
        model: LinearModel,
        variables: Variables,
        goal: Linear,
        seed: int,
        progress: Progress | None = None,
        stop: Event | None = None,
    ) -> None:
        self.proto = model.proto.clone()
        self.proto.minimize(goal.expression())
        self.goal = goal
        self.seed = seed
        self.progress = progress
        self.stop = stop
        self.steps = [
            step.index
            for staircase in [*variables.poured.values(), *variables.packed.values()]
            for step in staircase.steps
        ]

    def improve(
        self, values: dict[int, int], stage: str, work: float, until: float
    ) -> dict[int, int]:
        """The best assignment found from `values` on within the work and the clock's limit."""
        best = self.goal.value(values)
        random = Random(self.seed)
        free = FIRST_FREE
        proto = self.proto.proto
        set_up = WORK_TO_SET_UP * (len(proto.variables) + len(proto.constraints))
        while work > 0 and best > 0 and monotonic() < until and not self._stopped():
            kept = [index for index in self.steps if random.random() > free]
            solver = _solver(random.randrange(2**31), until)
            status = solver.solve(self._part(values, kept))
            work -= solver.response_proto.deterministic_time + set_up
            free = _next_free(free, solved=status == cp_model.OPTIMAL)
            if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
                found = dict(enumerate(solver.response_proto.solution))
                reached = self.goal.value(found)
                if reached <= best:
                    best, values = reached, found
            if self.progress is not None:
                left = max(0.0, until - monotonic())
                self.progress(ProgressNote(stage=stage, value=best, bound=None, seconds_left=left))
        return values

    def _stopped(self) -> bool:
        return self.stop is not None and self.stop.is_set()

    def _part(self, values: dict[int, int], kept: Sequence[int]) -> cp_model.CpModel:
        """A copy of the model in which what is kept is fixed and the best plan is the hint."""
        part: cp_model.CpModel = self.proto.clone()
        for index in kept:
            domain = part.proto.variables[index].domain
            domain.clear()
            domain.extend([values[index], values[index]])
        for index, value in values.items():
            part.add_hint(part.get_int_var_from_proto_index(index), value)
        return part


def _next_free(free: float, solved: bool) -> float:
    """More is left free where a part was solved to the end, less where it was not."""
    return min(0.97, free + (1 - free) / 8) if solved else max(0.3, free - (1 - free) / 6)


def _solver(seed: int, until: float) -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.catch_sigint_signal = False
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.symmetry_level = 0
    solver.parameters.max_presolve_iterations = 1
    solver.parameters.linearization_level = 1
    solver.parameters.max_deterministic_time = WORK_EACH
    solver.parameters.max_time_in_seconds = max(0.01, until - monotonic())
    return solver
