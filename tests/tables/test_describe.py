"""The description of the tables, made from the same definition as the reader."""

from planner.tables.describe import describe_table, describe_tables
from planner.tables.schema import all_tables


def test_every_table_and_column_is_described() -> None:
    text = describe_tables(level=3)
    for table in all_tables().values():
        assert f"\n### {table.name}\n" in f"\n{text}"
        for column in table.columns:
            assert f"| `{column.name}` | {column.meaning}" in text


def test_a_table_is_described_column_by_column() -> None:
    assert describe_table(all_tables()["moulds"]).splitlines() == [
        "## moulds",
        "",
        "A kind of mould. Required. One row for each `mould`.",
        "",
        "| column | what it holds | how to write it | if left blank |",
        "|---|---|---|---|",
        "| `mould` | short name of the kind of mould | a short name | must be filled in |",
        "| `count` | moulds of this kind | a whole number, 0 or more | must be filled in |",
        "| `cavities` | bars that one of them holds | a whole number, 1 or more"
        " | must be filled in |",
        "| `turns_per_day` | fillings of one mould in a day, where bars are unmoulded that day"
        " | a whole number, 1 or more | 1 |",
    ]


def test_no_cell_of_the_description_breaks_its_table() -> None:
    lines = [line for line in describe_tables().splitlines() if line.startswith("|")]
    assert {line.count("|") for line in lines} == {5}


def test_references_and_defaults_are_named() -> None:
    text = describe_tables()
    assert "(a name from `materials` or `preparations`)" in text
    assert "| monday, tuesday, wednesday, thursday, friday |" in text
