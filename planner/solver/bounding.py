"""What relaxations and branch and cut prove, told step by step; for a process of its own."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from planner.solver.decomposition import decomposed_bound
from planner.solver.highs import Proof, branch_and_cut, relaxed
from planner.solver.matrix import Program


@dataclass(frozen=True, kw_only=True)
class Shared:
    """A program and those of its rows that products share."""

    program: Program
    rows: Sequence[int]


@dataclass(frozen=True, kw_only=True)
class Bound:
    """A bound that the program at a place proves."""

    place: int
    bound: int


def bounds(
    tell: Callable[[Bound], None], programs: Sequence[Shared], seconds: float, one_by_one: bool
) -> None:
    """Tell higher and higher bounds from programs that say the same, each more tightly.

    First the linear relaxations, each in the seconds at most. Then, one by one, the products of
    the tightest at its prices: Lagrangian relaxation.
    """
    tightest = None
    for place, shared in enumerate(programs):
        relaxation = relaxed(shared.program, seconds)
        if relaxation is None:
            break
        if tightest is None or relaxation.bound > tightest[1].bound:
            tightest = place, relaxation
            tell(Bound(place=place, bound=relaxation.bound))
    if tightest is not None and one_by_one:
        place, relaxation = tightest
        shared = programs[place]
        bound = decomposed_bound(shared.program, shared.rows, relaxation)
        tell(Bound(place=place, bound=bound))


def branched(
    tell: Callable[[Proof], None],
    program: Program,
    hint: dict[int, int],
    work: float,
    seconds: float,
    seed: int,
) -> None:
    """Tell each better assignment and each bound of branch and cut, and what it comes to."""
    tell(branch_and_cut(program, hint, work, seconds, seed, tell))
