from hypothesis import given
from hypothesis import strategies as st

from planner.draft.capacity import HANDS, Free, Take, capacity_of, take, workdays_of
from planner.draft.daysets import ascending
from planner.workshop import Mould, Place, Vessel
from tests.draft.pieces import with_bar
from tests.workshops import tiny


def test_working_days_follow_from_minutes() -> None:
    workdays = workdays_of(tiny(minutes=(0, 10, 0, 0, 5), days=5))
    assert [workdays.after(day) for day in (-1, 0, 1, 2, 4, 5, 9)] == [1, 1, 1, 4, 4, 5, 5]


def test_moulds_and_places_count_in_fillings() -> None:
    workshop = with_bar(max_batches_per_day=2, place="shelf").changed(
        moulds={"block": Mould(id="block", count=4, cavities=10, turns_per_day=3)},
        places={"shelf": Place(id="shelf", moulds=5, turns_per_day=2)},
        vessels={"pot": Vessel(id="pot", count=2, capacity_mg=1, minutes_per_day=300)},
    )
    first = {name: free.amounts[0] for name, free in capacity_of(workshop).items()}
    assert first == {
        HANDS: 480, "vessel pot": 600, "mould block": 12, "place shelf": 10, "tray tray": 10,
        "product bar": 2,
    }  # fmt: skip


def test_what_is_taken_can_be_given_back() -> None:
    free = {HANDS: Free([5, 5, 5])}
    takes = (Take(HANDS, 0, 2, 3),)
    take(free, takes, 1)
    assert free[HANDS].amounts == [2, 2, 5]
    take(free, takes, -1)
    assert free[HANDS].amounts == [5, 5, 5]


@given(
    takes=st.lists(st.tuples(st.integers(0, 7), st.integers(0, 8), st.integers(-4, 4)), max_size=8),
    asked=st.lists(st.integers(-3, 9), max_size=8),
)
def test_the_days_with_enough_follow_what_is_taken(
    takes: list[tuple[int, int, int]], asked: list[int]
) -> None:
    """Whatever is asked for before, between and after, also of a copy."""
    free, others = Free([5] * 8), Free([5] * 8)
    for (first, stop, amount), wanted in zip(takes, asked, strict=False):
        free.enough(wanted)
        free.take(first, stop, amount)
        others = free.copy()
        others.take(0, 8, 1)
    for wanted in range(-4, 10):
        for each in (free, others):
            enough = [day for day, amount in enumerate(each.amounts) if amount >= wanted]
            assert list(ascending(each.enough(wanted))) == enough
