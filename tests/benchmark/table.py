"""Results as tables in Markdown: every run, the models, and each family in short."""

from collections.abc import Sequence
from statistics import median

from tests.benchmark.results import Result
from tests.benchmark.summary import Summary, money_gap, over_all, service_gap, summaries

MAJOR = 100_000
"""Thousandths of a cent in one unit of the currency; all families have cents."""

NONE = "-"

RUNS = (
    "case",
    "method",
    "first plan, s",
    "its loss",
    "loss",
    "bound",
    "gap",
    "money",
    "bound",
    "gap",
    "s in all",
    "peak MiB",
)
MODELS = ("case", "model", "variables", "rows", "nonzeros", "s to build", "peak MiB of both")
FAMILIES = (
    "family",
    "method",
    "cases",
    "slowest first plan, s",
    "loss in all",
    "proven",
    "median gap",
    "widest gap",
    "median money gap",
    "widest money gap",
    "worse than HiGHS",
    "worse than textbook",
    "worse than list scheduler",
)
EXPLAINED = """\
Loss and money are in units of the currency. A gap is what lies between value and bound, as a share
of the value. Worse is a plan that loses more, or as much for more money (beyond one in a thousand,
which the planner may spend on calm); HiGHS is compared at the same limit of seconds."""


def document(results: Sequence[Result]) -> str:
    """All tables, with the dates and versions that they hold for; rows in the given order."""
    dates = sorted({result.date for result in results})
    made_with = sorted({result.version for result in results})
    parts = [
        f"Measured {', '.join(dates)} with {'; '.join(made_with)}.",
        EXPLAINED,
        _titled("In short", FAMILIES, [_short(summary) for summary in summaries(results)]),
        _titled("Every run", RUNS, [_run(r) for r in results if not r.outcome.sizes]),
        _titled("The models", MODELS, [row for r in results for row in _models(r)]),
        _remarks(results),
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def _titled(title: str, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table under its title; nothing where it has no rows. Numbers stand to the right."""
    if not rows:
        return ""
    rule = ["---" if place < 2 else "---:" for place in range(len(heads))]
    lines = [f"| {' | '.join(cells)} |" for cells in (heads, rule, *rows)]
    return "\n".join([f"### {title}", "", *lines])


def _run(result: Result) -> list[str]:
    outcome = result.outcome
    name = [f"{result.run.family}, {result.run.case}", result.run.label]
    if result.fault:
        return [*name, "failed", *[NONE] * (len(RUNS) - 3)]
    return [
        *name,
        _seconds(outcome.first_seconds),
        _money(outcome.first_service),
        _money(outcome.service),
        _money(outcome.service_bound),
        _share(service_gap(outcome)),
        _money(outcome.money),
        _money(outcome.money_bound),
        _share(money_gap(outcome)),
        _seconds(outcome.seconds),
        f"{result.peak_mib:.0f}",
    ]


def _models(result: Result) -> list[list[str]]:
    return [
        [
            f"{result.run.family}, {result.run.case}",
            size.name,
            f"{size.variables:,}",
            f"{size.rows:,}",
            f"{size.nonzeros:,}",
            _seconds(size.seconds),
            f"{result.peak_mib:.0f}",
        ]
        for size in result.outcome.sizes
    ]


def _short(summary: Summary) -> list[str]:
    return [
        summary.family,
        summary.label,
        str(summary.cases),
        _seconds(summary.slowest_first),
        _money(summary.loss),
        str(summary.proven),
        _share(over_all(median, summary.gaps)),
        _share(over_all(max, summary.gaps)),
        _share(over_all(median, summary.money_gaps)),
        _share(over_all(max, summary.money_gaps)),
        *[_of(summary.worse.get(method)) for method in ("highs", "textbook", "list")],
    ]


def _remarks(results: Sequence[Result]) -> str:
    """What went wrong, or gave no better plan, run by run."""
    lines = [
        f"- {result.run.family}, {result.run.case}, {result.run.label}: {remark}"
        for result in results
        for remark in (*result.outcome.remarks, *([result.fault] if result.fault else []))
    ]
    return "\n".join(["### Remarks", "", *lines]) if lines else ""


def _of(counted: tuple[int, int] | None) -> str:
    return f"{counted[0]} of {counted[1]}" if counted and counted[1] else NONE


def _seconds(seconds: float | None) -> str:
    return NONE if seconds is None else f"{seconds:.2f}"


def _money(thousandths: int | None) -> str:
    return NONE if thousandths is None else f"{thousandths / MAJOR:,.2f}"


def _share(share: float | None) -> str:
    return NONE if share is None else f"{100 * share:.2f} %"
