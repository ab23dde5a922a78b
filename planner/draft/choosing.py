"""The best of several passes of the list scheduler, each by another rule of thumb."""

from collections.abc import Iterator, Sequence

from planner.draft.choice import Choice, judged
from planner.draft.ranking import Rule, due_day
from planner.draft.schedule import Pass, Schedule, Start

WORK = 12_000
"""Rules times products times days that are tried at most, beyond the first pass."""


def best_pass(start: Start, rules: Sequence[Rule]) -> Choice:
    """The pass that loses least, of equals the first; no more are made once nothing is lost."""
    best = judged(start, Pass(start).run(due_day))
    for schedule in _other_passes(start, rules):
        if not best.sold.loss:
            break
        best = min(best, judged(start, schedule), key=lambda choice: choice.sold.loss)
    return best


def _other_passes(start: Start, rules: Sequence[Rule]) -> Iterator[Schedule]:
    """As many passes as a workshop of this size is worth; of a large one none but the first."""
    passes = WORK // max(1, len(start.askings) * start.bench.workdays.days)
    if passes:
        yield Pass(start).run_backward(due_day)
    for rule in rules[1:][:passes]:
        yield Pass(start).run(rule)
