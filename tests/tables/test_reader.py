"""The folder reader: every folder in tests/broken/cells holds the files with its one kind of fault.

The other files come from a good folder, so that nothing else is wrong. A finding is compared as
"row column: found | expected | action".
"""

import re
import shutil
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pytest

from planner.findings import Finding
from planner.tables import csv_files
from planner.tables.reader import read_folder
from planner.tables.rows import HandsRow, Tables
from planner.tables.values import Weekday
from planner.tables.writer import write_folder
from tests.tables.samples import GOOD_TABLES

BROKEN = Path(__file__).parent.parent / "broken" / "cells"


def read_broken(fault: str, folder: Path) -> tuple[Tables, tuple[Finding, ...]]:
    write_folder(GOOD_TABLES, folder)
    shutil.copytree(BROKEN / fault, folder, dirs_exist_ok=True)
    return read_folder(folder)


def in_short(finding: Finding) -> str:
    place = f"{finding.row} {finding.column}".strip()
    return f"{place}: {finding.found} | {finding.expected} | {finding.action}"


EXPECTED: dict[str, tuple[str, ...]] = {
    "semicolons": (r"0: cells apart by semicolons \| cells apart by commas \| check the numbers",),
    "semicolons_with_points": (
        "0: cells apart by semicolons",
        r'2 safety_stock: "1\.250" .* write 1250 or 1\.2500: thousands and decimals cannot',
        r'3 safety_stock: "12,5" \| a decimal point \| it was read as 12\.5',
    ),
    "tabs": ("0: cells apart by tabs",),
    "byte_order_mark": (),
    "latin_1": (
        r"3: signs in line 3 that are not UTF-8 \| a file in UTF-8 \| save it again as CSV UTF-8",
        r'3 kind: "powder" \| one of ingredient, packaging, consumable \| choose one of these',
    ),
    "utf_16": (r"0: zero bytes \| a text file in UTF-8 \| save it again as CSV UTF-8",),
    "empty_file": (r"0: an empty file \| a header row \| write the header row, or delete",),
    "blank_header": (r"1: a blank first row \| the header row \| write column names in row 1",),
    "ragged_rows": (
        r"3: 2 cells \| 3 cells, as in the header row \| add the missing cells, or put quotes",
        r"4: 4 cells \| 3 cells, as in the header row",
    ),
    "open_quote": (
        r'2 kind: "ingredients" \| one of ingredient, packaging, consumable',
        r"3: a cell that does not end properly .* \| quotes in pairs .* \| correct the quotes",
    ),
    "unknown_table": (
        r'0: an unknown table "tray" \| tables workshop, .* \| is "trays" meant\? correct',
    ),
    "unknown_column": (
        r'1 number: an unknown column "number" \| columns tray, count \| correct its name, or',
    ),
    "nameless_column": ("1: a column without a name",),
    "doubled_column": (
        r'1 count: a second column "count" \| each column once \| delete or rename',
    ),
    "missing_column": (
        r'1 minutes: no column "minutes" \| this column: working minutes .* \| add "minutes"',
        r'3 weekday: "mon" \| one of monday, tuesday, .* \| choose one of these words',
    ),
    "blank_cells": (
        r"2 person: nothing \| a short name \| fill in who works",
        r"2 minutes: nothing \| a whole number from 0 to 1440 \| fill in working minutes",
        r"3 weekday: nothing \| one of monday",
    ),
    "same_key": (
        r'4 supplier: "mill", "wax", "5\.0", "KG", "", "" as in row 2 \| one row for each '
        r"supplier and material and .* \| delete one of the two rows, or correct it",
        r'4 price: "forty" \| a number, 0 or more \| write digits, with a point before decimals',
    ),
    "two_workshops": (r"3: 2 rows \| one row \| keep one row",),
    "no_workshop": (r"2: 0 rows \| one row \| fill in row 2",),
    "other_file_type": (r'0: a file "\.xlsx" \| a CSV file \| save it as stock\.csv',),
    "decimal_commas": (
        r'2 pour_g: "62,5" and 1 more with a decimal comma \| a decimal point \| it was read as',
        r'2 price: "12,50" and 1 more .* it was read as 12\.50; write it so',
    ),
    "many_faults": (
        r'2 lead_days: "-1" \| a whole number from 0 to 3650 \| write 0 or more',
        r'2 lead_counts: "calender" \| one of calendar, working \| choose one of these words',
        r'2 order_days: "monday, funday" \| weekdays such as .* \| "funday" is no weekday',
        r'2 freight: "1,250" \| a number, 0 or more \| write 1250 or 1\.2500',
        r'2 pay_days: "2\.5" \| a whole number from 0 to 3650 \| write it without decimals',
        r"3 supplier: nothing \| a short name \| fill in short name of the supplier",
        r'3 lead_days: "ten" \| a whole number from 0 to 3650 \| write digits',
        r'3 freight: "-4" \| a number, 0 or more \| write 0 or more',
        r'3 pay_days: "5000" \| a whole number from 0 to 3650 \| write 3650 or less',
    ),
    "bad_values": (
        r'2 material: "x{57}\.\.\." \| a short name \| shorten it to 80 signs',
        r'2 kind: "wax" \| one of ingredient, packaging, consumable \| choose one of these words',
        r'2 unit: "kg" \| one of g, ml, ea \| choose one of these words',
        r'2 density_g_per_ml: "0" \| a number above 0 \| write a number above 0',
        r'2 safety_stock: "-1" \| a number, 0 or more \| write 0 or more',
    ),
    "bad_dates": (
        r'2 received: "2026-02-29" \| a date such as 2026-08-31 \| there is no such day in the',
        r'2 use_by: "31\.12\.2026" \| a date such as 2026-08-31 \| write year, month and day',
        r'3 received: "1926-08-31" \| .* \| write 2000-01-01 or later',
        r'3 use_by: "2226-08-31" \| .* \| write 2199-12-31 or earlier',
    ),
    "percent_out_of_range": (
        r'2 percent: "101" \| a number above 0, at most 100 \| write 100 or less',
        r'3 percent: "0" \| a number above 0, at most 100 \| write a number above 0',
        r'4 percent: "-5" \| a number above 0, at most 100 \| write a number above 0',
    ),
    "bad_codes": (
        r'2 currency: "euro" \| a currency code such as EUR \| write the three letters of ISO 4217',
        r'2 country: "Germany" \| a country code such as DE \| write the two letters of ISO 3166-1',
        r'2 subdivision: "DE-BY" \| the code of a part .* \| write what follows the dash',
        r'2 horizon_days: "1000" \| a whole number from 1 to 730 \| write 730 or less',
    ),
    "bad_months": (
        r'2 month: "2026-13" \| a month such as 2026-08 \| write the year, a dash and the month',
        r'3 month: "August" \| a month such as 2026-08 \| write the year, a dash and the month',
        r'4 amount: "-1" \| a number, 0 or more \| write 0 or more',
    ),
    "bad_units": (
        r'2 unit: "gal" \| "gal US" or "gal imp" \| .* write which one is meant',
        r'3 quantity: "0" \| a number above 0 \| write a number above 0',
        r'3 unit: "drum" \| one of mg, g, kg, .* \| write one of these units',
    ),
}

