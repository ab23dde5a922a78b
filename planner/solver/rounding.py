"""Batches from a relaxation: a guess in whole numbers at what it means by bits of them.

The k-th batch is poured on the day on which the relaxation has poured k - alpha of them, and packed
on the day on which it has packed as much: alpha points. The rules between products are not kept;
a list schedule that follows the batches keeps them.
"""

import numpy as np

from planner.plan import Batch
from planner.solver.exchange import batches_of
from planner.solver.matrix import Floats
from planner.solver.variables import Variables

ALPHAS = 0.1, 0.3, 0.5, 0.7, 0.9

NEARLY = 1e-6
"""What a whole number may lack in floating point."""


def rounded(variables: Variables, values: Floats) -> list[tuple[Batch, ...]]:
    """The batches for each alpha, from values of all of a model's columns."""
    return [_rounded(variables, values, alpha) for alpha in ALPHAS]


def _rounded(variables: Variables, values: Floats, alpha: float) -> tuple[Batch, ...]:
    whole = np.floor(values + alpha + NEARLY).astype(np.int64)
    for key, poured in variables.poured.items():
        pair = [[step.index for step in each.steps] for each in (poured, variables.packed[key])]
        # A relaxation that was not solved exactly may fall a little where it should rise.
        heights = [np.maximum.accumulate(np.maximum(whole[steps], 0)) for steps in pair]
        most = min(int(each[-1]) if len(each) else 0 for each in heights)
        for steps, each in zip(pair, heights, strict=True):
            whole[steps] = np.minimum(each, most)
    return tuple(batches_of(variables, whole.tolist().__getitem__))
