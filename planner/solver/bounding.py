"""What relaxations and branch and cut prove, told step by step; for a process of its own."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from planner.solver.between import between
from planner.solver.decomposition import decomposed_bound
from planner.solver.highs import Effort, Proof, branch_and_cut, relaxed
from planner.solver.matrix import Flags, Floats, Program


@dataclass(frozen=True, kw_only=True)
class Shared:
    """A program, those of its rows that products share, and those that whole values keep anyway."""

    program: Program
    rows: Sequence[int]
    implied: Sequence[int] = ()


@dataclass(frozen=True, kw_only=True)
class Bound:
    """A bound that the program at a place proves, and the prices of its rows if it is relaxed."""

    place: int
    bound: int
    prices: Floats | None = None


def bounds(
    tell: Callable[[Bound | None], None],
    programs: Sequence[Shared],
    seconds: float,
    one_by_one: bool,
) -> None:
    """Tell higher and higher bounds from programs that say the same, each more tightly.

    First the linear relaxations, each in the seconds at most. Then, after None has been told, the
    products of the tightest one by one at its prices: Lagrangian relaxation.
    """
    tightest = None
    for place, shared in enumerate(programs):
        relaxation = relaxed(shared.program, seconds)
        if relaxation is None:
            break
        if tightest is None or relaxation.bound > tightest[1].bound:
            tightest = place, relaxation
            tell(Bound(place=place, bound=relaxation.bound, prices=relaxation.duals))
    if tightest is None or not one_by_one:
        return
    place, relaxation = tightest
    shared = programs[place]
    tell(None)
    bound = decomposed_bound(shared.program, shared.rows, relaxation, shared.implied)
    tell(Bound(place=place, bound=bound))


def branched(
    tell: Callable[[Proof], None],
    program: Program,
    hint: dict[int, int] | None,
    effort: Effort,
) -> None:
    """Tell each better assignment and each bound of branch and cut, and what it comes to."""
    tell(branch_and_cut(program, hint, effort, tell))


def branched_between(
    tell: Callable[[Proof], None],
    program: Program,
    hint: dict[int, int],
    effort: Effort,
    counts: Flags,
) -> None:
    """The same where those columns are held between the hint and the relaxation.

    Nothing is told if that is not solved within the seconds.
    """
    narrowed = between(program, hint, counts, effort.seconds)
    if narrowed is not None:
        tell(branch_and_cut(narrowed, hint, effort, tell))
