"""What the commands do between the workshop file and the reports."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from rich.console import Console

from planner.build import build
from planner.carry_over import carried_over
from planner.causes import shortfalls
from planner.days import day_number
from planner.days import today as today_here
from planner.errors import PlanBroken, StoreError, TablesRefused
from planner.findings import Finding
from planner.planning import Settings
from planner.replay import replay
from planner.staying import staying
from planner.store import LoadReport, PlanRecord, open_store, stale_reasons
from planner.tables.reader import read_folder
from planner.tables.rows import Tables
from planner.tables.writer import FolderError, TablesThereError, write_folder
from planner.wording import date_words
from planner.workshop import Workshop
from reports.live import find_plan
from reports.view import View
from reports.words import Dates

NO_PLAN = "There is no plan in {file} yet. Make one: planner --file {file} plan"
STALE = "Out of date: {reasons}. Plan again: planner --file {file} plan"
TABLES_THERE = (
    "There are tables in {folder} already. Name another folder, or replace them with --overwrite."
)


@dataclass(frozen=True, kw_only=True)
class Checked:
    """Tables, what is wrong or odd in them, and the workshop they make if nothing is wrong."""

    tables: Tables
    findings: tuple[Finding, ...]
    workshop: Workshop | None

    def sound(self, otherwise: str) -> Workshop:
        """The workshop. Raises TablesRefused, with `otherwise`, if the tables hold errors."""
        if self.workshop is None:
            raise TablesRefused(self.findings, otherwise)
        return self.workshop


def check_folder(folder: Path, today: date) -> Checked:
    """Read and check a folder of tables; every finding names its file."""
    tables, findings = read_folder(folder)
    checked = _checked(tables, findings, today)
    return replace(checked, findings=tuple(_with_file(folder, one) for one in checked.findings))


def _with_file(folder: Path, finding: Finding) -> Finding:
    """What was found across tables knows the table only; here it came from a file."""
    file = folder / f"{finding.table}.csv"
    return replace(finding, file=file.name) if not finding.file and file.is_file() else finding


def check_file(file: Path, today: date) -> Checked:
    """Check the tables in a workshop file. Raises StoreError if it holds none."""
    with open_store(file) as store:
        return _checked(store.tables(), (), today)


def _checked(tables: Tables, findings: tuple[Finding, ...], today: date) -> Checked:
    """Records are put together only from rows that could all be read."""
    if any(finding.is_error for finding in findings):
        return Checked(tables=tables, findings=findings, workshop=None)
    workshop, more = build(tables, today)
    return Checked(tables=tables, findings=(*findings, *more), workshop=workshop)


def load(file: Path, folder: Path, today: date) -> tuple[LoadReport, Checked]:
    """Load a folder of tables into a workshop file, made if it is missing.

    Raises TablesRefused, loading nothing, if the tables hold errors.
    """
    checked = check_folder(folder, today)
    checked.sound("nothing was loaded")
    with open_store(file, create=True) as store:
        return store.load(checked.tables, today), checked


def dump(file: Path, folder: Path, overwrite: bool) -> None:
    """Write the tables of a workshop file into a folder of CSV files.

    Raises FolderError if that would overwrite something: anything but tables, or, unless to
    `overwrite`, tables too.
    """
    with open_store(file) as store:
        try:
            write_folder(store.tables(), folder, overwrite)
        except TablesThereError as error:
            raise FolderError(TABLES_THERE.format(folder=folder)) from error


def make_view(
    file: Path, today: date, options: Mapping[str, Any], terminal: Console
) -> tuple[View, bool]:
    """Plan the workshop in a file from `today` on, and keep the plan; True if it was stopped.

    `options` are the fields of the settings that the caller gives. Raises TablesRefused,
    StoreError and PlanBroken.
    """
    settings = Settings(**options)
    with open_store(file) as store:
        digest, former = store.digest(), store.latest_plan()
        checked = _checked(store.tables(), (), today)
        workshop = checked.sound("nothing was planned")
        stored = None if former is None else carried_over(former.plan, _days(former, today))
        found = find_plan(workshop, settings, stored, terminal)
        store.save_plan(
            found.plan,
            first_day=today,
            digest=digest,
            solver_version=_solver_version(),
            seed=settings.seed,
            settings=asdict(settings),
            certified=found.account.certified,
        )
    view = View(
        workshop=workshop,
        plan=found.plan,
        account=found.account,
        shortfalls=shortfalls(workshop, found.plan, found.account),
        findings=checked.findings,
        staying=None if stored is None else staying(stored, found.plan),
    )
    return view, found.stopped


def _days(former: PlanRecord, today: date) -> int:
    """How many days after the first day of a kept plan `today` is."""
    return day_number(former.first_day, today)


def _solver_version() -> str:
    """The versions of both solvers: with another of either, a plan need not come out again."""
    from importlib.metadata import version

    return ", ".join(f"{name} {version(name)}" for name in ("ortools", "highspy"))


def stored_view(file: Path, today: date | None) -> View:
    """The kept plan of a workshop file, executed on the tables as they stand now.

    A plan that is out of date is shown all the same, and says so. Raises StoreError if there is
    no plan, TablesRefused if the tables hold errors.
    """
    with open_store(file) as store:
        record, tables = store.latest_plan(), store.tables()
        if record is None:
            raise StoreError(NO_PLAN.format(file=file))
        reasons = _stale(file, record, store.digest(), today or today_here())
    checked = _checked(tables, (), record.first_day)
    workshop = checked.sound("the plan cannot be shown")
    account = replay(workshop, record.plan)
    if account.broken and not reasons:
        made = date_words(record.first_day)
        raise PlanBroken(f"the kept plan of {made} does not pass its replay")
    return View(
        workshop=workshop,
        plan=record.plan,
        account=account,
        shortfalls=shortfalls(workshop, record.plan, account),
        findings=checked.findings,
        stale=reasons,
    )


def _stale(file: Path, record: PlanRecord, digest: str, today: date) -> tuple[str, ...]:
    reasons = [str(reason) for reason in stale_reasons(record, digest, today)]
    if not reasons:
        return ()
    made = f"made for {Dates(first=today).written(record.first_day)}"
    return (STALE.format(reasons=f"{made}; {' and '.join(reasons)}", file=file),)
