"""The last pour day for a date: setting and curing counted back over working days."""

from dataclasses import replace

import pytest

from planner.account import Rule
from planner.last_pour import last_pour_day
from planner.plan import Batch, Plan
from planner.replay import replay
from planner.workshop import Product
from tests.workshops import tiny

BAR = tiny().products["bar"]
SAME_DAY = replace(BAR, set_days=0)
LONG = replace(BAR, cure_days=40)


@pytest.mark.parametrize(
    ("product", "day", "pour"),
    [
        # One night and five days: poured Tue 1, unmoulded Wed 2, packed Mon 7, sold Tue 8 Sep.
        (BAR, 8, 1),
        # Poured on Wed 2, unmoulded Thu 3, cured on Tue 8: packed then, one day too late for it.
        (BAR, 9, 2),
        # Thu 3 and Fri 4 are unmoulded on Fri 4 and Mon 7, cured on Wed 9 and Sat 12.
        (BAR, 10, 3),
        (BAR, 14, 3),
        # What is poured on Tue 8 is cured and packed on the same Mon 14 as that of Fri 4.
        (BAR, 15, 8),
        (SAME_DAY, 8, 2),
        (BAR, 7, None),
        (LONG, 29, None),
    ],
)
def test_setting_and_curing_are_counted_back_over_working_days(
    product: Product, day: int, pour: int | None
) -> None:
    assert last_pour_day(tiny(), product, day) == pour


def test_the_replay_agrees_on_the_last_pour_and_on_the_one_after() -> None:
    workshop = tiny()

    def cure_holds(pour: int) -> bool:
        batch = Batch(pour=pour, product="bar", bars=10, unmould=pour + 1, pack=14)
        broken = replay(workshop, Plan(batches=(batch,))).broken
        return all(fault.rule is not Rule.CURE for fault in broken)

    assert last_pour_day(workshop, BAR, 15) == 8
    assert cure_holds(8)
    assert not cure_holds(9)
