import signal
import threading
from io import StringIO
from typing import Any

import pytest
from rich.console import Console

from planner.account import Account
from planner.plan import Plan
from planner.planning import ProgressNote, Settings
from reports import live
from reports.view import View
from reports.words import Currency

EURO = Currency(code="EUR")


def note(stage: str, value: int | None, bound: int | None) -> ProgressNote:
    return ProgressNote(stage=stage, value=value, bound=bound, seconds_left=41.4)


def test_the_line_says_stage_loss_bound_gap_and_time() -> None:
    assert live.progress_text(note("service", 349_400_000, 294_600_000), EURO) == (
        "service: lost sales and late days EUR 3,494.00, none below EUR 2,946.00, 16 % apart, "
        "41 s left"
    )


def test_before_the_first_plan_and_without_a_bound_less_is_said() -> None:
    assert live.progress_text(note("service", None, None), EURO) == (
        "service: no plan yet, 41 s left"
    )
    assert live.progress_text(note("draft", 100_000, None), EURO) == (
        "draft: lost sales and late days EUR 1.00, 41 s left"
    )
    assert live.progress_text(note("money", 100_000, None), EURO) == (
        "money: cost EUR 1.00, 41 s left"
    )


def test_calm_counts_changes_and_a_loss_of_nothing_has_no_gap() -> None:
    assert live.progress_text(note("calm", 12, 9), EURO) == (
        "calm: changes 12, none below 9, 25 % apart, 41 s left"
    )
    assert "0 % apart" in live.progress_text(note("service", 0, 0), EURO)
    assert live.progress_text(note("calm", None, None), EURO) == (
        "calm: doing things earlier, 41 s left"
    )


def test_a_bound_of_nothing_says_nothing() -> None:
    assert live.progress_text(note("service", 5_000, 0), EURO) == (
        "service: lost sales and late days EUR 0.05, 41 s left"
    )
    assert "none below EUR 0.01, 80 % apart" in live.progress_text(
        note("service", 5_000, 1_000), EURO
    )


class Search:
    """Stands in for the search: reports once, then waits until it is asked to stop."""

    def __init__(self, view: View, interrupts: bool = False) -> None:
        self.view = view
        self.interrupts = interrupts

    def __call__(
        self, workshop: Any, settings: Any, stored: Any, progress: Any, stop: threading.Event
    ) -> tuple[Plan, Account]:
        progress(note("service", 100_000, 50_000))
        if self.interrupts:
            signal.raise_signal(signal.SIGINT)  # what Ctrl-C sends to the program
        assert stop.wait(30)
        return self.view.plan, self.view.account


def console(terminal: bool) -> tuple[Console, StringIO]:
    stream = StringIO()
    return Console(file=stream, force_terminal=terminal, width=100), stream


def test_ctrl_c_asks_the_search_to_stop_and_keeps_its_plan(
    view: View, monkeypatch: pytest.MonkeyPatch
) -> None:
    search = Search(view, interrupts=True)
    monkeypatch.setattr(live, "make_plan", search)
    found = live.find_plan(view.workshop, Settings(), None, console(False)[0])
    assert found.stopped
    assert found.plan == view.plan


def press_while_shown(monkeypatch: pytest.MonkeyPatch, times: int) -> None:
    """Let Ctrl-C be pressed so many times while the line is being written."""
    presses = iter(range(times))

    def show(*_: Any) -> None:
        for _press in presses:
            signal.raise_signal(signal.SIGINT)

    monkeypatch.setattr(live, "_show", show)


def test_ctrl_c_counts_while_the_line_is_being_written(
    view: View, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(live, "make_plan", Search(view))
    press_while_shown(monkeypatch, 1)
    assert live.find_plan(view.workshop, Settings(), None, console(False)[0]).stopped


def test_a_second_ctrl_c_gives_up(view: View, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(live, "make_plan", Search(view))
    press_while_shown(monkeypatch, 2)
    with pytest.raises(KeyboardInterrupt):
        live.find_plan(view.workshop, Settings(), None, console(False)[0])


def test_after_the_search_ctrl_c_is_what_it_was(
    view: View, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = signal.getsignal(signal.SIGINT)
    monkeypatch.setattr(live, "make_plan", Search(view, interrupts=True))
    live.find_plan(view.workshop, Settings(), None, console(False)[0])
    assert signal.getsignal(signal.SIGINT) is before


def test_a_terminal_sees_the_line_and_a_pipe_sees_nothing(
    view: View, monkeypatch: pytest.MonkeyPatch
) -> None:
    for terminal in (True, False):
        monkeypatch.setattr(live, "make_plan", Search(view))
        where, stream = console(terminal)
        seen = live._show

        def show(line: Any, latest: Any, stop: threading.Event, money: Currency) -> None:
            seen(line, latest, stop, money)  # noqa: B023
            if latest is not None:
                stop.set()

        with monkeypatch.context() as patch:
            patch.setattr(live, "_show", show)
            live.find_plan(view.workshop, Settings(), None, where)
        assert ("EUR 1.00" in stream.getvalue()) is terminal


def test_a_fault_in_the_search_comes_out(view: View, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: Any) -> tuple[Plan, Account]:
        raise ValueError("no such rule")

    monkeypatch.setattr(live, "make_plan", broken)
    with pytest.raises(ValueError, match="no such rule"):
        live.find_plan(view.workshop, Settings(), None, console(False)[0])
