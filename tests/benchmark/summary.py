"""What a family's results come to together: gaps, proofs, and who is worse than whom."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from tests.benchmark.results import Outcome, Result, Run

SAME_MONEY = 1000
"""Money goals that differ by one part in so many count as the same: so much may calm cost."""


@dataclass(frozen=True, kw_only=True)
class Summary:
    """One way of planning over the cases of a family.

    Gaps are shares of the value, None where a case has no bound. `loss` is the sum of all losses,
    in thousandths. `worse` counts the cases in which another way's plan was better: the method's
    name -> cases worse, cases compared.
    """

    family: str
    label: str
    cases: int
    slowest_first: float
    loss: int
    proven: int
    gaps: tuple[float | None, ...]
    money_gaps: tuple[float | None, ...]
    worse: dict[str, tuple[int, int]]


def service_gap(outcome: Outcome) -> float | None:
    """The gap of the service goal; losing nothing needs no proof."""
    return 0.0 if outcome.service == 0 else _gap(outcome.service, outcome.service_bound)


def money_gap(outcome: Outcome) -> float | None:
    """The gap of the money goal."""
    return _gap(outcome.money, outcome.money_bound)


def _gap(value: int | None, bound: int | None) -> float | None:
    """(value - bound) / |value|; None without a bound."""
    if value is None or bound is None:
        return None
    return (value - bound) / max(1, abs(value))


def is_worse(one: Outcome, other: Outcome) -> bool:
    """True if `one` loses more, or as much for more money."""
    if one.service != other.service:
        return (one.service or 0) > (other.service or 0)
    dearest = other.money or 0
    return (one.money or 0) > dearest + abs(dearest) // SAME_MONEY


def summaries(results: Sequence[Result]) -> list[Summary]:
    """A summary for each family and way of planning, in the order of the results."""
    planned = [result for result in results if result.outcome.service is not None]
    groups: dict[tuple[str, str], list[Result]] = {}
    for result in planned:
        groups.setdefault((result.run.family, result.run.label), []).append(result)
    return [_summary(planned, group) for group in groups.values()]


def _summary(planned: Sequence[Result], group: Sequence[Result]) -> Summary:
    outcomes = [result.outcome for result in group]
    gaps = tuple(service_gap(outcome) for outcome in outcomes)
    return Summary(
        family=group[0].run.family,
        label=group[0].run.label,
        cases=len(group),
        slowest_first=max(outcome.first_seconds or 0.0 for outcome in outcomes),
        loss=sum(outcome.service or 0 for outcome in outcomes),
        proven=sum(found == 0 for found in gaps),
        gaps=gaps,
        money_gaps=tuple(money_gap(outcome) for outcome in outcomes),
        worse={
            method: _worse(group, [other for other in planned if other.run.method == method])
            for method in ("highs", "textbook", "list")
            if method != group[0].run.method
        },
    )


def _worse(group: Iterable[Result], others: Sequence[Result]) -> tuple[int, int]:
    pairs = [
        (mine.outcome, other.outcome)
        for mine in group
        for other in others
        if _comparable(mine.run, other.run)
    ]
    return sum(is_worse(mine, other) for mine, other in pairs), len(pairs)


def _comparable(mine: Run, other: Run) -> bool:
    """The same case, and the same limit if both have one."""
    same = (mine.family, mine.case) == (other.family, other.case)
    return same and (mine.seconds == other.seconds or 0 in (mine.seconds, other.seconds))


def over_all(choose: Callable[[list[float]], float], gaps: Sequence[float | None]) -> float | None:
    """The median, or the largest, of the gaps; None if some case has none."""
    known = [gap for gap in gaps if gap is not None]
    return choose(known) if known and len(known) == len(gaps) else None
