"""Errors of SQLite and of the disk, said in the words of the person whose file it is."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from planner.errors import StoreError

MESSAGES = {
    sqlite3.SQLITE_NOTADB: "{path} is not a workshop file. Give the name of one.",
    sqlite3.SQLITE_CORRUPT: (
        "{path} is damaged. Keep it as it is and go on with a copy of the latest backup beside it."
    ),
    sqlite3.SQLITE_BUSY: (
        "{path} is in use: another program is writing to it. Let it finish, then try again."
    ),
    sqlite3.SQLITE_LOCKED: (
        "{path} is in use: another program is writing to it. Let it finish, then try again."
    ),
    sqlite3.SQLITE_READONLY: (
        "{path} cannot be written to. Move it into a folder in which you may write files."
    ),
    sqlite3.SQLITE_CANTOPEN: (
        "{path} cannot be opened. It must lie in a folder in which you may write files, "
        "because a journal is kept beside it."
    ),
    sqlite3.SQLITE_FULL: "There is no room left on the disk for {path}. Nothing was changed.",
    sqlite3.SQLITE_IOERR: (
        "{path} could not be read or written: the disk, or the way to it, failed."
    ),
    sqlite3.SQLITE_CONSTRAINT: (
        "{path} refuses a record that breaks its rules ({error}). Nothing was changed."
    ),
}


@contextmanager
def friendly(path: Path) -> Iterator[None]:
    """Turn an error of SQLite or of the disk into a StoreError that says what is wrong.

    SQLite's errors without a code are faults of this program, and pass unchanged.
    """
    try:
        yield
    except sqlite3.Error as error:
        code = getattr(error, "sqlite_errorcode", None)
        if code is None:
            raise
        # The low byte is the kind of error; the rest only says where it came up.
        message = MESSAGES.get(code & 0xFF, "{path} cannot be used as it is ({error}).")
        raise StoreError(message.format(path=path, error=error)) from error
    except OSError as error:
        raise StoreError(f"{path} cannot be used: {error.strerror}.") from error
