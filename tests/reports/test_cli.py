"""The command line as a person and a pipe see it; the search is replaced by the list scheduler."""

import json
import shutil
import threading
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from planner.account import Account, Broken, Rule
from planner.draft.draft import draft
from planner.plan import Plan
from planner.replay import replay
from planner.workshop import Workshop
from reports import live
from reports.cli import What, app
from reports.demo import ready_made
from reports.findings import NOTHING

Run = Callable[..., Result]
DAY = ("--today", "2026-08-31")


@pytest.fixture(autouse=True)
def _quick(monkeypatch: pytest.MonkeyPatch) -> None:
    def make_plan(
        workshop: Workshop, settings: Any, stored: Any, progress: Any, stop: threading.Event
    ) -> tuple[Plan, Account]:
        plan = draft(workshop)
        return plan, replay(workshop, plan)

    monkeypatch.setattr(live, "make_plan", make_plan)


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Runs a command in an empty folder, with the default workshop file."""
    monkeypatch.chdir(tmp_path)

    def run(*arguments: str) -> Result:
        return CliRunner().invoke(app, list(arguments))

    return run


@pytest.fixture
def tables(tmp_path: Path) -> Path:
    """The small learning workshop's tables in a folder of their own."""
    shutil.copytree(ready_made() / "first", tmp_path / "my-tables")
    return tmp_path / "my-tables"


@pytest.fixture
def planned(run: Run, tables: Path) -> Run:
    """As `run`, with the learning workshop loaded and planned."""
    assert run("load", str(tables), *DAY).exit_code == 0
    assert run("plan", *DAY).exit_code == 0
    return run


def spoil(tables: Path) -> None:
    """Put a price that is no number into the products table."""
    file = tables / "products.csv"
    lines = file.read_text("utf-8").splitlines()
    cells = lines[1].split(",")
    cells[lines[0].split(",").index("price")] = "cheap"
    lines[1] = ",".join(cells)
    file.write_text("\n".join(lines) + "\n", "utf-8")


# Help and wrong use


def test_help_names_every_command_and_an_example(run: Run) -> None:
    text = run("--help").stdout
    assert all(word in text for word in ("demo", "load", "check", "plan", "show", "dump"))
    for command in ("demo", "load", "check", "plan", "show", "dump"):
        assert "Example: planner " in run(command, "--help").stdout


def test_help_is_plain_and_fits(run: Run) -> None:
    for command in ((), ("demo",), ("plan",), ("show",)):
        text = run(*command, "--help").stdout
        assert text.isascii()
        usage, *lines = text.splitlines()
        assert usage.startswith("Usage: ")
        assert not any(line.endswith("...") for line in lines), "cut short"
        assert max(len(line) for line in lines) <= 80


def test_an_unknown_report_is_wrong_use(planned: Run) -> None:
    result = planned("show", "stok")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "stock" in result.stderr


@pytest.mark.parametrize("command", [("plan",), ("check",), ("load", "my-tables"), ("show",)])
@pytest.mark.parametrize("given", ["tomorrow", "2026-02-30", "31.8.2026", ""])
def test_a_day_that_is_no_date_is_told_with_what_was_expected(
    run: Run, command: tuple[str, ...], given: str
) -> None:
    result = run(*command, "--today", given)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == f'--today is "{given}": expected a date such as 2026-08-31.\n'


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01"])
def test_a_day_at_the_end_of_the_calendar_is_none_to_plan_from(
    day: str, run: Run, tables: Path
) -> None:
    result = run("check", str(tables), "--today", day)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "expected a date from 1900 to 2999" in result.stderr


def test_without_a_workshop_file_one_line_says_what_to_do(run: Run) -> None:
    for command in ("plan", "show", "check"):
        result = run(command)
        assert (result.exit_code, result.stdout) == (2, "")
        assert "workshop.db" in result.stderr
        assert "Traceback" not in result.stderr


def test_without_a_plan_one_line_says_what_to_run(run: Run, tables: Path) -> None:
    run("load", str(tables), *DAY)
    result = run("show", "stock")
    assert result.exit_code == 2
    assert "planner --file workshop.db plan" in " ".join(result.stderr.split())


# Tables in and out


def test_load_says_what_it_did_and_what_comes_next(run: Run, tables: Path) -> None:
    result = run("--file", "other.db", "load", str(tables), *DAY)
    assert result.exit_code == 0
    assert "planner --file other.db plan" in " ".join(result.stdout.split())
    assert Path("other.db").is_file()