WARNINGS_ONLY = ("semicolons", "tabs", "byte_order_mark", "decimal_commas")


def test_every_broken_folder_is_read() -> None:
    assert sorted(EXPECTED) == sorted(folder.name for folder in BROKEN.iterdir())


@pytest.mark.parametrize("fault", EXPECTED)
def test_all_faults_are_found_and_no_others(fault: str, tmp_path: Path) -> None:
    _, findings = read_broken(fault, tmp_path / "workshop")
    found = [in_short(finding) for finding in findings]
    assert len(found) == len(EXPECTED[fault]), found
    for text, pattern in zip(found, EXPECTED[fault], strict=True):
        assert re.match(pattern, text), text


@pytest.mark.parametrize("fault", EXPECTED)
def test_findings_name_table_and_file(fault: str, tmp_path: Path) -> None:
    (file,) = (BROKEN / fault).iterdir()
    _, findings = read_broken(fault, tmp_path / "workshop")
    assert {(f.table, f.file) for f in findings} <= {(file.stem, file.name)}


@pytest.mark.parametrize("fault", EXPECTED)
def test_only_oddities_that_can_be_read_for_sure_are_warnings(fault: str, tmp_path: Path) -> None:
    _, findings = read_broken(fault, tmp_path / "workshop")
    assert any(finding.is_error for finding in findings) == (fault not in WARNINGS_ONLY)


@pytest.mark.parametrize("fault", ["semicolons", "tabs", "byte_order_mark"])
def test_other_ways_of_writing_a_file_are_read(fault: str, tmp_path: Path) -> None:
    tables, _ = read_broken(fault, tmp_path / "workshop")
    day = Weekday.TUESDAY if fault == "byte_order_mark" else Weekday.MONDAY
    assert tables.hands == (HandsRow(person="Ada", weekday=day, minutes=300),)


def test_numbers_with_a_decimal_comma_are_read(tmp_path: Path) -> None:
    tables, _ = read_broken("decimal_commas", tmp_path / "workshop")
    assert [row.pour_g for row in tables.products] == [Decimal("62.5"), Decimal("62.5")]
    assert [row.price for row in tables.products] == [Decimal("12.50"), Decimal("11.90")]


def test_rows_without_fault_are_kept_with_their_numbers(tmp_path: Path) -> None:
    tables, _ = read_broken("ragged_rows", tmp_path / "workshop")
    assert [(row.row, row.weekday) for row in tables.hands] == [
        (2, Weekday.MONDAY),
        (5, Weekday.THURSDAY),  # two cells too many, but blank ones
        (6, Weekday.FRIDAY),
    ]


