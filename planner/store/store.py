"""The workshop file: the maker's tables, the movements of her stock, and the plans made for her."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from types import TracebackType
from typing import Self

from sqlite_utils import Database

from planner.errors import StoreError
from planner.plan import Plan
from planner.store import content, plans
from planner.store.backup import back_up
from planner.store.digest import digest_of
from planner.store.faults import friendly
from planner.store.opening import open_database
from planner.store.plans import PlanRecord, Setting
from planner.tables.rows import Tables
from planner.tables.schema import all_tables


@dataclass(frozen=True, kw_only=True)
class LoadReport:
    """What a load did.

    changed    the tables are others than before; a number written with other digits is the same
    backup     where the former state was copied to; None if there was none, or nothing changed
    rows       rows of each table, by the table's name
    movements  movements that were added, because the count of a lot differs from what was on hand
    digest     the digest of the tables now
    """

    changed: bool
    backup: Path | None
    rows: Mapping[str, int]
    movements: int
    digest: str


class Store:
    """An open workshop file. Close it, or use it in a `with` statement.

    Any number of programs may read a file while one writes. Every method raises StoreError, with
    a message for the maker, if the file cannot be used.
    """

    def __init__(self, path: Path, database: Database) -> None:
        self.path = path
        self._database = database

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the file; closing it again does nothing."""
        self._database.close()

    def holds_tables(self) -> bool:
        """True once tables have been loaded."""
        with friendly(self.path):
            return content.holds_tables(self._database)

    def load(self, tables: Tables, day: date) -> LoadReport:
        """Replace the tables by these, all of them or, if anything fails, none.

        `day` is the day on which the stock was counted. If the file holds other tables already, it
        is copied beside itself first. The tables should be free of errors; what does not fit
        together is refused here too.
        """
        with friendly(self.path), self._database.atomic():
            content.lock(self._database)
            former = self._former_digest()
            content.clear(self._database)
            movements = content.fill(self._database, tables, day)
            written = content.read(self._database)
            digest = digest_of(written)
            # Until the end of this transaction a second connection, such as the backup's, still
            # sees the former state.
            backup = None if former in (None, digest) else back_up(self.path)
        return LoadReport(
            changed=former != digest,
            backup=backup,
            rows={name: len(getattr(written, name)) for name in all_tables()},
            movements=movements,
            digest=digest,
        )

    def _former_digest(self) -> str | None:
        """The digest of the tables in the file; None if it holds none."""
        if not content.holds_tables(self._database):
            return None
        return digest_of(content.read(self._database))

    def tables(self) -> Tables:
        """The tables as they were loaded, with the stock that is on hand; rows count from 2."""
        # One transaction, so that all tables are of the same moment.
        with friendly(self.path), self._database.atomic():
            if not content.holds_tables(self._database):
                raise StoreError(f"{self.path} holds no tables yet. Load a folder of them first.")
            return content.read(self._database)

    def digest(self) -> str:
        """The digest of the tables; a kept plan with another digest is stale."""
        return digest_of(self.tables())

    def save_plan(
        self,
        plan: Plan,
        *,
        first_day: date,
        digest: str,
        solver_version: str,
        seed: int,
        settings: Mapping[str, Setting],
        certified: bool,
    ) -> PlanRecord:
        """Keep a plan beside the earlier ones, with what it was made from; see PlanRecord.

        `digest` is that of the tables it was made from, which may have changed since. Raises
        PlanBroken for a plan that is not certified: none is kept before it passes its replay.
        """
        with friendly(self.path), self._database.atomic():
            return plans.keep_plan(
                self._database,
                plan,
                first_day=first_day,
                digest=digest,
                solver_version=solver_version,
                seed=seed,
                settings=settings,
                certified=certified,
            )

    def latest_plan(self) -> PlanRecord | None:
        """The plan that was kept last; None if there is none."""
        with friendly(self.path):
            return plans.latest_plan(self._database)


def open_store(path: Path | str, create: bool = False, wait_seconds: float = 5.0) -> Store:
    """Open the workshop file at `path`; with `create`, make it if it is missing or empty.

    An older file is brought to the present form, after a copy of it has been made beside it.
    `wait_seconds` is how long to wait for another program that is writing. Raises StoreError if
    the file is missing, empty, damaged, another program's, newer than this program, in use, or
    in a folder that cannot be written to.
    """
    place = Path(path)
    with friendly(place):
        return Store(place, open_database(place, create=create, wait_seconds=wait_seconds))
