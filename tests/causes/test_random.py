"""Random workshops short of one thing: nearly every shortfall of their plans is its fault."""

from typing import Literal

import pytest

from planner.causes import Cause, shortfalls
from planner.draft.draft import draft
from planner.replay import replay
from tests.workshops import random_workshop


@pytest.mark.slow
@pytest.mark.parametrize(
    ("bottleneck", "cause"),
    [
        ("trays", Cause.TRAYS),
        ("moulds", Cause.MOULDS),
        ("hands", Cause.HANDS),
        ("drum", Cause.MATERIAL),
    ],
)
def test_the_scarce_thing_is_named(
    bottleneck: Literal["trays", "moulds", "hands", "drum"], cause: Cause
) -> None:
    workshop = random_workshop(0, bottleneck=bottleneck)
    plan = draft(workshop)
    account = replay(workshop, plan)
    assert account.certified
    causes = [each.cause for each in shortfalls(workshop, plan, account) if each.demand]
    # a plan by rule of thumb may leave room for a batch here and there
    assert len(causes) > 2
    assert causes.count(cause) >= 0.8 * len(causes)
