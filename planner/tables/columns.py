"""What a column of a table is: its name, the form of its cells, its bounds and its meaning.

The row classes of `planner.tables.rows` carry all of it in their annotations; `columns_of` reads
it from there. Reader, writer, store and documentation use nothing else.
"""

from collections.abc import Iterator
from dataclasses import MISSING, Field, dataclass, field, fields
from datetime import date
from decimal import Decimal
from enum import Enum, StrEnum
from functools import cache
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin, get_type_hints

from annotated_types import Ge, Gt, Le, Lt, MaxLen


class Kind(StrEnum):
    """The form of a cell."""

    TEXT = "text"
    NAME = "short name"
    WHOLE = "whole number"
    NUMBER = "number"
    DATE = "date"
    YEARLY_DATE = "date, or --MM-DD for every year"
    MONTH = "month"
    CHOICE = "one of"
    WEEKDAYS = "weekdays"
    UNIT = "unit"
    CURRENCY = "currency code"
    COUNTRY = "country code"
    SUBDIVISION = "subdivision code"

    @property
    def is_numeric(self) -> bool:
        """True for cells that hold a number."""
        return self in (Kind.WHOLE, Kind.NUMBER)


@dataclass(frozen=True)
class About:
    """What a column holds, said in its annotation.

    meaning  one line, with the unit
    key      the cells of a table's key columns together name one row
    refers   the tables of which one holds this cell in its first key column
    """

    meaning: str
    key: bool = False
    refers: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Column:
    """The definition of one column.

    A blank cell is a fault if `required`, else it stands for `default` (None: not given).
    Bounds: minimum <= cell, above < cell, cell <= maximum, cell < below; numbers or dates.
    """

    name: str
    kind: Kind
    meaning: str
    required: bool
    default: Any = None
    choices: tuple[str, ...] = ()
    key: bool = False
    refers: tuple[str, ...] = ()
    minimum: int | date | None = None
    above: int | None = None
    maximum: int | date | None = None
    below: int | None = None
    longest: int | None = None


@dataclass(frozen=True, kw_only=True)
class Row:
    """A row of any table; `row` is its number in a spreadsheet, where the header is row 1."""

    row: int = field(default=0, compare=False)


@cache
def columns_of(record: type[Row]) -> tuple[Column, ...]:
    """The columns of a row record, in the order of its fields; `row` is not a column."""
    hints = get_type_hints(record, include_extras=True)
    return tuple(_column(f, hints[f.name]) for f in fields(record) if f.name != "row")


def _column(cell: Field[Any], annotation: Any) -> Column:
    base, notes = _flatten(annotation)
    about = next(note for note in notes if isinstance(note, About))
    return Column(
        name=cell.name,
        kind=next((note for note in notes if isinstance(note, Kind)), None) or _kind_of(base),
        meaning=about.meaning,
        required=cell.default is MISSING,
        default=None if cell.default is MISSING else cell.default,
        choices=_choices_of(base),
        key=about.key,
        refers=about.refers,
        minimum=_bound(notes, Ge, "ge"),
        above=_bound(notes, Gt, "gt"),
        maximum=_bound(notes, Le, "le"),
        below=_bound(notes, Lt, "lt"),
        longest=_bound(notes, MaxLen, "max_length"),
    )


def _flatten(annotation: Any) -> tuple[Any, tuple[Any, ...]]:
    """The plain type of a cell that is given, and all notes on it, inner ones first."""
    if get_origin(annotation) is Annotated:
        inner, *notes = get_args(annotation)
        base, earlier = _flatten(inner)
        return base, (*earlier, *notes)
    if get_origin(annotation) in (Union, UnionType):
        given = [part for part in get_args(annotation) if part is not type(None)]
        return _flatten(given[0])
    return annotation, ()


def _kind_of(base: Any) -> Kind:
    """The form of a cell that follows from its type alone."""
    if isinstance(base, type) and issubclass(base, Enum):
        return Kind.CHOICE
    kinds = {str: Kind.TEXT, int: Kind.WHOLE, Decimal: Kind.NUMBER, date: Kind.DATE}
    return Kind.WEEKDAYS if get_origin(base) is tuple else kinds[base]


def _choices_of(base: Any) -> tuple[str, ...]:
    """The allowed words of an enumeration, or of a tuple of them."""
    if get_origin(base) is tuple:
        return _choices_of(get_args(base)[0])
    if isinstance(base, type) and issubclass(base, Enum):
        return tuple(str(member.value) for member in base)
    return ()


def _bound(notes: tuple[Any, ...], kind: type, attribute: str) -> Any:
    found: Iterator[Any] = (getattr(note, attribute) for note in notes if isinstance(note, kind))
    return next(found, None)
