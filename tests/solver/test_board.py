"""The board keeps the best of each and passes both on."""

from planner.settings import ProgressNote
from planner.solver.board import Board


def note(value: int | None, bound: int | None, left: float = 9.0) -> ProgressNote:
    return ProgressNote(stage="service", value=value, bound=bound, seconds_left=left)


def test_each_note_is_passed_on_with_the_best_value_and_bound_so_far() -> None:
    told: list[ProgressNote] = []
    board = Board(told.append)
    for value, bound in [(None, None), (90, None), (None, 10), (95, 20), (0, 15), (None, -5)]:
        board.hear(note(value, bound))
    assert [(each.value, each.bound) for each in told] == [
        (None, None),
        (90, None),
        (90, 10),
        (90, 20),
        (0, 20),
        (0, 20),
    ]


def test_stage_and_time_are_those_of_the_note() -> None:
    told: list[ProgressNote] = []
    board = Board(told.append)
    board.hear(note(1, 1, left=5.0))
    board.hear(note(2, 0, left=4.0))
    assert told == [note(1, 1, left=5.0), note(1, 1, left=4.0)]


def test_without_a_listener_nothing_is_told() -> None:
    Board(None).hear(note(1, 1))
