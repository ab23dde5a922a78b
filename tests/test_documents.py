"""The documents say what is true: commands that exist and are checked, files that are there."""

import re
from pathlib import Path

import pytest
from typer.main import get_command

from planner.causes import shortfalls
from planner.draft.draft import draft
from planner.replay import replay
from reports import demo
from reports.cli import What, app
from reports.style import as_text
from reports.view import View
from tests.demo import demo_workshop

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
CHECK_RUN = (ROOT / ".ci" / "run").read_text(encoding="utf-8")

BLOCK = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
INLINE = re.compile(r"`(planner [^`]*)`")
PATH = re.compile(r"`((?:planner|reports|tests|data|\.ci)/[\w./*]+)`")
IN_A_PACKAGE = re.compile(r"`((?:rules/)?\w+\.py)`")
LINK = re.compile(r"\]\(([^)#]+)\)")


def shell_lines(text: str) -> list[str]:
    """The lines of the shell blocks of a document."""
    blocks = [block for language, block in BLOCK.findall(text) if language == "sh"]
    return [line for block in blocks for line in block.splitlines() if line]


def commands() -> list[str]:
    """Every call of the planner that the README tells the reader to make."""
    typed = [line for line in shell_lines(README) if line.startswith("planner ")]
    named = [call for call in INLINE.findall(README) if "COMMAND" not in call and "..." not in call]
    return sorted({*typed, *named})


def options_of(command: str) -> set[str]:
    """The long options of a command of the command line."""
    program = get_command(app)
    found = program.commands[command]  # type: ignore[attr-defined]
    return {name for parameter in found.params for name in parameter.opts}


def test_the_readme_opens_with_a_paragraph_about_the_job() -> None:
    title, opening, *_ = README.split("\n\n")
    assert title.startswith("# ")
    assert opening[0].isalpha()
    assert "bars" in opening
    assert "buy" in opening


def test_the_two_commands_are_what_the_check_run_runs() -> None:
    two = [line for line in shell_lines(README) if line.startswith("python3 ")]
    assert len(two) == 2
    assert "planner demo" in two[0]
    assert two[1].endswith("-m pytest -n 2")
    for command in two:
        assert command in CHECK_RUN.splitlines()


def test_the_readme_calls_the_planner_in_more_than_one_way() -> None:
    assert len(commands()) >= 12


@pytest.mark.parametrize("call", commands())
def test_a_call_in_the_readme_exists(call: str) -> None:
    words = call.split()[1:]
    program = get_command(app)
    command = words[0]
    assert command in program.commands  # type: ignore[attr-defined]
    options = {word for word in words if word.startswith("--")}
    assert options <= options_of(command)
    if command == "show":
        assert words[1] in [str(report) for report in What]


def test_every_command_and_report_is_in_the_readme() -> None:
    used = {call.split()[1] for call in commands()}
    assert used == set(get_command(app).commands)  # type: ignore[attr-defined]
    shown = {call.split()[2] for call in commands() if call.startswith("planner show")}
    assert shown == {str(report) for report in What}


@pytest.fixture(scope="module")
def shown() -> str:
    """The demo's output as the README shows it."""
    block = README.split("<!-- demo output -->")[1].split("<!-- end of demo output -->")[0]
    return block.split("```text\n")[1].split("```")[0]


@pytest.fixture(scope="module")
def printed() -> str:
    """What the demo prints of the list scheduler's plan: the same words, other numbers."""
    workshop = demo_workshop()
    plan = draft(workshop)
    account = replay(workshop, plan)
    view = View(
        workshop=workshop,
        plan=plan,
        account=account,
        shortfalls=shortfalls(workshop, plan, account),
    )
    return as_text(demo.page(view, Path(demo.DEMO.folder)))


def parts(text: str) -> tuple[str, str, str]:
    """The demo's output before the plan, on the plan, and after it."""
    before, rest = text.split(demo.PLANNED)
    plan, after = rest.split("\nLook further")
    return before, plan, after


@pytest.mark.slow
def test_what_the_demo_says_beside_its_plan_is_shown_word_for_word(
    shown: str, printed: str
) -> None:
    before, _, after = parts(shown)
    now_before, _, now_after = parts(printed)
    assert (before, after) == (now_before, now_after)


def test_the_plan_shown_has_the_lines_of_a_plan_in_their_order(shown: str, printed: str) -> None:
    labels = re.compile(r"^[A-Z][a-z]+(?: [a-z]+)?(?=  )", re.MULTILINE)
    assert labels.findall(parts(shown)[1]) == labels.findall(parts(printed)[1])
    assert len(labels.findall(parts(shown)[1])) == 8
    assert max(map(len, shown.splitlines())) <= 80


@pytest.mark.parametrize("link", sorted({*LINK.findall(README), *LINK.findall(DEVELOPERS)}))
def test_a_linked_document_is_there(link: str) -> None:
    assert (ROOT / link).is_file()


@pytest.mark.parametrize("path", sorted(set(PATH.findall(DEVELOPERS))))
def test_a_path_in_the_developers_document_is_there(path: str) -> None:
    assert list(ROOT.glob(path.rstrip("/")))


@pytest.mark.parametrize("name", sorted(set(IN_A_PACKAGE.findall(DEVELOPERS))))
def test_a_file_of_the_model_named_in_short_is_there(name: str) -> None:
    assert (ROOT / "planner" / "solver" / name).is_file()


def test_the_import_picture_shows_every_layer() -> None:
    contract = (ROOT / ".importlinter").read_text(encoding="utf-8")
    text = contract.split("exhaustive = True\nlayers =\n")[1].split("\n\n")[0]
    picture = DEVELOPERS.split("## Who imports whom")[1].split("```")[1].splitlines()
    shown = [line for line in picture if line and line[0].isalpha()][2:]
    for layer, line in zip(text.splitlines(), shown, strict=True):
        assert set(layer.replace("|", " ").split()) <= set(line.split())
