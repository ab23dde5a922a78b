"""A search and a proof beside each other, which close in on the same goal."""

from collections.abc import Callable
from threading import Event

from planner.solver.beside import Beside, Either
from planner.solver.linear import Linear
from planner.solver.task import Found, better_of


def closed_in(
    goal: Linear,
    start: Found,
    seek: Callable[[Event], Found],
    prove: Callable[[], Found],
    stop: Event,
) -> Found:
    """The best of a start, of what a search finds, and of what a proof beside it does.

    The search ends with its stop, which is also set once the proof is complete or has failed. A
    complete proof's plan counts even if the search found one as good: which of the two was faster
    must not matter. Raises what either of them raised.
    """
    over = Event()

    def proving() -> Found:
        try:
            proof = prove()
        except BaseException:
            over.set()
            raise
        if _is_complete(goal, proof):
            over.set()
        return proof

    with Beside(proving) as beside:
        found = seek(Either(stop, over))
    proof = beside.result
    if _is_complete(goal, proof):
        return proof
    return better_of(goal, better_of(goal, start, found), proof)


def _is_complete(goal: Linear, proof: Found) -> bool:
    return proof.bound == goal.value(proof.values)
