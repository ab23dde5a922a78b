"""How long and in which way to look for a plan, and what is told while looking."""

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Settings:
    """The way a plan is looked for.

    work     limit in the solver's own units of work, the same on every machine; with one worker
             the same tables, day, seed and work give the same plan
    seconds  limit in seconds of the clock; a plan that it cut short may not come out again
    workers  parallel searches; more than one can be faster on several free cores but does not
             repeat
    """

    work: float = 60.0
    seconds: float = 600.0
    seed: int = 1
    workers: int = 1


@dataclass(frozen=True, kw_only=True)
class ProgressNote:
    """A sign of life: the stage, the best value and bound so far, and the seconds left."""

    stage: str
    value: int | None
    bound: int | None
    seconds_left: float


Progress = Callable[[ProgressNote], None]
