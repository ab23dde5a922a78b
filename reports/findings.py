"""What is wrong or odd in the tables: where, what stands there, what was expected, what to do."""

from typing import Any

from rich.console import Group, RenderableType

from planner.findings import Finding
from reports.style import NOTE, indented, loud, plain, title
from reports.view import View, envelope, head
from reports.words import count_text

NOTHING = "The tables hold no errors and no warnings."
SUMMARY = "{counts} in the tables."


def place(finding: Finding) -> str:
    """Where a finding is: "demand.csv, row 12, column product"."""
    parts = [finding.file or finding.table]
    if finding.row:
        parts.append(f"row {finding.row}")
    if finding.column:
        parts.append(f"column {finding.column}")
    return ", ".join(parts)


def summary(findings: tuple[Finding, ...]) -> str:
    """How many errors and warnings there are: those of which there is none go unsaid."""
    errors = sum(finding.is_error for finding in findings)
    kinds = {"error": errors, "warning": len(findings) - errors}
    counts = [count_text(count, kind) for kind, count in kinds.items() if count]
    return SUMMARY.format(counts=" and ".join(counts))


def content(view: View) -> dict[str, Any]:
    """The report as JSON."""
    return envelope(view, "findings", {"findings": listing_json(view.findings)})


def listing_json(findings: tuple[Finding, ...]) -> list[dict[str, Any]]:
    """The findings as JSON, errors first."""
    return [
        {
            "severity": str(finding.severity),
            "file": finding.file,
            "table": finding.table,
            "row": finding.row or None,
            "column": finding.column or None,
            "found": finding.found,
            "expected": finding.expected,
            "do": finding.action,
        }
        for finding in in_order(findings)
    ]


def in_order(findings: tuple[Finding, ...]) -> list[Finding]:
    """Errors before warnings, each by table, row and column."""
    return sorted(findings, key=lambda finding: (not finding.is_error, finding))


def page(view: View) -> RenderableType:
    """The report for a reader."""
    return Group(head(view, "findings"), listing(view.findings))


def listing(findings: tuple[Finding, ...]) -> RenderableType:
    """The findings for a reader, errors first."""
    if not findings:
        return plain(NOTHING)
    return Group(title(summary(findings)), *(_one(finding) for finding in in_order(findings)))


def _one(finding: Finding) -> RenderableType:
    where = f"{finding.severity}: {place(finding)}"
    return Group(
        loud(where) if finding.is_error else plain(f"{NOTE} {where}"),
        indented(plain(f"found {finding.found}; expected {finding.expected}")),
        indented(plain(f"do: {finding.action}")),
    )
