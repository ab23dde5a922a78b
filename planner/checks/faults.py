"""How checks write down what they find."""

from collections.abc import Iterable
from datetime import date
from difflib import get_close_matches

from planner.findings import Finding, Severity
from planner.tables.rows import Row
from planner.wording import date_words


def error(
    table: str, row: Row | None, column: str, *, found: str, expected: str, action: str
) -> Finding:
    """A fault that keeps the tables from being loaded."""
    return Finding(
        table=table,
        row=row.row if row else 0,
        column=column,
        found=found,
        expected=expected,
        action=action,
    )


def warning(
    table: str, row: Row | None, column: str, *, found: str, expected: str, action: str
) -> Finding:
    """An oddity that loads, and is shown again with the plan."""
    return Finding(
        table=table,
        row=row.row if row else 0,
        column=column,
        severity=Severity.WARNING,
        found=found,
        expected=expected,
        action=action,
    )


def closest(name: str, names: Iterable[str]) -> str | None:
    """The name most like another one, whatever its capitals; None if none is like it."""
    spelled = {other.casefold(): other for other in names}
    found = get_close_matches(name.casefold(), spelled, n=1)
    return spelled[found[0]] if found else None


def quoted(name: str) -> str:
    """A name as messages show it."""
    return f'"{name}"'


def on(day: date) -> str:
    """A date as messages show it, always with its year: a wrong one is a common slip."""
    return date_words(day)


def count(number: int, one: str, many: str | None = None) -> str:
    """A number with its noun: 1 day, 2 days."""
    return f"{number} {one if number == 1 else many or one + 's'}"
