"""What is measured: a run, its result, and the file of results, one line of JSON for each."""

import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from pathlib import Path


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

    first_seconds  to the first plan that could be used, and what that one loses
    seconds        to the end
    bounds         what is proven; None where nothing is
    """

    first_seconds: float | None = None
    first_service: int | None = None
    service: int | None = None
    service_bound: int | None = None
    money: int | None = None
    money_bound: int | None = None
    seconds: float = 0.0
    sizes: tuple[ModelSize, ...] = ()
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Result:
    """A run, what it came to, the most memory its process held, and when and with what.

    `fault` says why there is no outcome.
    """

    run: Run
    outcome: Outcome = field(default_factory=Outcome)
    peak_mib: float = 0.0
    date: str = ""
    version: str = ""
    fault: str = ""


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


def read_results(file: Path | None) -> list[Result]:
    """The results in a file; none if there is no file yet."""
    if file is None or not file.exists():
        return []
    return [from_line(line) for line in file.read_text(encoding="utf-8").splitlines() if line]


def append(file: Path | None, result: Result) -> None:
    """Add a result to the file at once, so that an interrupted measurement can go on."""
    if file is not None:
        with file.open("a", encoding="utf-8") as lines:
            lines.write(to_line(result) + "\n")


def done(results: Iterable[Result]) -> dict[Run, Result]:
    """The last result of each run; one that failed is none and is tried again."""
    return {result.run: result for result in results if not result.fault}
