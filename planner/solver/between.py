"""Counts held between those of an assignment and those of the linear relaxation.

A relaxation induced neighbourhood, for whole numbers: where the two agree there is little to gain,
and what a better assignment has is mostly on the way from one to the other. What is left is a
fraction of the program, and most of it is presolved away, while branch and cut of all of it cuts
for seconds before it looks for anything.
"""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from planner.solver.highs import Simplex
from planner.solver.matrix import TOLERANCE, Flags, Floats, Program


def between(
    program: Program, values: Mapping[int, int], counts: Flags, seconds: float
) -> Program | None:
    """The program with those columns between whole values and the relaxation's, rounded outward.

    None if the relaxation takes more than so many seconds.
    """
    try:
        least = Simplex(program, seconds).least(program.lower, program.upper)
    except TimeoutError:
        return None
    if least is None:  # by rounding: the values are feasible
        return None
    _, relaxed = least
    whole: Floats = np.array([values[column] for column in range(program.columns)], np.float64)
    lowest = np.minimum(np.floor(relaxed + TOLERANCE), whole)
    highest = np.maximum(np.ceil(relaxed - TOLERANCE), whole)
    return replace(
        program,
        lower=np.where(counts, np.maximum(program.lower, lowest), program.lower),
        upper=np.where(counts, np.minimum(program.upper, highest), program.upper),
    )
