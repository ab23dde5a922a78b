"""One measured run in a process of its own, so that its peak of memory is its own."""

import json
import os
import platform
import subprocess
import sys
import tomllib
from dataclasses import asdict, replace
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path
from resource import RUSAGE_SELF, getrusage
from tempfile import TemporaryDirectory

from tests.benchmark.results import Result, Run, from_line, to_line

ROOT = Path(__file__).parent.parent.parent

GRACE = 60
"""Seconds beyond its limit after which a run is killed."""

UNTIMED = 600
"""Seconds after which a run without a limit is killed."""


def most_seconds(run: Run) -> int:
    """The seconds after which a run is killed."""
    return run.seconds + GRACE if run.seconds else UNTIMED


def measured(run: Run, most: int | None = None) -> Result:
    """The result of a run; where it fails, or is killed after `most` seconds, the fault.

    The result comes in a file, since solvers write greetings to standard output.
    """
    most = most_seconds(run) if most is None else most
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
                timeout=most,
            )
        except subprocess.TimeoutExpired:
            return _stamped(Result(run=run, fault=f"killed after {most} s", overran=True))
        if done.returncode or not file.exists():
            last = (done.stderr.strip().splitlines() or ["no word"])[-1]
            return _stamped(Result(run=run, fault=f"ended with {done.returncode}: {last}"))
        return _stamped(from_line(file.read_text(encoding="utf-8")))


def _stamped(result: Result) -> Result:
    """The result with the day, the versions of everything that took part, and the machine."""
    today = datetime.now(UTC).date().isoformat()
    return replace(result, date=today, version=versions(), machine=machine())


def machine() -> str:
    """The cores that a run may use, their kind, and the Python."""
    cores = len(os.sched_getaffinity(0)) if sys.platform == "linux" else os.cpu_count()
    system = f"{platform.system()} {platform.machine()}"
    return f"{cores} cores, {system}, Python {platform.python_version()}"


def versions() -> str:
    """The planner with the state of its source, if that is known, and the two solvers."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    state = _git("log", "-1", "--format=%h", "--", "planner")
    changed = ", changed" if _git("status", "--porcelain", "--", "planner") else ""
    source = f" ({state}{changed})" if state else ""
    planner = f"{project['name']} {project['version']}{source}"
    return ", ".join([planner, *(f"{name} {version(name)}" for name in ("ortools", "highspy"))])


def _git(*command: str) -> str:
    """What git says about this tree; nothing where it is no clone, or there is no git."""
    try:
        said = subprocess.run(["git", *command], cwd=ROOT, capture_output=True, text=True)
    except FileNotFoundError:
        return ""
    return said.stdout.strip()


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
