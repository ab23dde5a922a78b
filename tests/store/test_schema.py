"""The form of the file against the definitions of the tables, column by column."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from typing import Any

import pytest

from planner.store import migrations
from planner.store.cells import to_cells
from planner.tables.columns import Column, Kind
from planner.tables.schema import all_tables
from tests.store.samples import TABLES

# The bounds that can never move; the others keep slips of the keyboard out, and may.
LASTING_MINIMA = (0, 1)
LASTING_MAXIMA = (100, 1440)
NO_NUMBERS = ("", "many", " 1", "1 ", "1,5", ".5", "1.", "1.2.3", "007", "1e3", "0x1", "+1", "--1")
NO_DATES = ("", "2026-02-30", "2026-13-01", "31.08.2026", "2026-8-31", "20260831", "tomorrow")
BAD_CELLS: dict[Kind, tuple[Any, ...]] = {
    Kind.NUMBER: NO_NUMBERS,
    Kind.WHOLE: ("many", "1.5", 1.5, ""),
    Kind.DATE: (*NO_DATES, "--02-28", 20260831),
    Kind.YEARLY_DATE: (*NO_DATES, "--02-30", "--2-3", "-02-03", "02-03"),
    Kind.MONTH: ("", "2026", "2026-13", "2026-9", "2026-09-01"),
    Kind.CHOICE: ("", "other"),
    Kind.WEEKDAYS: ("", "monday", '"monday"', "{}"),
    Kind.CURRENCY: ("", "eur", "EURO", "E1R"),
    Kind.COUNTRY: ("", "ie", "IRL"),
}


@pytest.fixture(scope="module")
def blank() -> Iterator[sqlite3.Connection]:
    """A file's form without content; references are looked at apart from the cells."""
    with closing(sqlite3.connect(":memory:")) as connection:
        for step in migrations.STEPS:
            connection.executescript(migrations._text(step))
        yield connection


def places(name: str) -> tuple[str, ...]:
    """The tables of the file that hold the columns of one of the maker's tables."""
    return ("lots", "movements") if name == "stock" else (name,)


def shape(connection: sqlite3.Connection, table: str) -> dict[str, tuple[str, bool]]:
    """Type, and whether it must be given, of each column of a table of the file."""
    info = connection.execute(f"PRAGMA table_info({table})")
    return {name: (kind, bool(required)) for _, name, kind, required, _, _ in info}


def expected_shape(column: Column) -> tuple[str, bool]:
    kind = "INTEGER" if column.kind is Kind.WHOLE else "TEXT"
    return kind, column.required or column.default is not None


@pytest.mark.parametrize("name", [name for name in all_tables() if name != "stock"])
def test_a_table_has_the_columns_of_its_definition(blank: sqlite3.Connection, name: str) -> None:
    definition = {column.name: expected_shape(column) for column in all_tables()[name].columns}
    assert shape(blank, name) == {"row": ("INTEGER", False), **definition}
    assert list(shape(blank, name)) == ["row", *definition]


def test_the_columns_of_stock_are_shared_by_lots_and_movements(blank: sqlite3.Connection) -> None:
    definition = {column.name: expected_shape(column) for column in all_tables()["stock"].columns}
    quantity = definition.pop("quantity")
    assert shape(blank, "lots") == definition
    assert shape(blank, "movements")["quantity"] == quantity
    assert list(shape(blank, "stock")) == ["row", "item", "lot"]


def test_every_table_is_strict(blank: sqlite3.Connection) -> None:
    tables = blank.execute("PRAGMA table_list").fetchall()
    loose = [name for _, name, kind, _, _, strict in tables if kind == "table" and not strict]
    assert [name for name in loose if not name.startswith("sqlite_")] == []
    assert {name for name in all_tables()} <= {row[1] for row in tables}


def test_names_refer_to_where_their_definition_says(blank: sqlite3.Connection) -> None:
    for name, table in all_tables().items():
        found = {
            (own, other, key)
            for _, _, other, own, key, *_ in blank.execute(f"PRAGMA foreign_key_list({name})")
            if other != "lots"
        }
        defined = set()
        for column in table.columns:
            if len(column.refers) == 1:
                (other,) = column.refers
                defined.add((column.name, other, all_tables()[other].key[0].name))
            elif column.refers:
                defined.add((column.name, "items", "item"))
        # A lot outlives the row of its supplier.
        assert (
            found == defined - {("supplier", "suppliers", "supplier")}
            if name == "stock"
            else (found == defined)
        )


def test_items_are_the_names_of_materials_preparations_and_products(
    blank: sqlite3.Connection,
) -> None:
    definitions = all_tables()
    assert {
        refers
        for table in definitions.values()
        for c in table.columns
        if len(c.refers) > 1
        for refers in c.refers
    } == {"materials", "preparations", "products"}
    for name in ("materials", "preparations", "products"):
        insert_row(blank, name, {})
    assert blank.execute("SELECT item, kind FROM items ORDER BY kind").fetchall() == [
        ("betaine", "material"),
        ("kelp glycerite", "preparation"),
        ("kelp bar", "product"),
    ]
    for name in ("materials", "preparations", "products"):
        blank.execute(f"DELETE FROM {name}")
    assert blank.execute("SELECT * FROM items").fetchall() == []
    blank.rollback()


