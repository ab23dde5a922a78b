"""The command line. Everything heavy is imported inside the commands, so that help comes at once.

Exit codes: 0 done; 1 errors in the tables, or something late when asked to fail on it; 2 wrong
use, or a file that cannot be used; 3 a fault of this program.
"""

from collections.abc import Mapping
from datetime import date, datetime
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from typer.core import TyperGroup

from planner.errors import PlanBroken, PlannerError, TablesRefused

if TYPE_CHECKING:
    from rich.console import RenderableType

    from reports.view import View

TABLES_FAULTY, WRONG_USE, PROGRAM_FAULT = 1, 2, 3
DATE_FORM = "%Y-%m-%d"


class NoDateError(PlannerError):
    """What was given as a day is no date."""


class What(StrEnum):
    """The reports that can be shown."""

    OVERVIEW = "overview"
    BATCHES = "batches"
    PURCHASES = "purchases"
    SHORTFALLS = "shortfalls"
    STOCK = "stock"
    LOAD = "load"
    FINDINGS = "findings"


REPORTS = ", ".join(What)


class Commands(TyperGroup):
    """Turns the planner's errors into one line on stderr, or a list of findings, and a code."""

    def invoke(self, context: Any) -> Any:
        """Run a command."""
        try:
            return super().invoke(context)
        except TablesRefused as refusal:
            from reports.findings import listing

            _complain(listing(refusal.findings))
            _complain(str(refusal))
            raise typer.Exit(TABLES_FAULTY) from refusal
        except PlannerError as error:
            _complain(str(error))
            fault = isinstance(error, PlanBroken)
            raise typer.Exit(PROGRAM_FAULT if fault else WRONG_USE) from error


FIRST_YEAR, LAST_YEAR = 1900, 2999

app = typer.Typer(
    cls=Commands,
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help="Plans what a small hair-care bar workshop buys, pours, cures and packs, and by when.",
    epilog="Start here: planner demo. Then your own tables: planner load my-tables; planner plan.",
)


def _read_day(text: str) -> date:
    """The date that was given. Raises NoDateError.

    A plan looks years ahead and back, so a date at either end of the calendar is none to plan from.
    """
    try:
        day = datetime.strptime(text, DATE_FORM).date()
    except ValueError as error:
        raise NoDateError(f'--today is "{text}": expected a date such as 2026-08-31.') from error
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise NoDateError(
            f'--today is "{text}": expected a date from {FIRST_YEAR} to {LAST_YEAR}, such as '
            "2026-08-31."
        )
    return day


Json = Annotated[bool, typer.Option("--json", help="Print JSON instead of a page.")]
Today = Annotated[
    date | None,
    typer.Option(
        "--today",
        parser=_read_day,
        metavar="DATE",
        help="The day to take as today, as 2026-08-31. Default: today.",
    ),
]
Seconds = Annotated[
    float | None,
    typer.Option(min=0.1, metavar="SECONDS", help="Longest time to search."),
]
Seed = Annotated[
    int | None,
    typer.Option(min=0, metavar="NUMBER", help="Start of the search's random choices."),
]
Workers = Annotated[
    int | None,
    typer.Option(
        min=1,
        metavar="NUMBER",
        help="Searches side by side. With 1 the same plan comes out every time.",
    ),
]


@app.callback()
def choose_file(
    context: typer.Context,
    file: Annotated[
        Path, typer.Option("--file", "-f", help="The workshop file to work with.")
    ] = Path("workshop.db"),
) -> None:
    """Note which workshop file the command works with."""
    context.obj = file


@app.command(epilog="Example: planner demo my-demo")
def demo(
    folder: Annotated[
        Path | None,
        typer.Argument(
            help="A new or empty folder. Default: planner-demo, or planner-demo-2 and so on."
        ),
    ] = None,
    learn: Annotated[
        bool, typer.Option("--learn", help="The small workshop for learning the tables.")
    ] = False,
    seconds: Seconds = None,
) -> None:
    """Make a ready-made workshop, plan it, and tell what came out."""
    from reports import demo as story
    from reports.style import terminal

    told = story.tell(folder, learn, _given(seconds=seconds), terminal(stderr=True))
    _show(told)


@app.command(epilog="Example: planner --file workshop.db load my-tables")
def load(
    context: typer.Context,
    folder: Annotated[Path, typer.Argument(help="A folder of CSV files, one for each table.")],
    today: Today = None,
) -> None:
    """Read a folder of tables into the workshop file. Errors in the tables load nothing."""
    from reports import findings, session

    report, checked = session.load(context.obj, folder, _day(today))
    if checked.findings:
        _complain(findings.listing(checked.findings))
    rows, file = sum(report.rows.values()), context.obj
    done = f"{rows} rows from {folder} are in {file}."
    if not report.changed:
        done = f"Nothing changed: the {rows} rows from {folder} were in {file} already."
    _show(f"{done} Next: planner --file {file} plan")
    if report.backup is not None:
        _show(f"What was there before is in {report.backup}.")


