"""Writes data/TABLES.md from the definitions of the tables: python -m tests.tables_document."""

from pathlib import Path

from planner.tables.describe import describe_tables

FILE = Path(__file__).parent.parent / "data" / "TABLES.md"

INTRODUCTION = """\
# The tables, column by column

One folder holds one workshop: a CSV file for each table, named like the table, in UTF-8, with the
column names in the first row. The order of the columns does not matter, a column that may be left
blank may be left out, and so may a table that is not required. Each mistake is reported with its
file, row and column; nothing is dropped in silence.

- **Names** (of materials, products, suppliers, lots ...) are your own. Write them the same way
  everywhere.
- **Numbers** have a decimal point. **Money** is in the workshop's currency.
- **Amounts** are in the item's base unit unless a unit stands beside them. Units: `g`, `kg`, `mg`,
  `oz`, `lb`, `ml`, `l`, `fl oz US`, `fl oz imp`, `gal US`, `gal imp`, `ea` (pieces). Between
  weight and volume the item's density is needed.
- **Dates** are written 2026-08-31.
- **A blank cell** means what the last column says.

The folder `first` shows every table and every column filled in.
"""


def tables_document() -> str:
    """The whole document."""
    return f"{INTRODUCTION}\n{describe_tables()}"


if __name__ == "__main__":
    FILE.write_text(tables_document(), encoding="utf-8")
