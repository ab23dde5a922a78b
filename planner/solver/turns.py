"""Pieces of work done some at once, whose results count in the order in which they were begun.

So what comes of them does not depend on which is done first. Where some are done at once, one more
is begun, so that none waits long for another.
"""

from collections import deque
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from typing import Generic, Protocol, Self, TypeVar

from planner.solver.closing import awaited

CORES = 2
"""Pieces done at once, where nothing else goes on."""


class Worked(Protocol):
    """Something that took units of work."""

    @property
    def work(self) -> float:
        """How many."""
        ...


About = TypeVar("About")
Result = TypeVar("Result", bound=Worked)


@dataclass(frozen=True)
class Turn(Generic[About, Result]):
    """A piece that was begun: what it is about, the work it may do, and what comes of it."""

    about: About
    work: float
    result: Future[Result]


class Turns(Generic[About, Result]):
    """Shares out an amount of work, and gives results turn by turn. Threads last as long as it."""

    def __init__(self, work: float, at_once: int) -> None:
        self.work = work
        self.at_once = at_once
        self._begun: deque[Turn[About, Result]] = deque()
        self._threads = ThreadPoolExecutor(at_once, thread_name_prefix="turn")

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._threads.shutdown()

    @property
    def begun(self) -> list[About]:
        """What those are about of which the result has not been taken yet."""
        return [turn.about for turn in self._begun]

    @property
    def has_room(self) -> bool:
        """True if there is work left, and a piece may be begun before another result is taken."""
        most = self.at_once + 1 if self.at_once > 1 else 1
        return self.work > 0 and len(self._begun) < most

    def begin(self, about: About, most: float, do: Callable[[float], Result]) -> None:
        """Begin a piece, which is told how much work it may do: so much at most, of what is left.

        What it takes less is given back when its turn comes.
        """
        work = min(most, self.work)
        self.work -= work / self.at_once
        self._begun.append(Turn(about, work, self._threads.submit(do, work)))

    def next(self, sign: Callable[[], None]) -> tuple[About, Result]:
        """The result of the one begun first, with signs of life until then. Raises what it did."""
        turn = self._begun.popleft()
        result = awaited(turn.result, sign)
        self.work += (turn.work - result.work) / self.at_once
        return turn.about, result
