"""A table as it stands in a file: text in cells. And the findings that are made on the way."""

from dataclasses import dataclass, field

from planner.findings import Finding, Severity


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """The text of a table's cells; each row comes with its number, the header being row 1.

    `commas_expected` is explained at `planner.tables.numerals.read_numeral`.
    """

    header: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    commas_expected: bool = False


@dataclass(frozen=True)
class FaultList:
    """Collects the findings on one table."""

    table: str
    file: str
    findings: list[Finding] = field(default_factory=list)

    def error(
        self, found: str, expected: str, action: str, *, row: int = 0, column: str = ""
    ) -> None:
        """Add an error; `row` 0 means the whole table."""
        self._add(Severity.ERROR, found, expected, action, row, column)

    def warning(
        self, found: str, expected: str, action: str, *, row: int = 0, column: str = ""
    ) -> None:
        """Add a warning; `row` 0 means the whole table."""
        self._add(Severity.WARNING, found, expected, action, row, column)

    def _add(
        self, severity: Severity, found: str, expected: str, action: str, row: int, column: str
    ) -> None:
        self.findings.append(
            Finding(
                table=self.table,
                file=self.file,
                severity=severity,
                row=row,
                column=column,
                found=found,
                expected=expected,
                action=action,
            )
        )


def quoted(text: str) -> str:
    """A cell's text in quotes on one line, cut where it is long; unprintable signs show as ?."""
    text = "".join(sign if sign.isprintable() else "?" for sign in " ".join(text.split()))
    return f'"{text}"' if len(text) <= 60 else f'"{text[:57]}..."'
