"""The tables into a folder of CSV files, from which the reader makes equal tables again."""

import csv
from collections.abc import Iterable
from pathlib import Path
from tempfile import TemporaryDirectory

from planner.errors import PlannerError
from planner.tables.cells import write_cell
from planner.tables.columns import Row
from planner.tables.rows import Tables
from planner.tables.schema import Table, all_tables

MOST_NAMES = 3
"""Files of a folder that a message names."""


class FolderError(PlannerError):
    """The folder cannot be written as asked; the message says what to do."""


class TablesThereError(FolderError):
    """The folder holds tables and nothing else, and nobody asked to overwrite them."""


def write_folder(tables: Tables, path: Path, overwrite: bool = False) -> None:
    """Write every table with all its columns as UTF-8 CSV; empty tables are a header row.

    The files are written beside the folder first and moved into place together, so the folder is
    never half written. Raises FolderError if the folder holds anything but files of tables, and
    TablesThereError if it holds only these and is not to `overwrite`.
    """
    path = path.resolve()
    _refuse_to_lose(path, overwrite)
    path.parent.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory(prefix=f".{path.name}-", dir=path.parent) as aside:
        written, former = Path(aside, "written"), Path(aside, "former")
        written.mkdir()
        for name, table in all_tables().items():
            _write_table(written / f"{name}.csv", table, getattr(tables, name))
        if path.exists():
            path.rename(former)
        try:
            written.rename(path)
        except OSError:
            if former.exists():
                former.rename(path)
            raise


def _refuse_to_lose(path: Path, overwrite: bool) -> None:
    if not path.exists():
        return
    if not path.is_dir():
        raise FolderError(f"{path} is a file: name a folder")
    held = sorted(entry.name for entry in path.iterdir())
    others = [name for name in held if name not in {f"{table}.csv" for table in all_tables()}]
    if others:
        more = f" and {len(others) - MOST_NAMES} more" if len(others) > MOST_NAMES else ""
        names = f"{', '.join(others[:MOST_NAMES])}{more}"
        raise FolderError(f"{path} holds {names}, which would be lost: name another folder")
    if held and not overwrite:
        raise TablesThereError(f"{path} holds tables: name another folder, or overwrite them")


def _write_table(file: Path, table: Table, rows: Iterable[Row]) -> None:
    names = [column.name for column in table.columns]
    with file.open("w", encoding="utf-8", newline="") as text:
        writer = csv.writer(text, lineterminator="\n")
        writer.writerow(names)
        writer.writerows([write_cell(getattr(row, name)) for name in names] for row in rows)
