"""Work in a thread of its own beside the search: the solvers let other threads run meanwhile.

It is one thread for the whole life of the program, since HiGHS shares one scheduler among all its
runs in a process: they come one after the other.
"""

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor, wait
from threading import Event
from typing import Generic, Self, TypeVar

Result = TypeVar("Result")


_THREAD = ThreadPoolExecutor(max_workers=1, thread_name_prefix="beside")


class Beside(Generic[Result]):
    """Runs a function while the body of its `with` goes on, which ends when both have ended."""

    def __init__(self, work: Callable[[], Result]) -> None:
        self._work = work
        self._future: Future[Result] | None = None

    def __enter__(self) -> Self:
        self._future = _THREAD.submit(self._work)
        return self

    def __exit__(self, *_: object) -> None:
        if self._future is not None:
            wait([self._future])

    @property
    def result(self) -> Result:
        """What the function gave; waits for it. Raises what the function raised."""
        if self._future is None:
            raise AssertionError("nothing was begun")
        return self._future.result()


class Either(Event):
    """Set when one of two events is."""

    def __init__(self, first: Event, second: Event) -> None:
        super().__init__()
        self._events = first, second

    def is_set(self) -> bool:
        """True if either is."""
        return any(event.is_set() for event in self._events)
