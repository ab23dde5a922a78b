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
    """The tables hold at least one error; `outcome` says what was therefore not done."""

    def __init__(self, findings: tuple[Finding, ...], outcome: str) -> None:
        self.findings = findings
        super().__init__(f"The tables hold errors, so {outcome}.")


class StoreError(PlannerError):
    """The workshop file cannot be used as asked; the message says what to do."""


class PlanBroken(PlannerError):
    """A plan broke a rule in its replay: a fault of the program, so the plan is not shown."""
