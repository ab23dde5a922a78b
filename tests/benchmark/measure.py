"""One measured run in a process of its own, so that its peak of memory is its own."""

import json
import subprocess
import sys
import tomllib
from dataclasses import asdict, replace
from datetime import UTC, datetime
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from resource import RUSAGE_SELF, getrusage
from tempfile import TemporaryDirectory

from tests.benchmark.results import Result, Run, from_line, to_line

ROOT = Path(__file__).parent.parent.parent

GRACE = 1800
"""Seconds beyond its limit after which a run is given up."""


def measured(run: Run) -> Result:
    """The result of a run; where it fails or does not end, the fault."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / "result.json"
        command = [sys.executable, "-m", "tests.benchmark.measure", json.dumps(asdict(run))]
        try:
            done = subprocess.run(
                [*command, str(file)],
                cwd=ROOT,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.PIPE,
                text=True,
                timeout=run.seconds + GRACE,
            )
        except subprocess.TimeoutExpired:
            return _stamped(Result(run=run, fault=f"not over {GRACE} s after its limit"))
        if done.returncode or not file.exists():
            last = (done.stderr.strip().splitlines() or ["no word"])[-1]
            return _stamped(Result(run=run, fault=f"ended with {done.returncode}: {last}"))
        return _stamped(from_line(file.read_text(encoding="utf-8")))


def _stamped(result: Result) -> Result:
    """The result with the day and the versions of everything that took part."""
    today = datetime.now(UTC).date().isoformat()
    return replace(result, date=today, version=versions())


def versions() -> str:
    """The planner with the state of its source, if that is known, and the two solvers."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    described = subprocess.run(
        ["git", "describe", "--always", "--dirty"], cwd=ROOT, capture_output=True, text=True
    )
    state = f" ({described.stdout.strip()})" if described.stdout.strip() else ""
    planner = f"{project['name']} {project['version']}{state}"
    return ", ".join([planner, *(f"{name} {_version(name)}" for name in ("ortools", "highspy"))])


def _version(package: str) -> str:
    try:
        return version(package)
    except PackageNotFoundError:
        return "missing"


def _peak_mib() -> float:
    """The most memory that this process ever held.

    On Linux the peak that getrusage tells begins with that of the process that started this one,
    so the kernel is asked for the peak of this program alone. Elsewhere (macOS) it counts bytes.
    """
    status = Path("/proc/self/status")
    if not status.exists():
        return getrusage(RUSAGE_SELF).ru_maxrss / 2**20
    lines = dict(line.split(":", 1) for line in status.read_text().splitlines())
    return int(lines["VmHWM"].split()[0]) / 2**10


def _main(run: Run, file: Path) -> None:
    """The process of one run: only here is anything planned."""
    from tests.benchmark.families import workshop_of
    from tests.benchmark.methods import METHODS

    workshop = workshop_of(run.family, run.case)
    outcome = METHODS[run.method](workshop, run)
    file.write_text(to_line(Result(run=run, outcome=outcome, peak_mib=_peak_mib())), "utf-8")


if __name__ == "__main__":
    _main(Run(**json.loads(sys.argv[1])), Path(sys.argv[2]))
