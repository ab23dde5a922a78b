import numpy as np

from planner.draft.capacity import HANDS, Take, capacity_of, next_of, take, workdays_of
from planner.workshop import Mould, Place, Vessel
from tests.draft.pieces import with_bar
from tests.workshops import tiny


def test_next_of_looks_forward_and_ends_with_the_plans_length() -> None:
    assert next_of(np.array([False, True, False, False])).tolist() == [1, 1, 4, 4, 4]


def test_working_days_follow_from_minutes() -> None:
    workdays = workdays_of(tiny(minutes=(0, 10, 0, 0, 5), days=5))
    assert workdays.after(np.array([0, 1, 2, 4, 5, 9])).tolist() == [1, 1, 4, 4, 5, 5]


def test_moulds_and_places_count_in_fillings() -> None:
    workshop = with_bar(max_batches_per_day=2, place="shelf").changed(
        moulds={"block": Mould(id="block", count=4, cavities=10, turns_per_day=3)},
        places={"shelf": Place(id="shelf", moulds=5, turns_per_day=2)},
        vessels={"pot": Vessel(id="pot", count=2, capacity_mg=1, minutes_per_day=300)},
    )
    first = {name: int(amounts[0]) for name, amounts in capacity_of(workshop).items()}
    assert first == {
        HANDS: 480, "vessel pot": 600, "mould block": 12, "place shelf": 10, "tray tray": 10,
        "product bar": 2,
    }  # fmt: skip


def test_what_is_taken_can_be_given_back() -> None:
    free = {HANDS: np.array([5, 5, 5])}
    takes = (Take(HANDS, 0, 2, 3),)
    take(free, takes, 1)
    assert free[HANDS].tolist() == [2, 2, 5]
    take(free, takes, -1)
    assert free[HANDS].tolist() == [5, 5, 5]
