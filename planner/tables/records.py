"""A sheet of text cells becomes row records; all its faults are found in one go."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING, Any

from planner.tables.cells import CellError, read_cell
from planner.tables.columns import Column, Row
from planner.tables.headers import places_of
from planner.tables.schema import Table, all_tables
from planner.tables.sheets import FaultList, Sheet, quoted
from planner.tables.wording import action_for, expected_of

if TYPE_CHECKING:
    from pydantic import TypeAdapter


@dataclass(frozen=True, kw_only=True)
class _Draft:
    """A row on its way to a record.

    texts   the cells as they stand in the file, by column
    values  what could be read of them; blank cells are left out
    unread  the columns whose cells could not be read
    commas  the columns whose numbers have a decimal comma
    """

    number: int
    texts: dict[str, str] = field(default_factory=dict)
    values: dict[str, Any] = field(default_factory=dict)
    unread: list[str] = field(default_factory=list)
    commas: list[str] = field(default_factory=list)


def rows_of(sheet: Sheet, table: Table, faults: FaultList) -> tuple[Row, ...]:
    """The records of all rows without fault; what is wrong elsewhere is put into `faults`."""
    places = places_of(sheet, table, faults)
    drafts = [
        _draft(number, cells, places, sheet.commas_expected, faults)
        for number, cells in _even_rows(sheet, faults)
    ]
    _warn_of_commas(drafts, table, faults)
    _refuse_same_keys(drafts, table, faults)
    _check_row_count(drafts, table, faults)
    absent = [column.name for column in table.columns if column not in places.values()]
    records = [_record(draft, table, absent, faults) for draft in drafts]
    return tuple(record for record in records if record is not None)


def _even_rows(sheet: Sheet, faults: FaultList) -> Iterator[tuple[int, Sequence[str]]]:
    """The rows that are not blank, each with as many cells as the header."""
    width = len(sheet.header)
    for number, cells in sheet.rows:
        if not any(cell.strip() for cell in cells):
            continue
        if len(cells) < width or any(cell.strip() for cell in cells[width:]):
            faults.error(
                f"{len(cells)} cells",
                f"{width} cells, as in the header row",
                "add the missing cells, or put quotes around a text with separators in it",
                row=number,
            )
            continue
        yield number, cells[:width]


def _draft(
    number: int,
    cells: Sequence[str],
    places: dict[int, Column],
    commas_expected: bool,
    faults: FaultList,
) -> _Draft:
    """Read each cell of a row by itself, so that one fault hides no other."""
    draft = _Draft(number=number)
    for place, column in places.items():
        draft.texts[column.name] = cells[place].strip()
        try:
            cell = read_cell(column, cells[place], commas_expected)
        except CellError as error:
            draft.unread.append(column.name)
            found = quoted(draft.texts[column.name])
            faults.error(found, error.expected, error.action, row=number, column=column.name)
            continue
        if cell is not None:
            draft.values[column.name] = cell.value
            draft.commas.extend([column.name] if cell.had_comma else [])
    return draft


def _warn_of_commas(drafts: list[_Draft], table: Table, faults: FaultList) -> None:
    """One warning for each column, however many of its numbers have a decimal comma."""
    for column in table.columns:
        with_comma = [draft for draft in drafts if column.name in draft.commas]
        if not with_comma:
            continue
        first, others = with_comma[0], len(with_comma) - 1
        text = first.texts[column.name]
        faults.warning(
            quoted(text) + (f" and {others} more with a decimal comma" if others else ""),
            "a decimal point",
            f"it was read as {text.replace(',', '.')}; write it so to be rid of this warning",
            row=first.number,
            column=column.name,
        )


def _refuse_same_keys(drafts: list[_Draft], table: Table, faults: FaultList) -> None:
    """Two rows with the same cells in all key columns are a fault of the later one."""
    first_rows: dict[tuple[Any, ...], int] = {}
    names = [column.name for column in table.key]
    for draft in drafts:
        key = _key_of(draft, table)
        first = draft.number if key is None else first_rows.setdefault(key, draft.number)
        if first != draft.number:
            cells = ", ".join(quoted(draft.texts.get(name, "")) for name in names)
            faults.error(
                f"{cells} as in row {first}",
                f"one row for each {' and '.join(names)}",
                "delete one of the two rows, or correct it",
                row=draft.number,
                column=names[0],
            )


def _key_of(draft: _Draft, table: Table) -> tuple[Any, ...] | None:
    """The cells that name the row; None if there are none, or not all could be read."""
    for column in table.key:
        blank = column.name not in draft.values
        if column.name in draft.unread or (blank and column.required):
            return None
    return tuple(draft.values.get(column.name, column.default) for column in table.key) or None


def _check_row_count(drafts: list[_Draft], table: Table, faults: FaultList) -> None:
    """The workshop's table has exactly one row."""
    if table.has_one_row and len(drafts) != 1:
        faults.error(
            f"{len(drafts)} rows",
            "one row",
            "fill in row 2" if not drafts else "keep one row",
            row=drafts[1].number if drafts else 2,
        )


def _record(draft: _Draft, table: Table, absent: list[str], faults: FaultList) -> Row | None:
    """The record of a row; None, with the reasons in `faults`, if a cell does not fit."""
    from pydantic import ValidationError

    try:
        return _adapter_of(table.name).validate_python({**draft.values, "row": draft.number})
    except ValidationError as error:
        columns = {column.name: column for column in table.columns}
        told = [*draft.unread, *absent]
        for detail in error.errors(include_url=False, include_input=False):
            name = str(detail["loc"][0])
            if name not in told:
                told.append(name)
                _report(columns[name], draft, detail["type"], detail.get("ctx", {}), faults)
        return None


def _report(
    column: Column, draft: _Draft, error_type: str, context: dict[str, Any], faults: FaultList
) -> None:
    blank = error_type == "missing"
    faults.error(
        "nothing" if blank else quoted(draft.texts[column.name]),
        expected_of(column),
        f"fill in {column.meaning}" if blank else action_for(column, error_type, context),
        row=draft.number,
        column=column.name,
    )


@cache
def _adapter_of(table: str) -> "TypeAdapter[Row]":
    """The checker of one table's rows; built when first needed, as that takes a moment."""
    from pydantic import TypeAdapter

    return TypeAdapter(all_tables()[table].record)
