"""Opening a workshop file: is it one, is it ours, is it of this version's form."""

import sqlite3
from pathlib import Path

from sqlite_utils import Database

from planner.errors import StoreError
from planner.store.backup import back_up
from planner.store.migrations import is_current, migrate

# Marks a SQLite file as a workshop's: the letters "bars", in the header of the file.
APPLICATION_ID = 0x62617273


def open_database(path: Path, *, create: bool, wait_seconds: float) -> Database:
    """Connect to the workshop file and bring it to the present form.

    Raises StoreError if the file is missing or empty and not to be created, or is not a workshop
    file, or was made by a newer version. SQLite's own errors pass; see `faults.friendly`.
    """
    _check_place(path, create=create)
    database = _connect(path, create=create, wait_seconds=wait_seconds)
    try:
        _prepare(database, path, create=create)
    except BaseException:
        database.close()
        raise
    return database


def _check_place(path: Path, *, create: bool) -> None:
    if path.is_dir():
        raise StoreError(f"{path} is a folder. Give the name of the workshop file itself.")
    if path.exists():
        return
    if not create:
        raise StoreError(
            f"There is no workshop file {path}. Load a folder of tables into it first."
        )
    if not path.parent.is_dir():
        raise StoreError(f"There is no folder {path.parent}. Make it first, or name another.")


def _connect(path: Path, *, create: bool, wait_seconds: float) -> Database:
    address = f"{path.absolute().as_uri()}?mode={'rwc' if create else 'rw'}"
    connection = sqlite3.connect(address, uri=True, timeout=wait_seconds)
    connection.execute("PRAGMA foreign_keys = ON")
    # Strict, so that the library's own table of steps is strict too; no plugins of other programs.
    return Database(connection, strict=True, execute_plugins=False)


def _prepare(database: Database, path: Path, *, create: bool) -> None:
    is_new = _is_blank(database)
    if is_new and not create:
        raise StoreError(f"{path} is empty. Load a folder of tables into it first.")
    if not is_new and _application_id(database) != APPLICATION_ID:
        raise StoreError(f"{path} belongs to another program. Give the name of a workshop file.")
    database.enable_wal()
    if not is_current(database):
        with database.atomic():
            # Written first: from here on no other program can take the steps as well.
            database.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            if not is_new:
                back_up(path)
            migrate(database)


def _is_blank(database: Database) -> bool:
    """True for a file without content, which SQLite takes for a database without tables."""
    (tables,) = database.execute("SELECT count(*) FROM sqlite_master").fetchone()
    return bool(tables == 0) and _application_id(database) == 0


def _application_id(database: Database) -> int:
    (number,) = database.execute("PRAGMA application_id").fetchone()
    return int(number)
