"""Lots and their movements: on hand is what a lot's movements sum to, and nothing else.

Movements are only ever added. A table of stock that is loaded again is a count: where it differs
from what is on hand, the difference is added as a recount, and a lot that it no longer lists is
recounted to nothing.

Quantities are exact decimals in the unit in which the maker counts the lot, so that what she wrote
comes back to the digit: 3.5 oz is no whole number of milligrams, and as milligrams would come back
as 3.49999. A movement carries its own unit: a lot counted in g today and in kg tomorrow is taken
to nothing in g and put on hand in kg.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Context, Decimal, Inexact

from sqlite_utils import Database

from planner.store.cells import FIRST_ROW, Cell, decimal_text, row_reader, to_cells
from planner.store.moments import now, to_text
from planner.tables.rows import StockRow

Lot = tuple[str, str]
Balance = dict[str, Decimal]

# Sums are exact or fail; 1,000 digits hold every sum of what a table may hold.
EXACT = Context(prec=1000, traps=[Inexact])

WRITE_LOT = """
    INSERT INTO lots (item, lot, unit, received, use_by, status, supplier, supplier_lot)
    VALUES (:item, :lot, :unit, :received, :use_by, :status, :supplier, :supplier_lot)
    ON CONFLICT (item, lot) DO UPDATE SET
        unit = :unit, received = :received, use_by = :use_by, status = :status,
        supplier = :supplier, supplier_lot = :supplier_lot
"""
READ_LOTS = """
    SELECT stock.row AS row, lots.*, coalesce(lots.unit, units.unit) AS counted_in
    FROM stock JOIN lots USING (item, lot) JOIN ({units}) AS units USING (item)
    ORDER BY stock.row
"""
OWN_UNITS = """
    SELECT material AS item, unit FROM materials
    UNION ALL SELECT preparation, unit FROM preparations
    UNION ALL SELECT product, 'ea' FROM products
"""


@dataclass(frozen=True, kw_only=True)
class Movement:
    """A quantity, in `unit`, that comes to a lot (or leaves it, below nothing)."""

    item: str
    lot: str
    quantity: Decimal
    unit: str
    kind: str
    note: str


def list_lots(database: Database, rows: tuple[StockRow, ...]) -> None:
    """Make `rows` the table of stock, all but their quantities; lots not listed stay known."""
    for number, row in enumerate(rows, FIRST_ROW):
        database.execute(WRITE_LOT, to_cells(row))
        database.execute(
            "INSERT INTO stock (row, item, lot) VALUES (?, ?, ?)", (number, row.item, row.lot)
        )


def count_lots(database: Database, rows: tuple[StockRow, ...], day: date) -> int:
    """Add the movements that bring on hand to the quantities of `rows`; return how many.

    The lots must be listed already. Where nothing differs, nothing is added.
    """
    counted = _counted(database, rows)
    movements = list(_differences(balances(database), counted))
    moment = to_text(now())
    database.table("movements").insert_all(
        {
            **vars(each),
            "quantity": decimal_text(each.quantity),
            "day": day.isoformat(),
            "recorded": moment,
        }
        for each in movements
    )
    return len(movements)


def read_stock(database: Database) -> tuple[StockRow, ...]:
    """The table of stock in its order, with the quantities on hand."""
    on_hand = balances(database)
    read_row = row_reader(StockRow)
    return tuple(
        read_row({**lot, "quantity": _quantity_text(on_hand, lot)})
        for lot in database.query(READ_LOTS.format(units=OWN_UNITS))
    )


def balances(database: Database) -> dict[Lot, Balance]:
    """What the movements of each lot sum to in each unit, lots in the order of first movement."""
    sums: dict[Lot, Balance] = defaultdict(dict)
    query = "SELECT item, lot, quantity, unit FROM movements ORDER BY id"
    for item, lot, quantity, unit in database.execute(query):
        balance = sums[item, lot]
        balance[unit] = EXACT.add(balance.get(unit, Decimal(0)), Decimal(quantity))
    return dict(sums)


def _counted(database: Database, rows: tuple[StockRow, ...]) -> dict[Lot, Balance]:
    """The counted quantity of each lot, in the unit of the row or, where blank, of its item."""
    own_units = dict(database.execute(OWN_UNITS))
    return {(row.item, row.lot): {row.unit or own_units[row.item]: row.quantity} for row in rows}


def _differences(
    on_hand: Mapping[Lot, Balance], counted: Mapping[Lot, Balance]
) -> Iterator[Movement]:
    """The movements from what is on hand to what was counted."""
    for item, lot in dict.fromkeys((*counted, *on_hand)):
        old = on_hand.get((item, lot), {})
        new = counted.get((item, lot), {})
        for unit in dict.fromkeys((*old, *new)):
            quantity = EXACT.subtract(new.get(unit, Decimal(0)), old.get(unit, Decimal(0)))
            if quantity:
                kind = "recount" if old else "opening"
                note = "" if new else "no longer in the table of stock"
                yield Movement(
                    item=item, lot=lot, quantity=quantity, unit=unit, kind=kind, note=note
                )


def _quantity_text(on_hand: Mapping[Lot, Balance], lot: Mapping[str, Cell]) -> str:
    balance = on_hand.get((str(lot["item"]), str(lot["lot"])), {})
    return decimal_text(balance.get(str(lot["counted_in"]), Decimal(0)))
