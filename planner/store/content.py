"""The maker's tables in the file: clearing, filling and reading them, always all together."""

from datetime import date
from typing import Any

from sqlite_utils import Database

from planner.errors import StoreError
from planner.store.cells import FIRST_ROW, row_reader, to_cells
from planner.store.stock import count_lots, list_lots, read_stock
from planner.tables.columns import Row
from planner.tables.rows import Tables
from planner.tables.schema import all_tables


def holds_tables(database: Database) -> bool:
    """True if a workshop has been loaded."""
    return database.table("workshop").count > 0


def lock(database: Database) -> None:
    """Keep other programs from writing until the transaction ends; they can still read."""
    database.execute("UPDATE workshop SET row = row WHERE false")


def clear(database: Database) -> None:
    """Empty the tables.

    Lots, movements and plans stay. Must run inside a transaction: until it ends, tables may refer
    to rows that are not there.
    """
    database.execute("PRAGMA defer_foreign_keys = ON")
    for name in all_tables():
        database.execute(f"DELETE FROM {name}")


def fill(database: Database, tables: Tables, day: date) -> int:
    """Write the tables into the cleared ones, and return how many movements of stock that added.

    Raises StoreError if a row refers to something that no table holds.
    """
    for name in all_tables():
        if name == "stock":
            list_lots(database, tables.stock)
        else:
            database.table(name).insert_all(_numbered(getattr(tables, name)))
    _check_references(database)
    return count_lots(database, tables.stock, day)


def read(database: Database) -> Tables:
    """All tables, each in its order, rows numbered from 2 as in a spreadsheet."""
    rows: dict[str, Any] = {name: _read_table(database, name) for name in all_tables()}
    return Tables(**rows)


def _numbered(rows: tuple[Row, ...]) -> list[dict[str, Any]]:
    return [{"row": number, **to_cells(row)} for number, row in enumerate(rows, FIRST_ROW)]


def _read_table(database: Database, name: str) -> tuple[Row, ...]:
    if name == "stock":
        return read_stock(database)
    read_row = row_reader(all_tables()[name].record)
    return tuple(map(read_row, database.query(f"SELECT * FROM {name} ORDER BY row")))


def _check_references(database: Database) -> None:
    broken = database.execute("PRAGMA foreign_key_check").fetchone()
    if broken:
        table, row, parent, _ = broken
        place = "materials, preparations or products" if parent == "items" else parent
        raise StoreError(
            f"{table}, row {row}, names something that is not in {place}. "
            "Add it there, or correct the name. Nothing was loaded."
        )
