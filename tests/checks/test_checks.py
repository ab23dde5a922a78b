"""The list of all checks, run as a whole."""

from decimal import Decimal
from inspect import getmembers, isfunction
from pathlib import Path

from planner import checks
from planner.build import build
from planner.checks import CHECKS_OF_ROWS, CHECKS_OF_THE_WHOLE, findings_of
from planner.findings import Finding, Severity
from planner.records.lookup import Records
from planner.tables.rows import Tables
from tests.checks.good import GOOD, TODAY, changed, without

ALL = (*CHECKS_OF_ROWS, *CHECKS_OF_THE_WHOLE)


def findings(tables: Tables, *, complete: bool = True) -> tuple[Finding, ...]:
    return findings_of(Records(tables=tables, today=TODAY), complete=complete)


def test_every_check_keeps_silent_about_good_tables() -> None:
    assert findings(GOOD) == ()


def test_every_check_is_listed_once() -> None:
    modules = [module for _, module in getmembers(checks) if hasattr(module, "__file__")]
    written = [
        function
        for module in modules
        for name, function in getmembers(module, isfunction)
        if name.startswith("check_") and function.__module__ == module.__name__
    ]
    assert len(written) > 60
    assert sorted(one.__name__ for one in ALL) == sorted(one.__name__ for one in written)


def test_every_check_has_tests() -> None:
    folder = Path(__file__).parent
    text = "".join(
        file.read_text(encoding="utf-8")
        for file in sorted(folder.glob("test_*.py"))
        if file.name != Path(__file__).name
    )
    # named where it is imported and at least once where it is used
    assert [check.__name__ for check in ALL if text.count(f"{check.__name__},") < 2] == []


def test_all_faults_are_found_at_once_in_the_order_of_the_tables() -> None:
    tables = changed("formulas", 0, percent=Decimal(50))
    tables = changed("demand", 1, tables, day=TODAY.replace(year=2025))
    tables = changed("closures", 0, tables, last_day=TODAY)
    tables = changed("workshop", 0, tables, country="XX")
    found = findings(tables)
    assert [(one.table, one.column) for one in found] == [
        ("workshop", "country"),
        ("closures", "last_day"),
        ("formulas", "percent"),
        ("demand", "day"),
    ]


def test_warnings_come_with_a_workshop_and_errors_without() -> None:
    workshop, found = build(changed("products", 0, price=Decimal(0), wholesale_price=None), TODAY)
    assert workshop is not None
    assert [one.severity for one in found] == [Severity.WARNING]
    workshop, found = build(without("trays", 0), TODAY)
    assert workshop is None
    assert {one.severity for one in found} == {Severity.ERROR}


def test_tables_without_any_row_are_checked_too() -> None:
    empty = Tables(
        workshop=(), hands=(), materials=(), products=(), batch_sizes=(), formulas=(), moulds=(),
        vessels=(), trays=(),
    )  # fmt: skip
    assert [(one.table, one.column) for one in findings(empty)] == [
        ("workshop", ""),
        ("hands", "minutes"),
    ]


def test_incomplete_tables_are_checked_as_far_as_missing_rows_cannot_mislead() -> None:
    tables = changed("stock", 0, without("moulds", 0), received=TODAY.replace(year=2027))
    assert ("products", "mould") in [(one.table, one.column) for one in findings(tables)]
    assert [(one.table, one.column) for one in findings(tables, complete=False)] == [
        ("stock", "received")
    ]
    workshop, _ = build(GOOD, TODAY, complete=False)
    assert workshop is None


def test_every_message_says_what_was_found_expected_and_to_do() -> None:
    tables = changed("products", 0, mould="twelfe", cure_days=80)
    for finding in findings(tables):
        assert finding.found
        assert finding.expected
        assert finding.action
        assert finding.row == 2