def test_a_load_of_other_tables_keeps_what_was_there(run: Run, tables: Path) -> None:
    run("load", str(tables), *DAY)
    stock = tables / "stock.csv"
    stock.write_text(stock.read_text("utf-8").replace("flakes,F-1,5,kg", "flakes,F-1,4,kg"))
    result = run("load", str(tables), *DAY)
    assert "What was there before is in" in result.stdout
    assert "Nothing changed" not in result.stdout


def test_a_load_of_the_same_tables_says_so_and_makes_no_backup(run: Run, tables: Path) -> None:
    run("load", str(tables), *DAY)
    before = sorted(Path().iterdir())
    result = run("load", str(tables), *DAY)
    assert result.exit_code == 0
    assert result.stdout.startswith("Nothing changed: the ")
    assert "What was there before" not in result.stdout
    assert sorted(Path().iterdir()) == before


def test_errors_load_nothing_and_are_listed_on_stderr(run: Run, tables: Path) -> None:
    spoil(tables)
    result = run("load", str(tables), *DAY)
    assert (result.exit_code, result.stdout) == (1, "")
    assert "products.csv, row 2, column price" in " ".join(result.stderr.split())
    assert "nothing was loaded" in result.stderr
    assert not Path("workshop.db").exists()


def test_tables_that_were_sound_on_another_day_are_not_planned(run: Run, tables: Path) -> None:
    run("load", str(tables), *DAY)
    # A year later its launch lies in the past.
    result = run("plan", "--today", "2027-08-31")
    assert (result.exit_code, result.stdout) == (1, "")
    assert "demand, row 4, column day" in result.stderr
    assert "The tables hold errors, so nothing was planned." in result.stderr


def test_check_fails_on_errors_and_on_warnings_if_it_is_asked(run: Run, tables: Path) -> None:
    sound = run("check", str(tables), *DAY)
    assert (sound.exit_code, sound.stdout) == (0, f"{NOTHING}\n")
    orders = tables / "open_orders.csv"
    # Expected before today: overdue, which is odd but can be planned with.
    orders.write_text(orders.read_text("utf-8").replace("2026-09-07", "2026-08-29"), "utf-8")
    odd = run("check", str(tables), *DAY)
    assert (odd.exit_code, "* warning: open_orders.csv" in odd.stdout) == (0, True)
    assert run("check", str(tables), "--fail-on-warnings", *DAY).exit_code == 1
    spoil(tables)
    assert run("check", str(tables), *DAY).exit_code == 1


def test_check_as_json_lists_each_finding_with_what_to_do(run: Run, tables: Path) -> None:
    spoil(tables)
    findings = json.loads(run("check", str(tables), "--json", *DAY).stdout)["findings"]
    assert findings[0]["severity"] == "error"
    assert (findings[0]["file"], findings[0]["row"]) == ("products.csv", 2)
    assert findings[0]["do"]


def test_what_is_dumped_loads_again_and_changes_nothing(planned: Run) -> None:
    assert planned("dump", "out").exit_code == 0
    assert planned("--file", "again.db", "load", "out", *DAY).exit_code == 0
    assert planned("--file", "again.db", "dump", "back").exit_code == 0
    for file in sorted(Path("out").iterdir()):
        assert file.read_bytes() == (Path("back") / file.name).read_bytes()


def test_dump_leaves_tables_alone_and_names_the_option_that_replaces_them(
    planned: Run, tables: Path
) -> None:
    (tables / "trays.csv").write_text("tray,count\n")
    result = planned("dump", str(tables))
    assert (result.exit_code, result.stdout) == (2, "")
    assert "or replace them with --overwrite" in result.stderr
    assert (tables / "trays.csv").read_text() == "tray,count\n"
    assert "--overwrite" in planned("dump", "--help").stdout
    assert planned("dump", str(tables), "--overwrite").exit_code == 0
    assert (tables / "trays.csv").read_text() != "tray,count\n"


def test_dump_never_loses_another_file(planned: Run) -> None:
    Path("letters").mkdir()
    Path("letters", "letter.txt").write_text("dear")
    for options in ((), ("--overwrite",)):
        result = planned("dump", "letters", *options)
        assert result.exit_code == 2
        assert "letter.txt, which would be lost: name another folder" in result.stderr
        assert "--overwrite" not in result.stderr


# Plan and reports


def test_plan_shows_the_overview(run: Run, tables: Path) -> None:
    run("load", str(tables), *DAY)
    result = run("plan", *DAY)
    assert "Order " in result.stdout
    assert "Met " in result.stdout


