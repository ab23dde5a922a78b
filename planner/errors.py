"""The errors that the planner raises on purpose, each a message for the person who runs it.

PlannerError
├── TablesRefused     the tables hold errors; carries all findings
├── StoreError        the workshop file cannot be opened, is newer than this program, or is empty
└── PlanBroken        a plan failed its replay: a fault of this program, never of the tables
"""

from planner.findings import Finding


class PlannerError(Exception):
    """Base of all errors whose message is meant for the person at the keyboard."""


class TablesRefused(PlannerError):
    """The tables hold at least one error, so nothing was loaded."""

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        self.findings = findings
        errors = sum(finding.is_error for finding in findings)
        super().__init__(f"{errors} error(s) in the tables; nothing was loaded")


class StoreError(PlannerError):
    """The workshop file cannot be used as asked; the message says what to do."""


class PlanBroken(PlannerError):
    """A plan broke a rule in its replay: a fault of the program, so the plan is not shown."""