def test_a_text_over_several_lines_is_one_row(tmp_path: Path) -> None:
    write_folder(GOOD_TABLES, tmp_path / "workshop")
    file = tmp_path / "workshop" / "materials.csv"
    file.write_text('material,kind,unit,note\nwax,ingredient,g,"two\nlines"\n\nclay,soil,g,\n')
    tables, findings = read_folder(tmp_path / "workshop")
    assert tables.materials[0].note == "two\nlines"
    assert [(f.row, f.column) for f in findings] == [(4, "kind")]


def test_a_good_folder_has_no_findings(tmp_path: Path) -> None:
    write_folder(GOOD_TABLES, tmp_path / "workshop")
    assert read_folder(tmp_path / "workshop") == (GOOD_TABLES, ())


def test_tables_that_may_be_missing_are_empty(tmp_path: Path) -> None:
    write_folder(GOOD_TABLES, tmp_path / "workshop")
    (tmp_path / "workshop" / "offers.csv").unlink()
    tables, findings = read_folder(tmp_path / "workshop")
    assert (tables.offers, findings) == ((), ())


def test_a_missing_required_table_is_an_error(tmp_path: Path) -> None:
    write_folder(GOOD_TABLES, tmp_path / "workshop")
    (tmp_path / "workshop" / "moulds.csv").unlink()
    _, (finding,) = read_folder(tmp_path / "workshop")
    assert finding.is_error
    assert re.match(r"0: no such file \| a file moulds\.csv with one row", in_short(finding))


def test_of_a_folder_that_is_not_there_nothing_else_is_said(tmp_path: Path) -> None:
    _, (finding,) = read_folder(tmp_path / "nowhere")
    assert re.match(r"0: no folder .*nowhere \| a folder of CSV files", in_short(finding))


def test_a_file_is_no_folder(tmp_path: Path) -> None:
    (tmp_path / "workshop.csv").write_text("name,currency\n")
    _, (finding,) = read_folder(tmp_path / "workshop.csv")
    assert re.match(r"0: a file .*workshop\.csv \| a folder of CSV files", in_short(finding))


def test_a_file_that_cannot_be_opened_is_a_finding(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_folder(GOOD_TABLES, tmp_path / "workshop")
    read_bytes = Path.read_bytes

    def refuse_trays(self: Path) -> bytes:
        if self.name == "trays.csv":
            raise PermissionError(13, "Permission denied")
        return read_bytes(self)

    monkeypatch.setattr(Path, "read_bytes", refuse_trays)
    _, (finding,) = read_folder(tmp_path / "workshop")
    assert re.match(r"0: a file that cannot be opened \(Permission denied\)", in_short(finding))


def test_file_names_may_have_capitals_but_not_twice(tmp_path: Path) -> None:
    write_folder(GOOD_TABLES, tmp_path / "workshop")
    hands = tmp_path / "workshop" / "hands.csv"
    hands.rename(hands.with_name("Hands.CSV"))
    assert read_folder(tmp_path / "workshop")[1] == ()
    hands.write_text("person,weekday,minutes\n")
    _, (finding,) = read_folder(tmp_path / "workshop")
    assert re.match(r"0: a second file for this table beside Hands\.CSV", in_short(finding))


def test_notes_and_hidden_files_are_left_alone(tmp_path: Path) -> None:
    write_folder(GOOD_TABLES, tmp_path / "workshop")
    (tmp_path / "workshop" / "read me.txt").write_text("notes")
    (tmp_path / "workshop" / ".hidden.csv").write_text("a,b\n")
    assert read_folder(tmp_path / "workshop")[1] == ()


def test_a_workshop_file_beside_its_tables_is_left_alone(tmp_path: Path) -> None:
    write_folder(GOOD_TABLES, tmp_path / "workshop")
    for ending in (".db", ".db-wal", ".db-shm"):
        (tmp_path / "workshop" / f"workshop{ending}").write_bytes(b"\0")
    assert read_folder(tmp_path / "workshop")[1] == ()


@pytest.mark.parametrize(
    ("limit", "value", "message"),
    [
        ("LARGEST_FILE", 30, r"0: \d+ bytes \| at most 30 bytes \| split off"),
        ("MOST_ROWS", 1, r"0: 2 rows \| at most 1 rows \| leave out"),
    ],
)
def test_size_is_bounded(
    limit: str, value: int, message: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_folder(GOOD_TABLES, tmp_path / "workshop")
    (tmp_path / "workshop" / "trays.csv").write_text("tray,count\nrack,6\nshelf one,12\n")
    monkeypatch.setattr(csv_files, limit, value)
    _, findings = read_folder(tmp_path / "workshop")
    trays = [in_short(finding) for finding in findings if finding.table == "trays"]
    assert len(trays) == 1
    assert re.match(message, trays[0])


def test_the_checking_library_is_loaded_only_when_needed() -> None:
    code = "import planner.tables.reader, sys; assert not {'pydantic', 'pint'} & {*sys.modules}"
    subprocess.run([sys.executable, "-c", code], check=True)
