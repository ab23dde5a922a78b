"""The digest of the tables: one short text that changes when, and only when, they do."""

import hashlib
import json
from decimal import Decimal

from planner.store.cells import Cell, columns, to_cell
from planner.tables.columns import Row
from planner.tables.rows import Tables
from planner.tables.schema import all_tables


def digest_of(tables: Tables) -> str:
    """SHA-256, in 64 hexadecimal digits, of the tables written as canonical JSON.

    The order of the rows counts, for it can decide between plans that are otherwise alike. Row
    numbers do not count, blank cells do not, and 9.60 is the same number as 9.6.
    """
    content = {name: [_content(row) for row in getattr(tables, name)] for name in all_tables()}
    text = json.dumps(content, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def _content(row: Row) -> dict[str, Cell]:
    cells = {name: _canonical(getattr(row, name)) for name in columns(type(row))}
    return {name: cell for name, cell in cells.items() if cell not in (None, "")}


def _canonical(value: object) -> Cell:
    cell = to_cell(value)
    if isinstance(value, Decimal) and "." in str(cell):
        return str(cell).rstrip("0").rstrip(".")
    return cell
