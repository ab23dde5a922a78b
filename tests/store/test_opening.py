import os
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from planner.errors import StoreError
from planner.store import open_store
from planner.store.migrations import STEPS
from tests.store.samples import DAY, TABLES, filled

ORDINARY_USER = 65534


def test_a_missing_file_is_not_made_unless_asked(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match=r"There is no workshop file .*nowhere.db"):
        open_store(tmp_path / "nowhere.db")
    assert list(tmp_path.iterdir()) == []


def test_a_file_in_a_missing_folder_is_not_made(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="There is no folder"):
        open_store(tmp_path / "nowhere" / "workshop.db", create=True)


def test_a_folder_is_no_workshop_file(tmp_path: Path) -> None:
    for create in (False, True):
        with pytest.raises(StoreError, match="is a folder"):
            open_store(tmp_path, create=create)


def test_an_empty_file_is_said_to_be_empty_and_can_be_filled(tmp_path: Path) -> None:
    path = tmp_path / "workshop.db"
    path.touch()
    with pytest.raises(StoreError, match="is empty"):
        open_store(path)
    assert path.stat().st_size == 0
    with open_store(path, create=True) as store:
        store.load(TABLES, DAY)
        assert store.tables() == TABLES


def test_a_file_without_tables_says_so(tmp_path: Path) -> None:
    path = tmp_path / "workshop.db"
    open_store(path, create=True).close()
    with open_store(path) as store:
        assert not store.holds_tables()
        assert store.latest_plan() is None
        with pytest.raises(StoreError, match="holds no tables yet"):
            store.tables()
        with pytest.raises(StoreError, match="holds no tables yet"):
            store.digest()


def test_names_of_files_may_hold_any_sign(tmp_path: Path) -> None:
    path = tmp_path / "my bars? 100% #1 é.db"
    filled(path)
    assert [entry.name for entry in tmp_path.iterdir()] == [path.name]
    with open_store(str(path)) as store:
        assert store.tables() == TABLES


def test_what_is_no_database_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "letter.txt"
    path.write_text("Dear maker, " * 100)
    for create in (False, True):
        with pytest.raises(StoreError, match="is not a workshop file"):
            open_store(path, create=create)
    assert path.read_text() == "Dear maker, " * 100


@pytest.mark.parametrize(
    "content", ["CREATE TABLE birds (name TEXT)", "PRAGMA application_id = 42"]
)
def test_the_database_of_another_program_is_refused_and_left_alone(
    tmp_path: Path, content: str
) -> None:
    path = tmp_path / "birds.db"
    with closing(sqlite3.connect(path)) as other:
        other.execute(content)
    before = path.read_bytes()
    for create in (False, True):
        with pytest.raises(StoreError, match="belongs to another program"):
            open_store(path, create=create)
    assert path.read_bytes() == before


def test_a_file_of_a_newer_version_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = filled(tmp_path / "workshop.db")
    with closing(sqlite3.connect(path)) as newer:
        newer.execute(
            "INSERT INTO _sqlite_migrations (migration_set, name, applied_at) "
            "VALUES ('workshop', '9999_moon', '2031-01-01')"
        )
        newer.commit()
    with pytest.raises(StoreError, match=f"newer version .* 9999_moon.* up to {STEPS[-1]}"):
        open_store(path)
    assert [entry.name for entry in tmp_path.iterdir()] == ["workshop.db"]


def test_a_damaged_file_is_said_to_be_damaged(tmp_path: Path) -> None:
    path = filled(tmp_path / "workshop.db")
    whole = path.read_bytes()
    path.write_bytes(whole[:4096] + b"\xff" * (len(whole) - 4096))
    with pytest.raises(StoreError, match="is damaged"), open_store(path) as store:
        store.tables()


def test_a_file_in_use_by_another_program_is_said_to_be_in_use(tmp_path: Path) -> None:
    path = filled(tmp_path / "workshop.db")
    with closing(sqlite3.connect(path)) as other:
        other.execute("PRAGMA locking_mode = EXCLUSIVE")
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(StoreError, match="in use"):
            open_store(path, wait_seconds=0)


@contextmanager
def ordinary_user() -> Iterator[None]:
    """Give up the rights of the superuser, who may write everywhere, for a while."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(ORDINARY_USER)
    try:
        yield
    finally:
        os.seteuid(0)


@pytest.fixture
def locked_folder() -> Iterator[Path]:
    """A folder with a workshop file, in which nobody may write anything."""
    # Not in tmp_path, which only its owner may enter.
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        filled(folder / "workshop.db").chmod(0o444)
        folder.chmod(0o555)
        yield folder
        folder.chmod(0o755)


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="this system has no such file rights")
def test_a_folder_that_cannot_be_written_to_is_said_to_be_so(locked_folder: Path) -> None:
    for name, create in (("workshop.db", False), ("workshop.db", True), ("new.db", True)):
        with ordinary_user(), pytest.raises(StoreError, match="a folder in which you may write"):
            open_store(locked_folder / name, create=create)


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="this system has no such file rights")
def test_a_file_that_cannot_be_written_to_is_said_to_be_so(locked_folder: Path) -> None:
    locked_folder.chmod(0o777)
    with ordinary_user(), open_store(locked_folder / "workshop.db") as store:
        assert store.tables() == TABLES
        with pytest.raises(StoreError, match="cannot be written to"):
            store.load(TABLES, DAY)
