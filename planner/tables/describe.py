"""The column-by-column description of the tables as Markdown, made from their definition."""

from planner.tables.cells import write_cell
from planner.tables.columns import Column
from planner.tables.schema import Table, all_tables
from planner.tables.wording import expected_of


def describe_tables(level: int = 2) -> str:
    """Markdown: for each table a heading of this level, what a row is, and its columns."""
    return "\n".join(describe_table(table, level) for table in all_tables().values())


def describe_table(table: Table, level: int = 2) -> str:
    """Markdown: a heading, what a row of the table is, and one line for each column."""
    need = "Required." if table.required else "May be left out."
    key = " and ".join(f"`{column.name}`" for column in table.key)
    each = f" One row for each {key}." if key and not table.has_one_row else ""
    lines = [
        f"{'#' * level} {table.name}",
        "",
        f"{table.meaning} {need}{each}",
        "",
        "| column | what it holds | how to write it | if left blank |",
        "|---|---|---|---|",
        *(_line(column) for column in table.columns),
        "",
    ]
    return "\n".join(lines)


def _line(column: Column) -> str:
    meaning = column.meaning
    if column.refers:
        meaning += f" (a name from {' or '.join(f'`{table}`' for table in column.refers)})"
    cells = (f"`{column.name}`", meaning, expected_of(column), _if_blank(column))
    return f"| {' | '.join(cells)} |"


def _if_blank(column: Column) -> str:
    if column.required:
        return "must be filled in"
    default = write_cell(column.default)
    return default if default else "not given"
