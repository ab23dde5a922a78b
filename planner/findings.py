"""One thing that is wrong, or odd, in the workshop's tables."""

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """An error loads nothing; a warning loads and is shown again with the plan."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, kw_only=True, order=True)
class Finding:
    """Where a fault is, what stands there, what was expected, and what to do about it.

    `row` is the row as a spreadsheet counts it: the header is row 1, the first record row 2;
    0 means the whole table. `column` is empty where the whole row is meant.
    """

    table: str
    row: int = 0
    column: str = ""
    severity: Severity = Severity.ERROR
    found: str
    expected: str
    action: str
    file: str = ""

    @property
    def is_error(self) -> bool:
        """True if this finding keeps the tables from being loaded."""
        return self.severity is Severity.ERROR
