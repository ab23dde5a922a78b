"""Sets of days as whole numbers do what plain sets of days do."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from planner.draft.daysets import (
    all_days,
    ascending,
    days_with,
    descending,
    first_from,
    last_before,
    leads_of,
    runs,
    spread,
)

PLAN = 20
SOME = st.sets(st.integers(0, PLAN - 1))


def whole(days: set[int]) -> int:
    return sum(1 << day for day in days)


def test_flags_and_all_days() -> None:
    assert days_with(np.array([True, False, True])) == 0b101
    assert days_with(np.arange(300) == 299) == 1 << 299
    assert (all_days(0), all_days(3)) == (0, 0b111)


@given(days=SOME)
def test_one_by_one(days: set[int]) -> None:
    assert list(ascending(whole(days))) == sorted(days)
    assert list(descending(whole(days))) == sorted(days, reverse=True)


@given(days=SOME, day=st.integers(0, PLAN + 2))
def test_the_nearest_to_a_day(days: set[int], day: int) -> None:
    later, earlier = [one for one in days if one >= day], [one for one in days if one < day]
    assert first_from(whole(days), day, PLAN) == min(later, default=PLAN)
    assert last_before(whole(days), day) == max(earlier, default=-1)


@given(days=SOME, length=st.integers(0, PLAN + 1))
def test_days_in_a_row(days: set[int], length: int) -> None:
    begun = runs(whole(days), length) & all_days(PLAN)
    joined = spread(whole(days), length)
    assert begun == whole({d for d in range(PLAN) if set(range(d, d + length)) <= days})
    assert joined == whole({day + more for day in days for more in range(length)})


@given(
    later=st.lists(st.integers(0, 6), min_size=PLAN, max_size=PLAN),
    days=SOME,
    stop=st.integers(0, PLAN + 1),
)
def test_where_days_lead(later: list[int], days: set[int], stop: int) -> None:
    """Each day leads so many days on; beyond the stop it leads nowhere."""
    targets = [day + more for day, more in enumerate(later)]
    leads = leads_of(targets, stop)
    led = {day: target for day, target in enumerate(targets) if target < stop}
    assert leads.to(whole(days)) == whole({day for day in led if led[day] in days})
    assert leads.within(whole(days)) == whole(
        {day for day in led if set(range(day, led[day])) <= days}
    )
