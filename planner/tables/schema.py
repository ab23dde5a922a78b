"""The tables by name, each with its row class and columns: the door to the one definition."""

from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields
from functools import cache
from typing import get_args, get_type_hints

from planner.tables.columns import Column, Row, columns_of
from planner.tables.rows import Tables


@dataclass(frozen=True, kw_only=True)
class Table:
    """A table: `record` is the class of its rows; a required table must not be missing."""

    name: str
    record: type[Row]
    required: bool
    columns: tuple[Column, ...]

    @property
    def key(self) -> tuple[Column, ...]:
        """The columns whose cells together name one row; empty if rows may be alike."""
        return tuple(column for column in self.columns if column.key)

    @property
    def has_one_row(self) -> bool:
        """True for the one table that describes the workshop itself."""
        return self.name == "workshop"

    @property
    def meaning(self) -> str:
        """What one row of the table is."""
        return (self.record.__doc__ or "").partition("\n")[0]


@cache
def all_tables() -> Mapping[str, Table]:
    """Every table by its name, in the order in which a maker fills them in."""
    hints = get_type_hints(Tables)
    tables = {}
    for field in fields(Tables):
        record = get_args(hints[field.name])[0]
        tables[field.name] = Table(
            name=field.name,
            record=record,
            required=field.default is MISSING,
            columns=columns_of(record),
        )
    return tables
