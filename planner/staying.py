"""How much of an earlier plan stays in a new one."""

from collections import Counter
from dataclasses import dataclass

from planner.plan import Plan


@dataclass(frozen=True, kw_only=True)
class Staying:
    """Of so many batches that the earlier plan still had to pour, how many stay as they were."""

    batches: int
    stay: int


def staying(earlier: Plan, plan: Plan) -> Staying:
    """Batches stay if product, size, pour day and pack day are the same; day numbers too."""
    before, now = _batches(earlier), _batches(plan)
    return Staying(batches=before.total(), stay=(before & now).total())


def _batches(plan: Plan) -> "Counter[tuple[str, int, int, int | None]]":
    return Counter(
        (batch.product, batch.bars, batch.pour, batch.pack)
        for batch in plan.batches
        if not batch.in_progress
    )
