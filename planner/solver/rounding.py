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
        packed = variables.packed[key]
        pours = [step.index for step in poured.steps]
        packs = [step.index for step in packed.steps]
        most = min(whole[pours[-1]], whole[packs[-1]]) if packs else 0
        whole[pours] = np.minimum(whole[pours], most)
        whole[packs] = np.minimum(whole[packs], most)
    return tuple(batches_of(variables, whole.tolist().__getitem__))
