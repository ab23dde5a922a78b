"""The tables from a folder of CSV files, one file for each table."""

from pathlib import Path
from typing import Any

from planner.findings import Finding
from planner.tables.columns import Row
from planner.tables.csv_files import read_csv
from planner.tables.headers import suggestion
from planner.tables.records import rows_of
from planner.tables.rows import Tables
from planner.tables.schema import Table, all_tables
from planner.tables.sheets import FaultList, quoted

WORKSHOP_FILE = ".db"
"""How the names of a workshop file and of those that SQLite lays beside it end: workshop.db-wal."""


def read_folder(path: Path) -> tuple[Tables, tuple[Finding, ...]]:
    """All tables in the folder, and all that is wrong or odd in its files.

    Rows with a fault are left out of the tables, so what comes with an error among the findings
    is not the whole workshop. Files whose names begin with a point, workshop files, and files
    that are neither CSV nor named like a table, are no business of this reader.
    """
    if not path.is_dir():
        empty: dict[str, Any] = dict.fromkeys(all_tables(), ())
        return Tables(**empty), tuple(_no_folder(path))
    findings: list[Finding] = []
    files = _files_of(path, findings)
    rows: dict[str, Any] = {}
    for table in all_tables().values():
        faults = FaultList(table.name, files[table.name].name if table.name in files else "")
        rows[table.name] = _rows_in(files.get(table.name), table, faults)
        findings += _in_reading_order(faults.findings, table)
    return Tables(**rows), tuple(findings)


def _no_folder(path: Path) -> list[Finding]:
    faults = FaultList("", path.name)
    found = f"a file {path}" if path.is_file() else f"no folder {path}"
    faults.error(found, "a folder of CSV files", "correct the folder's name")
    return faults.findings


def _files_of(path: Path, findings: list[Finding]) -> dict[str, Path]:
    """The file of each table. Files that are no table are put into `findings`."""
    files: dict[str, Path] = {}
    for file in sorted(path.iterdir()):
        if file.is_file() and not file.name.startswith("."):
            _sort_in(file, files, findings)
    return files


def _sort_in(file: Path, files: dict[str, Path], findings: list[Finding]) -> None:
    name, is_csv = file.stem.casefold(), file.suffix.casefold() == ".csv"
    names = list(all_tables())
    faults = FaultList(name, file.name)
    if file.suffix.casefold().startswith(WORKSHOP_FILE):
        return
    if not is_csv and name in names:
        faults.error(f"a file {quoted(file.suffix)}", "a CSV file", f"save it as {name}.csv")
    elif is_csv and name not in names:
        faults.error(
            f"an unknown table {quoted(file.stem)}",
            f"tables {', '.join(names)}",
            f"{suggestion(name, names)}correct the file's name, or move the file elsewhere",
        )
    elif is_csv and name in files:
        faults.error(
            f"a second file for this table beside {files[name].name}",
            "one file",
            "delete one of the two",
        )
    elif is_csv:
        files[name] = file
    findings += faults.findings


def _in_reading_order(findings: list[Finding], table: Table) -> list[Finding]:
    """By row, and within a row as the columns are defined; what is on a whole row comes first."""
    places = {column.name: place for place, column in enumerate(table.columns, 1)}
    return sorted(findings, key=lambda finding: (finding.row, places.get(finding.column, 0)))


def _rows_in(file: Path | None, table: Table, faults: FaultList) -> tuple[Row, ...]:
    if file is None:
        if table.required:
            faults.error(
                "no such file",
                f"a file {table.name}.csv with one row for each {', '.join(_key_of(table))}",
                "make the file; the workshop for learning the tables has one to copy",
            )
        return ()
    sheet = read_csv(file, table, faults)
    return () if sheet is None else rows_of(sheet, table, faults)


def _key_of(table: Table) -> list[str]:
    return [column.name for column in table.key]
