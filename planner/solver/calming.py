"""The calm stage of a large model: window by window without purchases, then part by part."""

from dataclasses import replace
from threading import Event
from time import monotonic

from planner.settings import Progress
from planner.solver.neighbourhood import improved_in_parts
from planner.solver.proving import Prover
from planner.solver.task import Found, Task
from planner.solver.turns import CORES
from planner.solver.unbought import Unbought, UnboughtSearch

IN_WINDOWS = 0.8
"""Share of the work for windows, which move batches; parts then see to what is bought."""


def calmed(task: Task, bare: Unbought | None, progress: Progress, stop: Event) -> Found:
    """A calmer assignment of the task's model, without a bound; part by part only, if not bare."""
    if bare is None:
        return improved_in_parts(task, progress, stop)
    limits = task.limits
    until = monotonic() + limits.seconds
    full = Prover(task=task, until=until, progress=progress, stop=stop)
    full.tell(value=task.goal.value(task.hint))
    prover = bare.prover(until, progress, stop)
    search = UnboughtSearch(prover=prover, full=full, buy=bare.buy)
    windows = limits.of_step(IN_WINDOWS, 1 - IN_WINDOWS, limits.seconds)
    found = search.improved(windows, CORES, stop)
    rest = limits.of_step(1 - IN_WINDOWS, 0.0, max(0.0, until - monotonic()))
    return improved_in_parts(replace(task, hint=found.values, limits=rest), progress, stop)
