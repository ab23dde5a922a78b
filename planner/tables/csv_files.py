"""One CSV file: from bytes to a sheet of text cells (RFC 4180, UTF-8).

Commas apart the cells; semicolons or tabs, which some spreadsheets write, are read with a warning.
"""

import csv
import io
from pathlib import Path

from planner.tables.schema import Table
from planner.tables.sheets import FaultList, Sheet

LARGEST_FILE = 20_000_000
MOST_ROWS = 100_000

_SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs"}


def read_csv(file: Path, table: Table, faults: FaultList) -> Sheet | None:
    """The sheet in `file`; None, with the reason in `faults`, if it cannot be read at all."""
    try:
        text = _text_of(file, faults)
    except OSError as error:
        found = f"a file that cannot be opened ({error.strerror})"
        faults.error(found, "a file to read", "close it elsewhere, or ask for the right to read it")
        return None
    if text is None:
        return None
    separator = _separator_of(text, table)
    if separator != ",":
        faults.warning(
            f"cells apart by {_SEPARATORS[separator]}",
            "cells apart by commas",
            "check the numbers below; save the file with commas to be rid of this warning",
        )
    rows = _cells_of(text, separator, faults)
    if not rows:
        return None
    if not any(cell.strip() for cell in rows[0]):
        faults.error("a blank first row", "the header row", "write column names in row 1", row=1)
        return None
    if len(rows) > MOST_ROWS + 1:
        faults.error(
            f"{len(rows) - 1} rows", f"at most {MOST_ROWS} rows", "leave out what is long past"
        )
        return None
    body = tuple((number, cells) for number, cells in enumerate(rows, 1) if number > 1)
    return Sheet(header=rows[0], rows=body, commas_expected=separator == ";")


def _text_of(file: Path, faults: FaultList) -> str | None:
    size = file.stat().st_size
    if size > LARGEST_FILE:
        faults.error(
            f"{size} bytes", f"at most {LARGEST_FILE} bytes", "split off what is long past"
        )
        return None
    content = file.read_bytes()
    if b"\0" in content:
        faults.error("zero bytes", "a text file in UTF-8", "save it again as CSV UTF-8")
        return None
    text = _decoded(content, faults)
    if not text.strip():
        faults.error("an empty file", "a header row", "write the header row, or delete the file")
        return None
    return text


def _decoded(content: bytes, faults: FaultList) -> str:
    """The text of a file; bytes that are none are reported and stand as question marks."""
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        row = content.count(b"\n", 0, error.start) + 1
        faults.error(
            f"signs in line {row} that are not UTF-8",
            "a file in UTF-8",
            "save it again as CSV UTF-8",
            row=row,
        )
        return content.decode("utf-8-sig", errors="replace")


def _separator_of(text: str, table: Table) -> str:
    """The separator that makes most known column names of the first line; commas if in doubt."""
    first_line = text.partition("\n")[0]
    known = {column.name for column in table.columns}

    def recognised(separator: str) -> int:
        cells = (cell.strip(' "\r').casefold() for cell in first_line.split(separator))
        return sum(cell in known for cell in cells)

    return max(_SEPARATORS, key=recognised)


def _cells_of(text: str, separator: str, faults: FaultList) -> list[tuple[str, ...]]:
    """The cells of all rows, up to the first row whose quotes do not match."""
    lines = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows: list[tuple[str, ...]] = []
    try:
        rows.extend(tuple(cells) for cells in lines)
    except csv.Error as error:
        faults.error(
            f"a cell that does not end properly ({error})",
            "quotes in pairs around a cell, and doubled inside one",
            "correct the quotes in this row or above it",
            row=len(rows) + 1,
        )
    return rows
