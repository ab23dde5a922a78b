"""A search and a proof beside each other: what ends the search, and whose plan counts."""

from collections.abc import Callable
from threading import Event
from time import sleep

import pytest

from planner.solver.closing import Either, closed_in
from planner.solver.linear import Linear, LinearModel
from planner.solver.task import Found

MODEL = LinearModel(1)
X = MODEL.variable("x", 9, lambda _: 0)
MARK = MODEL.variable("mark", 9, lambda _: 0)
GOAL = Linear().plus(X, 1)
PATIENCE = 3000


def found(value: int, bound: int | None = None, mark: int = 0) -> Found:
    """An assignment that costs so much; the mark is of no cost."""
    return Found({X.index: value, MARK.index: mark}, bound)


def until_stopped(stop: Event) -> bool:
    """Look again and again whether a search is to end; False if nobody ends it."""
    for _ in range(PATIENCE):
        if stop.is_set():
            return True
        sleep(0.01)
    return False


def failing() -> Found:
    raise LookupError("a fault")


def closed(
    start: Found, seek: Callable[[Event], Found], prove: Callable[[], Found], stop: Event
) -> Found:
    return closed_in(GOAL, start, seek, prove, stop)


def test_a_complete_proof_ends_the_search_and_counts_before_what_is_as_good() -> None:
    ended: list[bool] = []

    def seek(stop: Event) -> Found:
        ended.append(until_stopped(stop))
        return found(5, mark=1)

    proof = found(5, bound=5, mark=2)
    assert closed(found(7), seek, lambda: proof, Event()) == proof
    assert ended == [True]


def test_where_more_counts_than_the_goal_the_best_by_that_counts() -> None:
    """The mark counts double. A complete proof still counts first: it may have ended the search."""
    measure = Linear().add(GOAL)
    measure.plus(MARK, 2)
    near, far = found(5, mark=0), found(4, bound=3, mark=1)
    closed_by = closed_in(GOAL, found(9), lambda _: near, lambda: far, Event(), measure)
    assert closed_by == Found(near.values, 3)
    complete = found(4, bound=4, mark=1)
    assert closed_in(GOAL, near, lambda _: near, lambda: complete, Event(), measure) == complete


def test_any_other_proof_leaves_the_search_alone_and_counts_only_if_it_is_better() -> None:
    for value, mark in ((4, 2), (5, 1), (6, 1)):
        proven = Event()

        def prove(value: int = value, proven: Event = proven) -> Found:
            proven.set()
            return found(value, bound=3, mark=2)

        def seek(stop: Event, proven: Event = proven) -> Found:
            assert proven.wait(30)
            assert not stop.is_set()
            return found(5, mark=1)

        assert closed(found(7), seek, prove, Event()) == found(min(value, 5), 3, mark)


def test_a_start_that_is_as_good_is_kept_with_the_higher_bound() -> None:
    start = found(5, bound=2, mark=3)
    result = closed(start, lambda _: found(5, mark=1), lambda: found(5, bound=1, mark=2), Event())
    assert result == start


def test_a_stop_is_heard_by_the_search() -> None:
    stop = Event()
    stop.set()
    ended: list[bool] = []

    def seek(stop: Event) -> Found:
        ended.append(until_stopped(stop))
        return found(6)

    assert closed(found(7), seek, lambda: found(7, bound=1), stop) == found(6, 1)
    assert ended == [True]


def test_a_proof_that_fails_ends_the_search_and_is_told() -> None:
    ended: list[bool] = []

    def seek(stop: Event) -> Found:
        ended.append(until_stopped(stop))
        return found(6)

    with pytest.raises(LookupError, match="a fault"):
        closed(found(7), seek, failing, Event())
    assert ended == [True]


def test_a_search_that_fails_is_told_once_the_proof_has_ended() -> None:
    go, done = Event(), Event()

    def prove() -> Found:
        assert go.wait(30)
        done.set()
        return found(5)

    def seek(_: Event) -> Found:
        go.set()
        raise LookupError("a fault")

    with pytest.raises(LookupError, match="a fault"):
        closed(found(7), seek, prove, Event())
    assert done.is_set()


def test_either_of_two_events() -> None:
    first, second = Event(), Event()
    either = Either(first, second)
    assert not either.is_set()
    second.set()
    assert either.is_set()
    assert Either(second, first).is_set()
