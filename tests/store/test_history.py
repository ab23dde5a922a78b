"""The steps that files take from one form to the next, and files of earlier forms."""

import hashlib
import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from planner.errors import StoreError
from planner.store import migrations, open_store
from planner.store.migrations import STEPS
from tests.store.samples import DAY, TABLES

FORM_1 = Path(__file__).with_name("form_0001.sql").read_text(encoding="utf-8")
OF_FORM_1 = replace(TABLES, stock=())  # the first form kept no stock

PUBLISHED = {
    "0001_tables": "59b99911bd7e19b7af165d01248cedb387dbd73a3937fcf6c20d043cb3278ccf",
    "0002_stock": "ff89de1beb039a6834d0fcc003e04d8ec05ccd1c5f2e2998b14218b89608f874",
    "0003_plans": "ca42a17ff1d3093f9383bf7ff0cc3ddb73225695e57865efdd9a5435c8d44b96",
}


@pytest.fixture
def old_file(tmp_path: Path) -> Path:
    path = tmp_path / "workshop.db"
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(FORM_1)
    return path


def steps_taken(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as connection:
        query = "SELECT name FROM _sqlite_migrations WHERE migration_set = 'workshop' ORDER BY id"
        return [name for (name,) in connection.execute(query)]


def test_a_published_step_is_never_edited() -> None:
    texts = {step: migrations._text(step) for step in STEPS}
    digests = {step: hashlib.sha256(text.encode()).hexdigest() for step, text in texts.items()}
    assert digests == PUBLISHED


def test_steps_are_numbered_and_taken_in_order(tmp_path: Path) -> None:
    assert [int(step[:4]) for step in STEPS] == [*range(1, len(STEPS) + 1)]
    open_store(tmp_path / "workshop.db", create=True).close()
    assert steps_taken(tmp_path / "workshop.db") == list(STEPS)


def test_a_file_of_the_first_form_is_brought_up_to_date(old_file: Path) -> None:
    assert steps_taken(old_file) == ["0001_tables"]
    with open_store(old_file) as store:
        assert store.tables() == OF_FORM_1
        assert store.latest_plan() is None
        assert store.load(TABLES, DAY).movements == 3
        assert store.tables() == TABLES
    assert steps_taken(old_file) == list(STEPS)


def test_an_old_file_is_copied_before_it_is_brought_up_to_date(old_file: Path) -> None:
    open_store(old_file).close()
    (backup,) = old_file.parent.glob("workshop-backup-*.db")
    assert steps_taken(backup) == ["0001_tables"]
    open_store(old_file).close()
    assert [*old_file.parent.glob("*-backup-*")] == [backup]
    with open_store(backup) as store:
        assert store.tables() == OF_FORM_1


def test_a_step_that_fails_leaves_the_old_form(
    old_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = migrations._text
    broken = {"0003_plans": "CREATE TABLE plans (id INTEGER); CREATE TABLE plans (id INTEGER);"}
    monkeypatch.setattr(migrations, "_text", lambda step: broken.get(step) or text(step))
    with pytest.raises(StoreError, match="table plans already exists"):
        open_store(old_file)
    assert steps_taken(old_file) == ["0001_tables"]
    with closing(sqlite3.connect(old_file)) as connection:
        names = connection.execute("SELECT name FROM sqlite_master WHERE name IN ('lots', 'plans')")
        assert names.fetchall() == []
    monkeypatch.undo()
    with open_store(old_file) as store:
        assert store.tables() == OF_FORM_1


def test_a_new_step_is_taken_by_an_existing_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "workshop.db"
    with open_store(path, create=True) as store:
        store.load(TABLES, DAY)
    text = migrations._text
    monkeypatch.setattr(migrations, "STEPS", (*STEPS, "0004_more"))
    monkeypatch.setattr(
        migrations,
        "_text",
        lambda step: (
            "INSERT INTO movement_kinds (kind, meaning) VALUES ('used', 'taken for a batch');"
            if step == "0004_more"
            else text(step)
        ),
    )
    with open_store(path) as store:
        assert store.tables() == TABLES
    assert steps_taken(path) == [*STEPS, "0004_more"]
    monkeypatch.undo()
    with pytest.raises(StoreError, match="newer version"):
        open_store(path)
