"""What jobs know of a day's minutes: the steps of a batch, and what no steps can fill."""

import pytest

from planner.draft.bench import empty_bench
from planner.draft.jobs import jobs_of, wasted_minutes
from planner.workshop import Workshop
from tests.draft.pieces import with_bar
from tests.workshops import tiny


@pytest.mark.parametrize(
    ("steps", "wasted"),
    [
        ([], [0, 1, 2, 3, 4, 5, 6, 7, 8]),
        ([3], [0, 1, 2, 0, 1, 2, 0, 1, 2]),
        ([3, 5], [0, 1, 2, 0, 1, 0, 0, 1, 0]),  # 8 = 3 + 5, 7 = 3 + 3 + 1
        ([0, 1, 4], [0] * 9),  # a step without minutes fills nothing
        ([9], [0, 1, 2, 3, 4, 5, 6, 7, 8]),
    ],
)
def test_wasted_are_the_minutes_that_no_steps_fill(steps: list[int], wasted: list[int]) -> None:
    assert list(wasted_minutes(steps, 8)) == wasted


def steps_of(workshop: Workshop) -> tuple[int, ...]:
    bench = empty_bench(workshop)
    return jobs_of(workshop, bench.workdays, bench.pantry).batches["bar"][0].steps


def test_a_batch_is_made_unmoulded_and_packed() -> None:
    assert steps_of(tiny()) == (60, 10, 10)


def test_unmoulded_on_the_same_day_is_one_step_with_making() -> None:
    assert steps_of(with_bar(set_days=0)) == (70, 10)


def test_the_jobs_know_what_their_steps_leave_of_a_day() -> None:
    """Steps of 60 and 10 min: all but the last nine minutes can be filled."""
    bench = empty_bench(tiny())
    wasted = jobs_of(tiny(), bench.workdays, bench.pantry).wasted
    assert len(wasted) == 481
    assert (wasted[480], wasted[475], wasted[9]) == (0, 5, 9)
