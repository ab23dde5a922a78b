"""What is measured: a run, its result, and the file of results, one line of JSON for each."""

import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from pathlib import Path

OUT = Path(__file__).parent / "results.jsonl"
"""Where results are kept unless another file is named."""


@dataclass(frozen=True, kw_only=True, order=True)
class Run:
    """One case planned in one way; `seconds` is the limit, 0 where the way has none."""

    family: str
    case: str
    method: str
    seconds: int = 0
    workers: int = 1

    @property
    def label(self) -> str:
        """The way of planning in words."""
        names = {"list": "list scheduler", "highs": "HiGHS"}
        limit = f" {self.seconds} s" if self.seconds else ""
        crew = f", {self.workers} workers" if self.workers > 1 else ""
        return f"{names.get(self.method, self.method)}{limit}{crew}"


@dataclass(frozen=True, kw_only=True)
class ModelSize:
    """A model as it is handed to a solver, and the seconds that building it took."""

    name: str
    variables: int
    rows: int
    nonzeros: int
    seconds: float


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What one way of planning came to, in thousandths of a minor unit and seconds.

    first_seconds    to the first plan that could be used, and what that one loses
    service_seconds  of the service stage; None without one
    seconds          to the end
    bounds           what is proven; None where nothing is
    """

    first_seconds: float | None = None
    first_service: int | None = None
    service_seconds: float | None = None
    service: int | None = None
    service_bound: int | None = None
    money: int | None = None
    money_bound: int | None = None
    seconds: float = 0.0
    sizes: tuple[ModelSize, ...] = ()
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Result:
    """A run, what it came to, the most memory its processes held, and when, with what and where.

    `fault` says why there is no outcome; `overran` is true if that is because it did not end.
    """

    run: Run
    outcome: Outcome = field(default_factory=Outcome)
    peak_mib: float = 0.0
    date: str = ""
    version: str = ""
    machine: str = ""
    fault: str = ""
    overran: bool = False


def to_line(result: Result) -> str:
    """A result as one line of JSON."""
    return json.dumps(asdict(result), ensure_ascii=False)


def from_line(line: str) -> Result:
    """A result from its line."""
    fields = json.loads(line)
    outcome = fields["outcome"]
    outcome["sizes"] = tuple(ModelSize(**size) for size in outcome["sizes"])
    outcome["remarks"] = tuple(outcome["remarks"])
    return Result(**{**fields, "run": Run(**fields["run"]), "outcome": Outcome(**outcome)})


def read_results(file: Path) -> list[Result]:
    """The results in a file; none if there is no file yet."""
    if not file.exists():
        return []
    return [from_line(line) for line in file.read_text(encoding="utf-8").splitlines() if line]


def append(file: Path, result: Result) -> None:
    """Add a result to the file at once, so that an interrupted measurement can go on."""
    with file.open("a", encoding="utf-8") as lines:
        lines.write(to_line(result) + "\n")


def latest(results: Iterable[Result]) -> dict[Run, Result]:
    """The last result of each run."""
    return {result.run: result for result in results}


def done(results: Iterable[Result]) -> dict[Run, Result]:
    """The last result of each run that need not be tried again.

    One that failed is tried again; one that overran its limit would do so again.
    """
    return latest(result for result in results if result.overran or not result.fault)
