"""A task with too few trays, and provers that are ready for windows."""

from threading import Event
from time import monotonic

from planner.solver.proving import Prover
from planner.solver.task import Task
from tests.solver.pools import service_task
from tests.workshops import random_workshop


def prover_of(task: Task) -> Prover:
    """Its relaxation is solved, so that its program is the tight one."""
    prover = Prover(task=task, until=monotonic() + 120, progress=lambda _: None, stop=Event())
    prover.relaxation_bound()
    return prover


def scarce() -> Task:
    """Three products for two months, which need more trays than there are."""
    return service_task(random_workshop(6, products=3, days=60, bottleneck="trays"))
