"""Work in a process of its own: its results, its errors, and its end."""

import os
import signal
from collections.abc import Callable
from pathlib import Path
from time import sleep

import pytest

from planner.solver.apart import apart

Tell = Callable[[str], None]


def counted(tell: Callable[[tuple[int, int]], None], most: int) -> None:
    """Each number with the process that counts."""
    os.write(1, b"a word to standard output, as solvers have it")
    for number in range(most):
        tell((number, os.getpid()))


def without_end(tell: Tell, slept: Path) -> None:
    """Leaves a file behind unless it is ended before."""
    tell("begun")
    sleep(60)
    slept.touch()
    tell("slept")


def wrong(tell: Tell, what: str) -> None:
    tell(what)
    raise LookupError(what)


def lost(tell: Tell) -> None:
    tell("here")
    os._exit(3)


def test_results_come_one_by_one_from_another_process() -> None:
    results = list(apart(counted, 3, goes_on=lambda: True))
    assert [number for number, _ in results] == [0, 1, 2]
    (process,) = {process for _, process in results}
    assert process != os.getpid()


def test_a_process_that_has_done_its_work_does_more() -> None:
    first, second = (
        {process for _, process in apart(counted, 2, goes_on=lambda: True)} for _ in range(2)
    )
    assert first == second


def test_one_that_ended_while_it_waited_does_no_more() -> None:
    ((_, process),) = apart(counted, 1, goes_on=lambda: True)
    os.kill(process, signal.SIGKILL)
    sleep(0.2)
    ((number, other),) = apart(counted, 1, goes_on=lambda: True)
    assert number == 0
    assert other != process


def test_one_that_is_not_wanted_any_more_does_no_more(tmp_path: Path) -> None:
    ((_, process),) = apart(counted, 1, goes_on=lambda: True)
    came: list[str] = []
    for result in apart(without_end, tmp_path / "slept", goes_on=lambda: not came):
        came.append(result)
    ((_, other),) = apart(counted, 1, goes_on=lambda: True)
    assert other != process


def test_two_works_at_once_are_done_by_two_processes() -> None:
    first = apart(counted, 2, goes_on=lambda: True)
    _, process = next(first)
    assert process not in {other for _, other in apart(counted, 2, goes_on=lambda: True)}
    assert [number for number, _ in first] == [1]


def test_it_is_ended_when_it_is_not_wanted_any_more(tmp_path: Path) -> None:
    came: list[str] = []
    for result in apart(without_end, tmp_path / "slept", goes_on=lambda: not came):
        came.append(result)
    assert came == ["begun"]
    assert not (tmp_path / "slept").exists()


def test_nothing_begins_that_is_not_wanted() -> None:
    assert list(apart(counted, 3, goes_on=lambda: False)) == []


def test_whoever_turns_away_ends_it(tmp_path: Path) -> None:
    results = apart(without_end, tmp_path / "slept", goes_on=lambda: True)
    assert next(results) == "begun"
    results.close()  # type: ignore[attr-defined]
    assert not (tmp_path / "slept").exists()


def test_it_raises_what_the_work_raised() -> None:
    results = apart(wrong, "nothing there", goes_on=lambda: True)
    assert next(results) == "nothing there"
    with pytest.raises(LookupError, match="nothing there"):
        next(results)


def test_a_process_that_is_lost_tells_no_more() -> None:
    assert list(apart(lost, goes_on=lambda: True)) == ["here"]
