"""Who imports whom: the contract holds, and what is heavy is loaded only when it is needed."""

import subprocess
import sys
from pathlib import Path

import pytest
from importlinter.cli import EXIT_STATUS_SUCCESS, lint_imports

ROOT = Path(__file__).parent.parent
HEAVY = ["holidays", "numpy", "ortools", "pint", "pydantic", "rich.table", "sqlite_utils"]


def test_the_import_contract_holds(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(ROOT)
    status = lint_imports(config_filename=".importlinter", no_cache=True)
    assert status == EXIT_STATUS_SUCCESS, capsys.readouterr().out


def loaded_by(code: str) -> set[str]:
    """The heavy libraries that a fresh interpreter has loaded after the code."""
    asked = f"{code}\nimport sys; print(*(name for name in {HEAVY} if name in sys.modules))"
    done = subprocess.run(
        [sys.executable, "-c", asked], check=True, capture_output=True, text=True, cwd=ROOT
    )
    return set(done.stdout.split())


def test_help_loads_nothing_heavy() -> None:
    assert loaded_by("import reports.cli") == set()


@pytest.mark.slow
def test_the_watch_for_heavy_libraries_sees_them() -> None:
    assert "numpy" in loaded_by("import planner.planning")
    assert "ortools" not in loaded_by("import planner.planning")
    assert "ortools" in loaded_by("import planner.solver.stages")
