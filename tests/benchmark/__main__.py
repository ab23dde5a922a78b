"""The benchmark's command: python -m tests.benchmark --help"""

from argparse import ArgumentParser, ArgumentTypeError, Namespace
from collections.abc import Iterator
from pathlib import Path

from tests.benchmark.families import FAMILIES, Case, families_named
from tests.benchmark.measure import measured, versions
from tests.benchmark.methods import METHODS, TIMED
from tests.benchmark.results import OUT, Result, Run, append, done, read_results
from tests.benchmark.table import document

FIRST, SECONDS = 2, [5, 30]
"""Cases of each family, and limits: about 25 minutes on two cores."""

EVERY_SECONDS = [5, 30, 120]
"""The limits where everything is measured."""


def main() -> None:
    """Measure what was asked for, one run after the other, and print the tables."""
    options = _options()
    runs = list(_runs(options))
    known = _known(options.out, any_version=options.any_version)
    missing = [run for run in runs if run not in known]
    todo = f"{len(missing)} of {len(runs)} runs to do"
    print(f"{todo}, at most about {_minutes(missing)} min", flush=True)
    for place, run in enumerate(missing, start=1):
        print(f"{place}/{len(missing)} {run.family}, {run.case}, {run.label}", flush=True)
        known[run] = measured(run)
        append(options.out, known[run])
        print(f"    {_told(known[run])}", flush=True)
    print()
    print(document([known[run] for run in runs]))


def _known(out: Path, any_version: bool) -> dict[Run, Result]:
    """The results that are there already; of other versions only if they may count."""
    now = versions()
    return done(found for found in read_results(out) if any_version or found.version == now)


def _options() -> Namespace:
    parser = ArgumentParser(
        prog="python -m tests.benchmark",
        description="Measures ways to plan on the same workshops and prints tables in Markdown. "
        "Without options it takes about 25 minutes on a machine that has to do nothing else "
        "meanwhile. Interrupted, it goes on where it was when started again. Afterwards "
        "python -m tests.benchmark.table writes all results into tests/benchmark/RESULTS.md.",
    )
    parser.add_argument(
        "--all",
        action="store_true",
        help="every case, at 5, 30 and 120 s: hours. --first and --seconds still hold",
    )
    parser.add_argument(
        "--families",
        type=_families,
        default=families_named([]),
        metavar="NAMES",
        help=f"families, or how their names begin, such as demo,6x120; of {', '.join(FAMILIES)}",
    )
    parser.add_argument(
        "--first", type=_positive, metavar="N", help=f"only N cases of each family ({FIRST})"
    )
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
        metavar="LIMITS",
        help=f"limits for {' and '.join(TIMED)} ({','.join(map(str, SECONDS))})",
    )
    parser.add_argument(
        "--workers",
        type=_numbers,
        default=[1],
        metavar="NUMBERS",
        help="workers of the planner (1), or 1,2 for both",
    )
    parser.add_argument(
        "--out",
        type=Path,
        default=OUT,
        metavar="FILE",
        help="where each result is kept; what this version of the planner has there already is not "
        f"measured again ({OUT.name} beside this program)",
    )
    parser.add_argument(
        "--any-version", action="store_true", help="nor what another version has there"
    )
    options = parser.parse_args()
    if not options.all:
        options.first = options.first or FIRST
    options.seconds = options.seconds or (EVERY_SECONDS if options.all else SECONDS)
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
    return [_positive(number) for number in text.split(",")]


def _positive(text: str) -> int:
    if not text.strip().isdecimal() or not int(text):
        raise ArgumentTypeError(f"{text!r} is no whole number above 0")
    return int(text)


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
