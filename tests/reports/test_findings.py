from dataclasses import replace

from planner.findings import Finding, Severity
from reports import findings
from reports.style import as_text
from reports.view import View

ODD = Finding(
    table="demand",
    row=12,
    column="product",
    severity=Severity.WARNING,
    found='"SV-X [old]"',
    expected="a product",
    action="correct the name",
    file="demand.csv",
)
WRONG = Finding(table="formulas", found="99.5 %", expected="100 %", action="correct the shares")


def test_errors_come_first_and_each_says_where_what_and_what_to_do() -> None:
    assert as_text(findings.listing((ODD, WRONG))).splitlines() == [
        "1 error and 1 warning in the tables.",
        "! error: formulas",
        "  found 99.5 %; expected 100 %",
        "  do: correct the shares",
        "* warning: demand.csv, row 12, column product",
        '  found "SV-X [old]"; expected a product',
        "  do: correct the name",
    ]


def test_json_leaves_out_what_is_not_known() -> None:
    wrong, odd = findings.listing_json((ODD, WRONG))
    assert (wrong["severity"], wrong["row"], wrong["column"]) == ("error", None, None)
    assert (odd["file"], odd["row"], odd["do"]) == ("demand.csv", 12, "correct the name")


def test_sound_tables_are_said_to_be_sound() -> None:
    assert as_text(findings.listing(())).strip() == findings.NOTHING


def test_the_warnings_of_a_plan_are_shown_with_it(view: View) -> None:
    told = replace(view, findings=(ODD,))
    assert "\n1 warning in the tables.\n" in as_text(findings.page(told))
    assert findings.content(told)["findings"][0]["severity"] == "warning"
