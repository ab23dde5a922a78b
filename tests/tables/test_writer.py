"""Tables written to a folder and read again are the same tables."""

import unicodedata
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.tables.columns import Column, Kind
from planner.tables.reader import read_folder
from planner.tables.rows import Tables
from planner.tables.schema import Table, all_tables
from planner.tables.values import FIRST_DATE, LAST_DATE, Weekday, YearlyDay
from planner.tables.writer import FolderError, TablesThereError, write_folder
from planner.units import known_units
from tests.tables.samples import GOOD_TABLES

TEXTS = st.lists(
    st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=8),
    max_size=3,
)
DATES = st.dates(min_value=FIRST_DATE, max_value=LAST_DATE)
YEARLY_DAYS = DATES.map(lambda day: YearlyDay(day.month, day.day))


def composed(words: list[str], between: str) -> str:
    return unicodedata.normalize("NFC", between.join(words))


def whole_numbers(column: Column) -> st.SearchStrategy[int]:
    assert isinstance(column.minimum, int)
    assert isinstance(column.maximum, int)
    return st.integers(column.minimum, column.maximum)


def numbers(column: Column) -> st.SearchStrategy[Decimal]:
    """Numbers between the column's bounds with up to six decimals."""
    low = column.minimum if column.minimum is not None else column.above
    high = column.maximum if column.maximum is not None else column.below
    assert isinstance(low, int)
    assert isinstance(high, int)
    inside = st.decimals(low, high, places=6)
    return inside.filter(lambda number: number not in (column.above, column.below))


def values_of(column: Column) -> st.SearchStrategy[Any]:
    """What a filled-in cell of the column may hold."""
    if column.kind is Kind.WHOLE:
        return whole_numbers(column)
    if column.kind is Kind.NUMBER:
        return numbers(column)
    if column.kind is Kind.CHOICE:
        return st.sampled_from(column.choices)
    return {
        Kind.TEXT: TEXTS.map(lambda words: composed(words, "\n ")),
        Kind.NAME: TEXTS.filter(bool).map(lambda words: composed(words, " ")),
        Kind.DATE: DATES,
        Kind.YEARLY_DATE: DATES | YEARLY_DAYS,
        Kind.MONTH: DATES.map(lambda day: f"{day:%Y-%m}"),
        Kind.WEEKDAYS: st.sets(st.sampled_from(Weekday), min_size=1).map(
            lambda chosen: tuple(day for day in Weekday if day in chosen)
        ),
        Kind.UNIT: st.sampled_from(known_units()),
        Kind.CURRENCY: st.sampled_from(["EUR", "JPY"]),
        Kind.COUNTRY: st.sampled_from(["DE", "CA"]),
        Kind.SUBDIVISION: st.sampled_from(["BY", "1", "QC"]),
    }[column.kind]


def rows_of(table: Table) -> st.SearchStrategy[tuple[Any, ...]]:
    """Up to three rows of a table with different keys."""
    cells = {
        column.name: values_of(column)
        if column.required
        else values_of(column) | st.just(column.default)
        for column in table.columns
    }
    rows = st.builds(table.record, **cells)
    key = [column.name for column in table.key]
    unique = (lambda row: tuple(getattr(row, name) for name in key)) if key else None
    least, most = (1, 1) if table.has_one_row else (0, 3)
    return st.lists(rows, min_size=least, max_size=most, unique_by=unique).map(tuple)


WHOLE_WORKSHOPS = st.builds(
    Tables, **{name: rows_of(table) for name, table in all_tables().items()}
)


@pytest.mark.slow
@given(WHOLE_WORKSHOPS)
@settings(max_examples=40, deadline=None)
def test_written_tables_are_read_as_they_were(tables: Tables) -> None:
    with TemporaryDirectory() as folder:
        write_folder(tables, Path(folder) / "workshop")
        again, findings = read_folder(Path(folder) / "workshop")
    assert findings == ()
    assert again == tables


def test_writing_again_changes_no_byte(tmp_path: Path) -> None:
    write_folder(GOOD_TABLES, tmp_path / "one")
    again, _ = read_folder(tmp_path / "one")
    write_folder(again, tmp_path / "two")
    for file in sorted((tmp_path / "one").iterdir()):
        assert (tmp_path / "two" / file.name).read_bytes() == file.read_bytes()


def test_every_table_is_written_with_all_its_columns(tmp_path: Path) -> None:
    write_folder(GOOD_TABLES, tmp_path / "workshop")
    headers = {
        file.stem: file.read_text(encoding="utf-8").partition("\n")[0]
        for file in (tmp_path / "workshop").iterdir()
    }
    assert headers == {
        name: ",".join(column.name for column in table.columns)
        for name, table in all_tables().items()
    }


def test_a_folder_that_holds_something_is_not_touched(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear")
    with pytest.raises(FolderError, match=r"holds letter\.txt, which would be lost: name another"):
        write_folder(GOOD_TABLES, tmp_path)
    assert [entry.name for entry in tmp_path.iterdir()] == ["letter.txt"]
    for name in "abcd":
        (tmp_path / name).mkdir()
    with pytest.raises(FolderError, match="holds a, b, c and 2 more, which would be lost"):
        write_folder(GOOD_TABLES, tmp_path)


def test_tables_are_overwritten_only_on_demand(tmp_path: Path) -> None:
    (tmp_path / "trays.csv").write_text("tray,count\n")
    with pytest.raises(TablesThereError, match="holds tables: name another folder, or overwrite"):
        write_folder(GOOD_TABLES, tmp_path)
    assert [entry.name for entry in tmp_path.iterdir()] == ["trays.csv"]


def test_overwriting_loses_nothing_but_tables(tmp_path: Path) -> None:
    folder = tmp_path / "workshop"
    write_folder(GOOD_TABLES, folder)
    (folder / "trays.csv").write_text("tray,count\n")
    write_folder(GOOD_TABLES, folder, overwrite=True)
    assert read_folder(folder) == (GOOD_TABLES, ())
    (folder / "letter.txt").write_text("dear")
    with pytest.raises(FolderError, match=r"holds letter\.txt, which would be lost"):
        write_folder(GOOD_TABLES, folder, overwrite=True)
    assert (folder / "letter.txt").read_text() == "dear"


def test_an_empty_folder_is_filled(tmp_path: Path) -> None:
    (tmp_path / "workshop").mkdir()
    write_folder(GOOD_TABLES, tmp_path / "workshop")
    assert read_folder(tmp_path / "workshop") == (GOOD_TABLES, ())


def test_a_file_is_no_folder(tmp_path: Path) -> None:
    (tmp_path / "workshop").write_text("")
    with pytest.raises(FolderError, match="is a file: name a folder"):
        write_folder(GOOD_TABLES, tmp_path / "workshop")


def test_a_write_that_fails_leaves_the_old_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "workshop"
    write_folder(GOOD_TABLES, folder)
    rename = Path.rename

    def refuse_new_files(self: Path, target: Path) -> Path:
        if self.name == "written":
            raise OSError("no space left")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", refuse_new_files)
    with pytest.raises(OSError, match="no space left"):
        write_folder(GOOD_TABLES, folder, overwrite=True)
    assert [entry.name for entry in tmp_path.iterdir()] == ["workshop"]
    assert read_folder(folder) == (GOOD_TABLES, ())
