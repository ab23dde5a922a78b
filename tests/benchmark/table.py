"""Results as tables in Markdown: every run, the models, and each family in short.

python -m tests.benchmark.table writes them into RESULTS.md.
"""

import re
from argparse import ArgumentParser
from collections.abc import Iterable, Sequence
from pathlib import Path
from statistics import median

from tests.benchmark.families import FAMILIES as CASES
from tests.benchmark.methods import METHODS
from tests.benchmark.results import OUT, Result, latest, read_results
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
    "service stage, s",
    "s in all",
    "peak MiB",
    "version",
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
of the value. Worse is a plan that loses more, or as much for more money (beyond one in a thousand);
HiGHS is compared at the same limit of seconds. Every run has a process of its own; its seconds
begin when the workshop is read and the program loaded."""

RESULTS = OUT.with_name("RESULTS.md")

TITLE = """\
# The benchmark's results

Written by `python -m tests.benchmark.table` from what `python -m tests.benchmark` measured; both
tell more with `--help`. Other machines give other seconds."""


def document(results: Sequence[Result]) -> str:
    """All tables, with dates, versions and machines; rows in the given order."""
    dates = sorted({result.date for result in results})
    made_with = sorted({result.version for result in results})
    machines = sorted({result.machine for result in results})
    parts = [
        f"Measured {', '.join(dates)} with {'; '.join(made_with)}, on {'; '.join(machines)}.",
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
        return [*name, "failed", *[NONE] * (len(RUNS) - 4), _commit(result)]
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
        _seconds(outcome.service_seconds),
        _seconds(outcome.seconds),
        f"{result.peak_mib:.0f}",
        _commit(result),
    ]


def _commit(result: Result) -> str:
    """The planner's commit, which stands in brackets after its version."""
    found = re.search(r"\((\S+)\)", result.version)
    return found[1] if found else NONE


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


def newest(results: Sequence[Result]) -> list[Result]:
    """The last result of each run by the version that measured last, in the families' order."""
    last = results[-1].version
    return in_order(latest(found for found in results if found.version == last).values())


def in_order(results: Iterable[Result]) -> list[Result]:
    """Family by family, case by case, method by method; then the shorter limits first."""
    families, methods = list(CASES), list(METHODS)
    cases = {family: [case.name for case in found] for family, found in CASES.items()}

    def place(result: Result) -> tuple[int, ...]:
        run = result.run
        return (
            families.index(run.family),
            cases[run.family].index(run.case),
            methods.index(run.method),
            run.workers,
            run.seconds,
        )

    return sorted(results, key=place)


def main() -> None:
    """Write the tables of the newest version's results."""
    parser = ArgumentParser(
        prog="python -m tests.benchmark.table",
        description="Writes the results of the version that was measured last as tables.",
    )
    parser.add_argument("--out", type=Path, default=OUT, metavar="FILE", help=f"({OUT.name})")
    parser.add_argument("--to", type=Path, default=RESULTS, metavar="FILE", help="(RESULTS.md)")
    parser.add_argument("--any-version", action="store_true", help="of other versions too")
    options = parser.parse_args()
    results = read_results(options.out)
    if not results:
        parser.error(f"no results in {options.out}")
    chosen = in_order(latest(results).values()) if options.any_version else newest(results)
    options.to.write_text(f"{TITLE}\n\n{document(chosen)}", encoding="utf-8")
    print(f"{options.to}: {len(chosen)} of {len(results)} results")


if __name__ == "__main__":
    main()
