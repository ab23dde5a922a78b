"""The search for a plan while somebody watches: a live line on the terminal, and Ctrl-C to stop.

The search runs in a thread of its own, so that Ctrl-C reaches this program at once: the first one
asks the search to end with the best plan it has.
"""

import signal
import threading
from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from concurrent.futures import TimeoutError as NotYet
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass
from fractions import Fraction

from rich.console import Console
from rich.live import Live
from rich.text import Text

from planner.account import Account
from planner.plan import Plan
from planner.planning import ProgressNote, Settings, make_plan
from planner.workshop import Workshop
from reports.words import Currency, percent_text

STEP = 0.2
"""Seconds between two looks at the search."""
WAITING = "looking for a first plan"
STOPPING = "stopping: the best plan so far is kept"
STOPPED = "Stopped by Ctrl-C: this is the best plan found until then."
MONEY_GOALS = {
    "draft": "lost sales and late days",
    "service": "lost sales and late days",
    "money": "cost",
}


@dataclass(frozen=True, kw_only=True)
class Found:
    """A plan, its account, and whether the search was stopped from the keyboard."""

    plan: Plan
    account: Account
    stopped: bool


class Watch:
    """Holds the latest note of the search; the search writes it, the terminal reads it."""

    def __init__(self) -> None:
        self.note: ProgressNote | None = None

    def __call__(self, note: ProgressNote) -> None:
        """Take the place of the note before."""
        self.note = note


def find_plan(
    workshop: Workshop, settings: Settings, stored: Plan | None, terminal: Console
) -> Found:
    """Make a plan; on a terminal show how it goes. Raises PlanBroken.

    A first Ctrl-C ends the search and keeps the best plan, a second one gives up
    (KeyboardInterrupt).
    """
    watch, stop = Watch(), threading.Event()
    money = Currency(code=workshop.currency, digits=workshop.currency_digits)
    with _ctrl_c_sets(stop), ThreadPoolExecutor(max_workers=1) as pool:
        search = pool.submit(make_plan, workshop, settings, stored, watch, stop)
        with _line(terminal) as live:
            while not _is_over(search):
                _show(live, watch.note, stop, money)
        plan, account = search.result()
    return Found(plan=plan, account=account, stopped=stop.is_set())


def _line(terminal: Console) -> "Live | nullcontext[None]":
    if not terminal.is_terminal:
        return nullcontext()
    return Live(Text(WAITING), console=terminal, transient=True, auto_refresh=False)


@contextmanager
def _ctrl_c_sets(stop: threading.Event) -> Iterator[None]:
    """While inside, the first Ctrl-C sets `stop` and interrupts nothing; the next one does."""

    def note(*_: object) -> None:
        if stop.is_set():
            raise KeyboardInterrupt
        stop.set()

    before = signal.signal(signal.SIGINT, note)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _is_over(search: "Future[tuple[Plan, Account]]") -> bool:
    """Wait a moment for the search; False if it goes on. What it raised is left for later."""
    try:
        search.exception(timeout=STEP)
    except NotYet:
        return False
    return True


def _show(
    live: Live | None, note: ProgressNote | None, stop: threading.Event, money: Currency
) -> None:
    if live is None:
        return
    words = WAITING if note is None else progress_text(note, money)
    live.update(Text(f"{words}; {STOPPING}" if stop.is_set() else words), refresh=True)


def progress_text(note: ProgressNote, money: Currency) -> str:
    """One line: stage, reached so far, bound, gap and seconds left.

    A bound of nothing is left out until it is reached: it is known without any search.
    """
    value, bound = note.value, note.bound
    parts = [f"{note.stage}: {_reached(note, money)}"]
    if value is not None and bound is not None and (bound > 0 or bound == value):
        parts.append(f"none below {_value(note, bound, money)}")
        parts.append(f"{_gap(value, bound)} apart")
    parts.append(f"{max(0, round(note.seconds_left))} s left")
    return ", ".join(parts)


def _reached(note: ProgressNote, money: Currency) -> str:
    if note.value is None:
        return "no plan yet" if note.stage in MONEY_GOALS else "doing things earlier"
    return f"{MONEY_GOALS.get(note.stage, 'changes')} {_value(note, note.value, money)}"


def _value(note: ProgressNote, value: int, money: Currency) -> str:
    return money.text_thousandths(value) if note.stage in MONEY_GOALS else f"{value:,}"


def _gap(value: int, bound: int) -> str:
    return percent_text(Fraction(0) if value == 0 else Fraction(value - bound, abs(value)))
