"""Work beside the search: both go on, both end, and what went wrong is said."""

from threading import Event, current_thread

import pytest

from planner.solver.beside import Beside


def test_body_and_work_go_on_at_the_same_time() -> None:
    """Each waits for the other: one after the other neither would end."""
    from_body, from_work = Event(), Event()

    def work() -> bool:
        from_work.set()
        return from_body.wait(10)

    with Beside(work) as beside:
        assert from_work.wait(10)
        from_body.set()
    assert beside.result


def test_the_body_ends_only_when_the_work_has_ended() -> None:
    go, done = Event(), Event()

    def work() -> None:
        go.wait(10)
        done.set()

    with Beside(work):
        go.set()
    assert done.is_set()


def test_it_raises_what_the_work_raised() -> None:
    def work() -> None:
        raise LookupError("nothing there")

    with Beside(work) as beside:
        pass
    with pytest.raises(LookupError, match="nothing there"):
        _ = beside.result


def test_what_the_body_raises_is_raised_once_the_work_has_ended() -> None:
    go, done = Event(), Event()

    def work() -> None:
        go.wait(10)
        done.set()

    def body() -> None:
        go.set()
        raise LookupError("in the body")

    with pytest.raises(LookupError, match="in the body"), Beside(work):
        body()
    assert done.is_set()


def test_it_is_one_thread_all_the_time_and_not_the_callers() -> None:
    names = []
    for _ in range(3):
        with Beside(current_thread) as beside:
            pass
        names.append(beside.result)
    assert len(set(names)) == 1
    assert names[0] is not current_thread()


def test_what_was_not_begun_has_no_result() -> None:
    with pytest.raises(AssertionError, match="nothing was begun"):
        _ = Beside(lambda: 1).result
