"""Bounds on the work of one stage."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Limits:
    """See planner.settings.Settings."""

    work: float
    seconds: float
    seed: int
    workers: int