@app.command(epilog="Example: planner check my-tables")
def check(
    context: typer.Context,
    folder: Annotated[
        Path | None, typer.Argument(help="A folder of CSV files. Default: the workshop file.")
    ] = None,
    today: Today = None,
    json: Json = False,
    fail_on_warnings: Annotated[
        bool, typer.Option("--fail-on-warnings", help="Exit with 1 on warnings too.")
    ] = False,
) -> None:
    """List everything that is wrong or odd in the tables. Exits with 1 if there is an error."""
    from reports import findings, session

    day = _day(today)
    if folder is None:
        found = session.check_file(context.obj, day).findings
    else:
        found = session.check_folder(folder, day).findings
    _print(findings.listing(found), {"findings": findings.listing_json(found)}, json)
    if any(each.is_error for each in found) or (fail_on_warnings and found):
        raise typer.Exit(TABLES_FAULTY)


@app.command(epilog="Example: planner plan --seconds 60 --fail-on-late")
def plan(
    context: typer.Context,
    today: Today = None,
    seconds: Seconds = None,
    seed: Seed = None,
    workers: Workers = None,
    json: Json = False,
    fail_on_late: Annotated[
        bool, typer.Option("--fail-on-late", help="Exit with 1 if an order or launch is late.")
    ] = False,
) -> None:
    """Plan the workshop and keep the plan. Ctrl-C ends the search with the best plan so far."""
    from reports import findings, overview, session
    from reports.live import STOPPED
    from reports.plan_json import plan_json
    from reports.style import terminal

    options = _given(seconds=seconds, seed=seed, workers=workers)
    view, stopped = session.make_view(context.obj, _day(today), options, terminal(stderr=True))
    if stopped:
        _complain(STOPPED)
    if json and view.findings:
        _complain(findings.listing(view.findings))
    _print(overview.page(view), plan_json(view), json)
    if fail_on_late and overview.is_late(view):
        raise typer.Exit(TABLES_FAULTY)


@app.command(epilog="Example: planner show purchases")
def show(
    context: typer.Context,
    what: Annotated[
        What, typer.Argument(metavar="REPORT", help=f"Which report: {REPORTS}.")
    ] = What.OVERVIEW,
    today: Today = None,
    json: Json = False,
) -> None:
    """Show a report of the plan that was made last."""
    from reports import session

    view = session.stored_view(context.obj, today)
    page, content = _report(what, view)
    _print(page, content, json)


@app.command(epilog="Example: planner dump my-tables")
def dump(
    context: typer.Context,
    folder: Annotated[Path, typer.Argument(help="A new or empty folder for the CSV files.")],
    overwrite: Annotated[
        bool, typer.Option("--overwrite", help="Replace the tables that are in the folder.")
    ] = False,
) -> None:
    """Write the tables of the workshop file into a folder. To load them again changes nothing."""
    from reports import session

    session.dump(context.obj, folder, overwrite)
    _show(f"The tables are in {folder}.")


def _report(what: What, view: "View") -> "tuple[RenderableType, Mapping[str, Any]]":
    from importlib import import_module

    module = import_module(f"reports.{what}")
    return module.page(view), module.content(view)


def _day(today: date | None) -> date:
    """The day that was given, else today's date."""
    from planner.days import today as today_here

    return today_here() if today is None else today


def _given(**options: float | int | None) -> dict[str, float | int]:
    """The options that were given; the others keep the planner's defaults."""
    return {name: value for name, value in options.items() if value is not None}


def _print(page: "RenderableType", content: Mapping[str, Any], as_json: bool) -> None:
    """A report on stdout, for a reader or as JSON."""
    from reports.view import json_text

    if as_json:
        typer.echo(json_text(content))
    else:
        _show(page)


def _show(content: "RenderableType") -> None:
    _put(content, stderr=False)


def _complain(content: "RenderableType") -> None:
    _put(content, stderr=True)


def _put(content: "RenderableType", *, stderr: bool) -> None:
    """A sentence stays on its line; anything more is laid out."""
    if isinstance(content, str):
        typer.echo(content, err=stderr)
    else:
        from reports.style import show

        show(content, stderr=stderr)


def main() -> None:
    """Run the command line."""
    app()
