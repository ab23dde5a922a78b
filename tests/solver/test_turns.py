"""Pieces of work: in order of their beginning, within the work that there is."""

from dataclasses import dataclass
from threading import Event

import pytest

from planner.solver.turns import Turns


@dataclass(frozen=True)
class Done:
    name: str
    work: float


def silent() -> None:
    pass


def test_results_come_in_order_of_their_beginning_not_of_their_end() -> None:
    second_ended = Event()

    def first(work: float) -> Done:
        assert second_ended.wait(30)
        return Done("first", work)

    def second(work: float) -> Done:
        second_ended.set()
        return Done("second", work)

    turns: Turns[int, Done] = Turns(8.0, 2)
    with turns:
        turns.begin(1, 1.0, first)
        turns.begin(2, 1.0, second)
        assert turns.begun == [1, 2]
        assert turns.next(silent) == (1, Done("first", 1.0))
        assert turns.next(silent) == (2, Done("second", 1.0))
        assert turns.begun == []


@pytest.mark.parametrize(("at_once", "most"), [(1, 1), (2, 3), (3, 4)])
def test_beside_several_one_more_is_begun(at_once: int, most: int) -> None:
    turns: Turns[int, Done] = Turns(100.0, at_once)
    with turns:
        begun = 0
        while turns.has_room:
            turns.begin(begun, 1.0, lambda work: Done("some", work))
            begun += 1
        assert begun == most
        turns.next(silent)
        assert turns.has_room


@pytest.mark.parametrize("at_once", [1, 2])
def test_work_that_is_not_done_is_given_back_and_more_counts(at_once: int) -> None:
    """A piece may take some more than it was told: then less is left."""
    turns: Turns[int, Done] = Turns(10.0, at_once)
    with turns:
        turns.begin(1, 6.0, lambda work: Done("less", work - 4.0))
        assert turns.work == 10.0 - 6.0 / at_once
        turns.next(silent)
        assert turns.work == 10.0 - 2.0 / at_once
        turns.begin(2, 100.0, lambda work: Done("all", work + 10.0 * at_once))
        turns.next(silent)
        assert turns.work < 0
        assert not turns.has_room


def test_nobody_is_told_of_more_work_than_there_is() -> None:
    turns: Turns[int, Done] = Turns(3.0, 1)
    with turns:
        turns.begin(1, 5.0, lambda work: Done("some", work))
        assert turns.next(silent) == (1, Done("some", 3.0))


def test_a_fault_is_raised_when_its_turn_comes() -> None:
    def fail(_: float) -> Done:
        raise LookupError("a fault")

    turns: Turns[int, Done] = Turns(3.0, 2)
    with turns:
        turns.begin(1, 1.0, lambda work: Done("some", work))
        turns.begin(2, 1.0, fail)
        turns.next(silent)
        with pytest.raises(LookupError, match="a fault"):
            turns.next(silent)