def test_json_on_stdout_is_nothing_but_json(run: Run, tables: Path) -> None:
    run("load", str(tables), *DAY)
    plan = json.loads(run("plan", "--json", *DAY).stdout)
    assert plan["certified"]
    assert plan["first_day"] == "2026-08-31"


@pytest.mark.slow
@pytest.mark.parametrize("what", list(What))
def test_every_report_is_there_as_page_and_as_json(planned: Run, what: What) -> None:
    page = planned("show", what, *DAY)
    assert page.exit_code == 0
    assert "\x1b" not in page.stdout
    assert "…" not in page.stdout
    assert max(len(line) for line in page.stdout.splitlines()) <= 80
    content = json.loads(planned("show", what, "--json", *DAY).stdout)
    assert (content["report"], content["stale"]) == (what, [])


def test_a_plan_of_another_day_is_shown_and_said_to_be_out_of_date(planned: Run) -> None:
    result = planned("show", "--today", "2026-09-03")
    assert result.exit_code == 0
    text = " ".join(result.stdout.split())
    assert "! Out of date: made for Mon 31 Aug; its first day has passed." in text


def test_a_plan_of_other_tables_is_shown_and_said_to_be_out_of_date(
    planned: Run, tables: Path
) -> None:
    stock = tables / "stock.csv"
    stock.write_text(stock.read_text("utf-8").replace("flakes,F-1,5,kg", "flakes,F-1,0.1,kg"))
    assert planned("load", str(tables), *DAY).exit_code == 0
    text = " ".join(planned("show", *DAY).stdout.split())
    assert "the tables have changed since it was made" in text
    assert "breaks" in text


def test_a_kept_plan_that_breaks_a_rule_of_its_own_tables_is_a_fault_of_this_program(
    planned: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    broken = Broken(day=0, rule=Rule.TRAYS, subject="rack", message="")
    monkeypatch.setattr(
        "reports.session.replay",
        lambda workshop, plan: replace(replay(workshop, plan), broken=(broken,)),
    )
    result = planned("show", *DAY)
    assert (result.exit_code, result.stdout) == (3, "")
    assert "the kept plan of Mon 31 Aug 2026 does not pass its replay" in result.stderr


def test_the_next_plan_sets_out_from_the_kept_one_in_its_own_day_numbers(
    planned: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept: list[Plan] = []
    quick = vars(live)["make_plan"]

    def watched(workshop: Workshop, settings: Any, stored: Any, *rest: Any) -> Any:
        kept.append(stored)
        return quick(workshop, settings, stored, *rest)

    monkeypatch.setattr(live, "make_plan", watched)
    batches = json.loads(planned("show", "--json", "batches", *DAY).stdout)["batches"]
    assert planned("plan", "--today", "2026-09-02").exit_code == 0
    ahead = [
        (date.fromisoformat(batch["pour"]) - date(2026, 9, 2)).days
        for batch in batches
        if not batch["in_progress"]
    ]
    assert [b.pour for b in kept[0].batches if not b.in_progress] == [d for d in ahead if d >= 0]


@pytest.mark.slow
def test_fail_on_late_is_about_orders_and_launches(run: Run, tables: Path) -> None:
    run("load", str(tables), *DAY)
    assert run("plan", "--fail-on-late", *DAY).exit_code == 0
    demand = tables / "demand.csv"
    # Far more bars than can be there on the day: the order waits, or is not met at all.
    text = demand.read_text("utf-8").replace("order,shampoo,12,", "order,shampoo,400,")
    demand.write_text(text, "utf-8")
    run("load", str(tables), *DAY)
    result = run("plan", "--fail-on-late", *DAY)
    assert result.exit_code == 1
    assert "late: first stockist" in " ".join(result.stdout.split())


def test_the_day_is_today_if_none_is_given(
    run: Run, tables: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("planner.days.today", lambda: date(2026, 9, 1))
    run("load", str(tables))
    assert json.loads(run("plan", "--json").stdout)["first_day"] == "2026-09-01"


@pytest.mark.slow
def test_demo_tells_its_story_and_leaves_a_plan(run: Run) -> None:
    result = run("demo", "new")
    assert result.exit_code == 0
    assert "What pulls against what" in result.stdout
    assert json.loads(run("--file", "new/workshop.db", "show", "--json").stdout)["certified"]
    again = run("demo", "new")
    assert (again.exit_code, again.stdout) == (2, "")


def test_the_learning_workshop_has_a_story_too(run: Run) -> None:
    assert run("demo", "--learn").exit_code == 0
    assert Path("planner-first/workshop.db").is_file()
