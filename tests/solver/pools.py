"""Models small enough to solve by hand, and workshops small enough to solve to the end."""

from random import Random

from ortools.sat.python import cp_model

from planner.draft.draft import draft
from planner.solver.linear import Linear, LinearModel
from planner.solver.matrix import Program, program_of
from planner.solver.model import PlanModel
from planner.solver.task import Limits, Task
from planner.workshop import Workshop
from tests.draft.twists import HARSH, TWISTS
from tests.solver.rows import settled
from tests.solver.solving import valued
from tests.workshops import Bottleneck, random_workshop

BOTTLENECKS: tuple[Bottleneck, ...] = ("none", "trays", "moulds", "drum")
ENOUGH = Limits(work=60, seconds=120, seed=1, workers=1)


class TwoProducts:
    """0 .. 3 batches of a and of b take 2 each of a pool of 7: three in all.

    A batch spares 3 or 5 of a loss of 100, and 1 less if it is not one of a pair. Best are three of
    b, which spare 15 - 1; a pair of b and one of a spare 10 + 2.
    """

    OPTIMUM = 86

    def __init__(self) -> None:
        self.model = LinearModel(1)
        self.goal = Linear(constant=100)
        pool = Linear()
        self.batches: list[cp_model.IntVar] = []
        for name, spares in (("a", 3), ("b", 5)):
            batches = self.model.variable(name, 3, lambda _: 0)
            pairs = self.model.variable(f"pairs of {name}", 1, lambda _: 0)
            single = self.model.variable(f"single {name}", 1, lambda _: 0)
            row = Linear().plus(batches, 1).plus(pairs, -2).plus(single, -1)
            self.model.at_most(row, 0, name)
            self.goal.plus(batches, -spares).plus(single, 1)
            pool.plus(batches, 2)
            self.batches.append(batches)
        with self.model.shared():
            self.model.at_most(pool, 7, "pool")

    @property
    def program(self) -> Program:
        return program_of(self.model, self.goal)


def small_workshop(seed: int) -> Workshop:
    """Two or three products for a month; every other one twisted in two ways."""
    draw = Random(f"{seed}/small")
    workshop = random_workshop(
        seed, products=2 + seed % 2, days=30, bottleneck=BOTTLENECKS[seed % len(BOTTLENECKS)]
    )
    for twist in draw.sample(TWISTS, 2) if seed % 4 < 2 else ():
        workshop = twist(draw, workshop)
        if twist in HARSH:
            workshop = workshop.changed(underway=())
    return valued(workshop)


def service_task(workshop: Workshop, limits: Limits = ENOUGH) -> Task:
    """The service stage's task from the draft on."""
    model = PlanModel(workshop, with_purchases=False)
    hint = model.values_of(settled(workshop, draft(workshop)))
    return Task(stage="service", model=model, goal=model.service, hint=hint, limits=limits)
