import errno
import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from planner.errors import StoreError
from planner.store import content, digest_of, open_store
from planner.tables.rows import BudgetRow, CashRow, FormulaRow, StockRow, Tables
from planner.tables.schema import all_tables
from planner.tables.values import CashKind
from tests.store.samples import DAY, STOCK, TABLES, filled

ROOT = Path(__file__).parents[2]
OTHER = replace(TABLES, budget=(BudgetRow(month="2026-10", amount=Decimal(900)),))
# The last table that is written holds a number that is none, so all others are written before.
BAD_AT_THE_END = replace(OTHER, cash=(CashRow(kind=CashKind.COST, day=DAY, amount=Decimal("NaN")),))


def content_of(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table in the file, as SQLite holds them."""
    with closing(sqlite3.connect(path)) as connection:
        names = [
            row[0]
            for row in connection.execute(
                "SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name"
            )
        ]
        return {name: connection.execute(f"SELECT * FROM {name}").fetchall() for name in names}


def test_tables_come_back_as_they_were_loaded(tmp_path: Path) -> None:
    with open_store(tmp_path / "workshop.db", create=True) as store:
        report = store.load(TABLES, DAY)
        assert store.tables() == TABLES
    assert (report.changed, report.backup) == (True, None)
    assert report.movements == 3  # a lot of nothing needs no movement
    assert {name: len(getattr(TABLES, name)) for name in all_tables()} == report.rows
    assert list(report.rows) == list(all_tables())


def test_numbers_keep_the_digits_that_the_maker_wrote(tmp_path: Path) -> None:
    with open_store(filled(tmp_path / "workshop.db")) as store:
        read = store.tables()
    assert str(read.stock[0].quantity) == "9.60"
    assert str(read.offers[0].pack_size) == "25.0"
    assert str(read.cash[0].amount) == "-310.25"


def test_rows_keep_their_order_and_are_numbered_as_in_a_spreadsheet(tmp_path: Path) -> None:
    scattered = tuple(replace(row, row=90 - number) for number, row in enumerate(TABLES.formulas))
    with open_store(tmp_path / "workshop.db", create=True) as store:
        store.load(replace(TABLES, formulas=scattered), DAY)
        read = store.tables().formulas
    assert read == TABLES.formulas
    assert [row.row for row in read] == [2, 3, 4, 5, 6]


def test_loading_what_was_read_changes_nothing(tmp_path: Path) -> None:
    path = filled(tmp_path / "workshop.db")
    before = content_of(path)
    with open_store(path) as store:
        digest = store.digest()
        report = store.load(store.tables(), date(2026, 9, 7))
        assert store.tables() == TABLES
        assert store.digest() == digest == report.digest == digest_of(TABLES)
    assert (report.changed, report.movements) == (False, 0)
    assert content_of(path) == before


def test_a_load_that_changes_nothing_needs_no_backup(tmp_path: Path) -> None:
    with open_store(filled(tmp_path / "workshop.db")) as store:
        again = store.load(TABLES, DAY)
        assert (again.changed, again.backup) == (False, None)
        (lot, *others) = TABLES.stock
        digits = replace(lot, quantity=Decimal("9.600"))
        assert not store.load(replace(TABLES, stock=(digits, *others)), DAY).changed
        assert str(store.tables().stock[0].quantity) == "9.60"  # still what the lot's movements say
        recounted = replace(lot, quantity=Decimal("9.61"))
        other = store.load(replace(TABLES, stock=(recounted, *others)), DAY)
        assert (other.changed, other.backup is None) == (True, False)
    assert len([path for path in tmp_path.iterdir() if "-backup-" in path.name]) == 1


def test_a_load_replaces_every_table(tmp_path: Path) -> None:
    small = replace(
        TABLES,
        **{name: () for name in ("closures", "sales", "cash", "in_progress", "open_orders")},
    )
    with open_store(filled(tmp_path / "workshop.db")) as store:
        store.load(small, DAY)
        assert store.tables() == small


def test_the_file_is_copied_before_its_tables_are_replaced(tmp_path: Path) -> None:
    path = filled(tmp_path / "workshop.db")
    before = content_of(path)
    with open_store(path) as store:
        report = store.load(OTHER, DAY)
    assert report.backup is not None
    assert report.backup.parent == tmp_path
    assert content_of(report.backup) == before
    with open_store(report.backup) as backup:
        assert backup.tables() == TABLES
    with open_store(path) as store:
        assert store.tables() == OTHER


def test_backups_in_one_second_have_names_of_their_own(tmp_path: Path) -> None:
    with open_store(filled(tmp_path / "workshop.db")) as store:
        names = [store.load(tables, DAY).backup for tables in (OTHER, TABLES, OTHER)]
    assert len({*names}) == 3
    assert sorted(path for path in tmp_path.iterdir() if "-backup-" in path.name) == sorted(
        name for name in names if name
    )


def test_a_load_that_fails_at_the_last_table_changes_nothing(tmp_path: Path) -> None:
    path = filled(tmp_path / "workshop.db")
    before = content_of(path)
    with open_store(path) as store:
        with pytest.raises(StoreError, match=r"refuses a record .*amount.* Nothing was changed"):
            store.load(BAD_AT_THE_END, DAY)
        assert store.tables() == TABLES
        assert store.load(OTHER, DAY).rows["cash"] == 2
    assert content_of(path) != before


def test_a_first_load_that_fails_leaves_no_tables(tmp_path: Path) -> None:
    with open_store(tmp_path / "workshop.db", create=True) as store:
        with pytest.raises(StoreError):
            store.load(BAD_AT_THE_END, DAY)
        assert not store.holds_tables()


@pytest.mark.slow
def test_a_program_that_dies_half_way_leaves_the_former_state(tmp_path: Path) -> None:
    path = filled(tmp_path / "workshop.db")
    before = content_of(path)
    dies = (
        "import os, sys\n"
        "from planner.store import content, open_store\n"
        "from tests.store.samples import DAY\n"
        "from tests.store.test_store import OTHER\n"
        "content.count_lots = lambda *given: os._exit(9)\n"  # all tables are written by then
        "open_store(sys.argv[1]).load(OTHER, DAY)\n"
    )
    run = subprocess.run([sys.executable, "-c", dies, str(path)], cwd=ROOT, check=False)
    assert run.returncode == 9
    assert (tmp_path / "workshop.db-wal").exists()  # what it had begun
    with open_store(path) as store:
        assert store.tables() == TABLES
    assert content_of(path) == before


def test_a_load_whose_backup_fails_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full_disk(*names: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    path = filled(tmp_path / "workshop.db")
    monkeypatch.setattr(os, "replace", full_disk)
    with open_store(path) as store:
        with pytest.raises(StoreError, match="cannot be used: No space left"):
            store.load(OTHER, DAY)
        assert store.tables() == TABLES
    assert os.listdir(tmp_path) == ["workshop.db"]


def test_a_row_that_names_nothing_is_refused(tmp_path: Path) -> None:
    unknown = replace(
        TABLES,
        formulas=(*TABLES.formulas, FormulaRow(item="oat bar", part="oats", percent=Decimal(1))),
    )
    with open_store(filled(tmp_path / "workshop.db")) as store:
        with pytest.raises(StoreError, match=r"formulas, row 7, names .* not in materials, prep"):
            store.load(unknown, DAY)
        assert store.tables() == TABLES


def test_a_lot_of_nothing_known_is_refused(tmp_path: Path) -> None:
    unknown = replace(TABLES, stock=(StockRow(item="oats", lot="1", quantity=Decimal(1)),))
    with (
        open_store(tmp_path / "workshop.db", create=True) as store,
        pytest.raises(StoreError, match="stock, row 2, names something"),
    ):
        store.load(unknown, DAY)


def test_a_name_cannot_be_a_material_and_a_product(tmp_path: Path) -> None:
    twice = replace(TABLES.products[1], product="flakes")
    with (
        open_store(tmp_path / "workshop.db", create=True) as store,
        pytest.raises(StoreError, match=r"UNIQUE constraint failed: items\.item"),
    ):
        store.load(replace(TABLES, products=(*TABLES.products, twice)), DAY)


def test_the_digest_of_the_file_is_that_of_its_tables(tmp_path: Path) -> None:
    with open_store(filled(tmp_path / "workshop.db")) as store:
        assert store.digest() == digest_of(TABLES)
        store.load(OTHER, DAY)
        assert store.digest() == digest_of(OTHER)
        store.load(TABLES, DAY)
        assert store.digest() == digest_of(TABLES)


def test_reading_goes_on_while_another_program_loads(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = filled(tmp_path / "workshop.db")
    seen: list[Tables] = []
    fill = content.fill

    def look_from_beside(*given: object) -> int:
        movements = fill(*given)  # type: ignore[arg-type]
        with open_store(path) as reader:
            seen.append(reader.tables())
        return movements

    monkeypatch.setattr(content, "fill", look_from_beside)
    with open_store(path) as store:
        store.load(OTHER, DAY)
        assert seen == [TABLES]
        assert store.tables() == OTHER


def test_two_programs_cannot_load_at_once(tmp_path: Path) -> None:
    path = filled(tmp_path / "workshop.db")
    with closing(sqlite3.connect(path)) as other, open_store(path, wait_seconds=0) as store:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(StoreError, match="in use"):
            store.load(OTHER, DAY)
        assert store.tables() == TABLES
        other.execute("ROLLBACK")
        store.load(OTHER, DAY)
        assert store.tables() == OTHER


def test_a_closed_file_stands_alone(tmp_path: Path) -> None:
    filled(tmp_path / "workshop.db")
    assert os.listdir(tmp_path) == ["workshop.db"]


def test_closing_twice_is_harmless(tmp_path: Path) -> None:
    store = open_store(filled(tmp_path / "workshop.db"))
    store.close()
    store.close()


def test_references_are_kept_by_the_open_file(tmp_path: Path) -> None:
    with open_store(filled(tmp_path / "workshop.db")) as store:
        connection = store._database.conn
        assert connection.execute("PRAGMA foreign_keys").fetchone() == (1,)
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)
        with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"):
            connection.execute("DELETE FROM suppliers")
        with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"):
            connection.execute("UPDATE formulas SET part = 'oats' WHERE row = 2")
        connection.rollback()
        assert store.tables().stock == STOCK
