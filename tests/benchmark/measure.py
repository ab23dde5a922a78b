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
from threading import Thread
from time import sleep

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


class Peak:
    """The most memory that this process ever held, and the largest that it began besides.

    On Linux the peak that getrusage tells begins with that of the process that started this one,
    so the kernel is asked for the peak of each program alone, again and again of those besides.
    Elsewhere (macOS, where it counts bytes) those besides are left out.
    """

    def __init__(self) -> None:
        self._besides = 0.0
        Thread(target=self._watch, daemon=True).start()

    @property
    def mib(self) -> float:
        """The peak so far."""
        own = _peak_of("self")
        if own is None:
            return getrusage(RUSAGE_SELF).ru_maxrss / 2**20
        return own + self._besides

    def _watch(self) -> None:
        while True:
            for children in Path("/proc/self/task").glob("*/children"):
                for process in _text(children).split():
                    self._besides = max(self._besides, _peak_of(process) or 0.0)
            sleep(0.1)


def _peak_of(process: str) -> float | None:
    """The most memory of a process in MiB; None if it is gone, or the kernel does not tell."""
    for line in _text(Path("/proc", process, "status")).splitlines():
        if line.startswith("VmHWM:"):
            return int(line.split()[1]) / 2**10
    return None


def _text(file: Path) -> str:
    try:
        return file.read_text(encoding="utf-8")
    except OSError:
        return ""


def _main(run: Run, file: Path) -> None:
    """The process of one run: only here is anything planned."""
    peak = Peak()
    from tests.benchmark.families import workshop_of
    from tests.benchmark.methods import METHODS

    workshop = workshop_of(run.family, run.case)
    outcome = METHODS[run.method](workshop, run)
    file.write_text(to_line(Result(run=run, outcome=outcome, peak_mib=peak.mib)), "utf-8")


if __name__ == "__main__":
    _main(Run(**json.loads(sys.argv[1])), Path(sys.argv[2]))