def insert_row(connection: sqlite3.Connection, name: str, cells: dict[str, Any]) -> None:
    """Insert the sample's first row of a table, with some cells replaced; no references kept."""
    good = to_cells(getattr(TABLES, name)[0])
    if name == "stock":
        good.pop("quantity")
        name = "lots"
    row = {**({"row": 2} if name != "lots" else {}), **good, **cells}
    connection.execute(
        f"INSERT INTO {name} ({', '.join(row)}) "
        f"VALUES ({', '.join(':' + column for column in row)})",
        row,
    )


def bad_cells(column: Column) -> Iterator[Any]:
    """Values that the column must refuse."""
    yield from BAD_CELLS.get(column.kind, ())
    if column.required or column.default is not None:
        yield None
    if column.key and column.kind is Kind.NAME and not column.refers:
        yield ""
    signed = column.minimum is None and column.above is not None and column.above < 0
    if column.kind is Kind.NUMBER and not signed:
        yield "-1"
    if column.kind.is_numeric and column.above == 0:
        yield from ("0", "0.00") if column.kind is Kind.NUMBER else (0,)
    if column.kind is Kind.WHOLE and isinstance(column.minimum, int):
        yield from (column.minimum - 1,) if column.minimum in LASTING_MINIMA else ()
    if isinstance(column.maximum, int) and column.maximum in LASTING_MAXIMA:
        yield "100.001" if column.kind is Kind.NUMBER else column.maximum + 1
    if column.below in LASTING_MAXIMA:
        yield str(column.below)


@pytest.mark.parametrize(
    ("name", "column"),
    [
        pytest.param(name, column, id=f"{name}.{column.name}")
        for name, table in all_tables().items()
        for column in table.columns
        if (name, column.name) != ("stock", "quantity")  # see the movements
    ],
)
def test_a_cell_that_makes_no_sense_is_refused(
    blank: sqlite3.Connection, name: str, column: Column
) -> None:
    insert_row(blank, name, {})
    blank.rollback()
    taken = [cell for cell in bad_cells(column) if not is_refused(blank, name, column, cell)]
    assert taken == []


def is_refused(connection: sqlite3.Connection, name: str, column: Column, cell: Any) -> bool:
    """True if a row with that cell is refused on account of the column."""
    try:
        insert_row(connection, name, {column.name: cell})
    except sqlite3.IntegrityError as error:
        return column.name in str(error)
    finally:
        connection.rollback()
    return False


def good_cells(column: Column) -> Iterator[Any]:
    """Values at the edge, which the column must take."""
    if not column.required and column.default is None:
        yield None
    if column.kind is Kind.NUMBER:
        yield "0.001" if column.above == 0 else "0"
        yield "99.999"
        yield "99.90"
    if column.kind is Kind.NUMBER and column.maximum in LASTING_MAXIMA:
        yield str(column.maximum)
    if column.kind is Kind.WHOLE and isinstance(column.minimum, int):
        yield column.minimum
    if column.kind is Kind.WHOLE and isinstance(column.maximum, int):
        yield column.maximum
    if column.kind is Kind.DATE:
        yield from ("2000-01-01", "2028-02-29", "2199-12-31")
    if column.kind is Kind.YEARLY_DATE:
        yield from ("2028-02-29", "--02-29", "--12-31")
    if column.kind is Kind.CHOICE:
        yield from column.choices


@pytest.mark.parametrize(
    ("name", "column"),
    [
        pytest.param(name, column, id=f"{name}.{column.name}")
        for name, table in all_tables().items()
        for column in table.columns
        if (name, column.name) != ("stock", "quantity")
    ],
)
def test_a_cell_at_the_edge_is_taken(blank: sqlite3.Connection, name: str, column: Column) -> None:
    for cell in good_cells(column):
        insert_row(blank, name, {column.name: cell})
        blank.rollback()


@pytest.mark.parametrize("name", [name for name, table in all_tables().items() if table.key])
def test_a_key_names_one_row_only(blank: sqlite3.Connection, name: str) -> None:
    insert_row(blank, name, {})
    again = {} if name == "stock" else {"row": 3}
    refused = "row = 2" if name == "workshop" else "UNIQUE"
    with pytest.raises(sqlite3.IntegrityError, match=refused):
        insert_row(blank, name, again)
    blank.rollback()


def test_an_offer_without_a_season_comes_once(blank: sqlite3.Connection) -> None:
    insert_row(blank, "offers", {"first_day": None})
    with pytest.raises(sqlite3.IntegrityError, match="offers_once"):
        insert_row(blank, "offers", {"row": 3, "first_day": None})
    blank.rollback()
