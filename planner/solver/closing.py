"""A search and a proof beside each other, which close in on the same goal."""

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor, wait
from threading import Event
from typing import TypeVar

from planner.solver.linear import Linear
from planner.solver.task import Found, better_of

T = TypeVar("T")

SIGN = 0.2
"""Seconds of waiting between two signs of life."""


class Either(Event):
    """Set when one of two events is."""

    def __init__(self, first: Event, second: Event) -> None:
        super().__init__()
        self._events = first, second

    def is_set(self) -> bool:
        """True if either is."""
        return any(event.is_set() for event in self._events)


def closed_in(
    goal: Linear,
    start: Found,
    seek: Callable[[Event], Found],
    prove: Callable[[], Found],
    stop: Event,
    measure: Linear | None = None,
) -> Found:
    """The best of a start, of what a search finds, and of what a proof beside it does.

    The best by the measure, if there is one beside the goal, of which the proof is.

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

    with ThreadPoolExecutor(max_workers=1, thread_name_prefix="beside") as beside:
        proved = beside.submit(proving)
        found = seek(Either(stop, over))
    proof = proved.result()
    if _is_complete(goal, proof):
        return proof
    measure = goal if measure is None else measure
    return better_of(measure, better_of(measure, start, found), proof)


def awaited(future: Future[T], sign: Callable[[], None]) -> T:
    """What comes of something that goes on beside, with signs of life now and then until then."""
    while wait([future], SIGN).not_done:
        sign()
    return future.result()


def _is_complete(goal: Linear, proof: Found) -> bool:
    return proof.bound == goal.value(proof.values)
