"""Tables built into a workshop, for tests of its records."""

from datetime import date

from planner.build import build
from planner.tables.rows import Tables
from planner.workshop import Workshop
from tests.checks.good import GOOD, TODAY


def built(tables: Tables = GOOD, today: date = TODAY) -> Workshop:
    """The workshop of some tables that have no error."""
    workshop, findings = build(tables, today)
    assert workshop is not None, findings
    return workshop
