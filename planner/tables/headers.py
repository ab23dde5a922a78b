"""The header row of a sheet: which place holds which column."""

from collections.abc import Iterable
from difflib import get_close_matches

from planner.tables.columns import Column
from planner.tables.schema import Table
from planner.tables.sheets import FaultList, Sheet, quoted


def places_of(sheet: Sheet, table: Table, faults: FaultList) -> dict[int, Column]:
    """The columns of `table` by their place in the sheet, counted from 0.

    Unknown, doubled, nameless and missing columns are put into `faults`.
    """
    columns = {column.name: column for column in table.columns}
    places: dict[int, Column] = {}
    seen: list[str] = []
    for place, title in enumerate(sheet.header):
        name = title.strip().casefold()
        if name in seen:
            faults.error(
                f"a second column {quoted(name)}",
                "each column once",
                "delete or rename one of the two",
                row=1,
                column=name,
            )
        elif name in columns:
            places[place] = columns[name]
        elif name or _holds_text(sheet, place):
            _report_unknown(title.strip(), columns, faults)
        if name:
            seen.append(name)
    _report_missing(seen, table, faults)
    return places


def _holds_text(sheet: Sheet, place: int) -> bool:
    return any(place < len(cells) and cells[place].strip() for _, cells in sheet.rows)


def _report_unknown(title: str, known: Iterable[str], faults: FaultList) -> None:
    names = list(known)
    faults.error(
        f"an unknown column {quoted(title)}" if title else "a column without a name",
        f"columns {', '.join(names)}",
        f"{suggestion(title, names)}correct its name, or delete the column",
        row=1,
        column=title,
    )


def suggestion(word: str, known: list[str]) -> str:
    """The known word that `word` may be a slip of, as the beginning of an advice."""
    close = get_close_matches(word.casefold(), known, n=1)
    return f'is "{close[0]}" meant? ' if close else ""


def _report_missing(seen: list[str], table: Table, faults: FaultList) -> None:
    for column in table.columns:
        if column.required and column.name not in seen:
            faults.error(
                f"no column {quoted(column.name)}",
                f"this column: {column.meaning}",
                f'add "{column.name}" to the header row and fill it in for each row',
                row=1,
                column=column.name,
            )
