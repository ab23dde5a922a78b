"""Copies of a workshop file, taken before its content is replaced."""

import os
import sqlite3
from contextlib import closing
from itertools import count
from pathlib import Path

from planner.store.moments import now


def back_up(path: Path) -> Path:
    """Copy the workshop file at `path` to a new file beside it, and return where that is.

    The copy holds the last committed state, also while another connection is writing. Its name
    carries the moment in UTC: workshop-backup-20260831T071500Z.db beside workshop.db.
    """
    target = _free_name(path)
    unfinished = target.with_name(target.name + ".unfinished")
    # A full name only ever belongs to a full copy.
    try:
        with closing(sqlite3.connect(path)) as source, closing(sqlite3.connect(unfinished)) as copy:
            source.backup(copy)
        os.replace(unfinished, target)
    finally:
        unfinished.unlink(missing_ok=True)
    return target


def _free_name(path: Path) -> Path:
    """The first name that is not taken; a second backup in the same second gets a number."""
    base = f"{path.stem}-backup-{now():%Y%m%dT%H%M%SZ}"
    names = (base if number == 1 else f"{base}-{number}" for number in count(1))
    candidates = (path.with_name(name + path.suffix) for name in names)
    return next(candidate for candidate in candidates if not candidate.exists())
