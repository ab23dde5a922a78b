"""The benchmark's command: python -m tests.benchmark --help"""

from argparse import ArgumentParser, ArgumentTypeError, Namespace
from collections.abc import Iterator
from pathlib import Path

from tests.benchmark.families import FAMILIES, Case, families_named
from tests.benchmark.highs import HighsMissing, load_highspy
from tests.benchmark.measure import measured
from tests.benchmark.methods import METHODS, TIMED
from tests.benchmark.results import Result, Run, append, done, read_results
from tests.benchmark.table import document


def main() -> None:
    """Measure what was asked for, one run after the other, and print the tables."""
    options = _options()
    runs = list(_runs(options))
    known = done(read_results(options.out))
    missing = [run for run in runs if run not in known]
    todo = f"{len(missing)} of {len(runs)} runs to do"
    print(f"{todo}, {_minutes(missing)} min if all use their time", flush=True)
    for place, run in enumerate(missing, start=1):
        print(f"{place}/{len(missing)} {run.family}, {run.case}, {run.label}", flush=True)
        known[run] = measured(run)
        append(options.out, known[run])
        print(f"    {_told(known[run])}", flush=True)
    print()
    print(document([known[run] for run in runs]))


def _options() -> Namespace:
    parser = ArgumentParser(
        prog="python -m tests.benchmark",
        description="Measures ways to plan on the same workshops and prints tables in Markdown. "
        "Without options everything is measured, which takes hours on a machine that has to do "
        "nothing else meanwhile.",
    )
    parser.add_argument(
        "--families",
        type=_families,
        default=families_named([]),
        metavar="NAMES",
        help=f"families, or how their names begin, such as demo,6x120; of {', '.join(FAMILIES)}",
    )
    parser.add_argument("--first", type=int, metavar="N", help="only N cases of each family")
    parser.add_argument(
        "--methods",
        type=_methods,
        default=list(METHODS),
        metavar="NAMES",
        help=f"some of {','.join(METHODS)}",
    )
    parser.add_argument(
        "--seconds",
        type=_numbers,
        default=[5, 30, 120],
        help=f"limits for {' and '.join(TIMED)} (5,30,120)",
    )
    parser.add_argument(
        "--workers", type=_numbers, default=[1], help="workers of the planner (1), or 1,2 for both"
    )
    parser.add_argument(
        "--out",
        type=Path,
        metavar="FILE",
        help="keep each result there; what is there already is not measured again",
    )
    options = parser.parse_args()
    if "highs" in options.methods:
        try:
            load_highspy()
        except HighsMissing as missing:
            parser.error(f"{missing} (or leave it out: --methods model,list,textbook,planner)")
    return options


def _families(text: str) -> dict[str, tuple[Case, ...]]:
    try:
        return families_named(text.split(","))
    except ValueError as unknown:
        raise ArgumentTypeError(str(unknown)) from unknown


def _methods(text: str) -> list[str]:
    for name in text.split(","):
        if name not in METHODS:
            raise ArgumentTypeError(f"no method {name!r}; there are {', '.join(METHODS)}")
    return text.split(",")


def _numbers(text: str) -> list[int]:
    return [int(number) for number in text.split(",")]


def _runs(options: Namespace) -> Iterator[Run]:
    """All methods of one case stand together, so that they are measured in the same hour."""
    for family, cases in options.families.items():
        for case in cases[: options.first]:
            for method in options.methods:
                if method not in TIMED:
                    yield Run(family=family, case=case.name, method=method)
                    continue
                for workers in options.workers if method == "planner" else [1]:
                    for seconds in options.seconds:
                        yield Run(
                            family=family,
                            case=case.name,
                            method=method,
                            seconds=seconds,
                            workers=workers,
                        )


def _minutes(runs: list[Run]) -> int:
    """Minutes that the limits of all runs come to."""
    return -(-sum(run.seconds for run in runs) // 60)


def _told(result: Result) -> str:
    """One line about a result."""
    outcome = result.outcome
    if result.fault:
        return result.fault
    if outcome.sizes:
        return ", ".join(f"{size.name}: {size.variables} variables" for size in outcome.sizes)
    loss = f"loss {outcome.service} (bound {outcome.service_bound})"
    money = f"money {outcome.money} (bound {outcome.money_bound})"
    return f"{loss}, {money}, {outcome.seconds:.1f} s, {result.peak_mib:.0f} MiB"


if __name__ == "__main__":
    main()
