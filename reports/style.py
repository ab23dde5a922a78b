"""The look of every report: plain columns, signs before colours, readable at 80 columns.

A sign always stands for what a colour says, so nothing is lost in a pipe or on paper.
"""

from collections.abc import Sequence
from io import StringIO
from textwrap import wrap
from typing import TextIO

from rich.box import Box
from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

WIDTH = 80
GAP = 2
"""Free columns between two columns of a table."""
ACT = "!"
"""Sign before what asks for an act: short, late, overdue, over its limit."""
NOTE = "*"
"""Sign before what a note below explains: a caution, a batch already under way."""

LOUD = "bold red"
QUIET = "dim"
HEAD = "bold"

HEAD_RULE = Box("    \n    \n -- \n    \n    \n    \n    \n    \n", ascii=True)
"""No lines but one below the heads of the columns, in characters that every terminal has."""


def columns(*heads: str, right: str = "") -> Table:
    """A table with these column heads; `right` lists, by letter, how each column stands.

    One letter a column: "l" left, "r" right, "n" left and never broken over lines; missing
    letters mean "l".
    """
    table = Table(box=HEAD_RULE, show_edge=False, padding=(0, 1, 0, 0), header_style=HEAD)
    for number, head in enumerate(heads):
        letter = right[number : number + 1] or "l"
        table.add_column(
            head,
            justify="right" if letter == "r" else "left",
            no_wrap=letter in "rn",
            # What does not fit must be seen not to; the reports' tests look for it.
            overflow="ellipsis" if letter in "rn" else "fold",
        )
    return table


def folded(words: str, width: int = 12, most: int = 12) -> str:
    """Words of a narrow column, broken over lines of `width`; a longer word has up to `most`."""
    longest = max((len(word) for word in words.split()), default=0)
    lines = wrap(words, max(width, min(longest, most)), break_on_hyphens=False)
    return "\n".join(line.rstrip() for line in lines)


def side_by_side(heads: Sequence[str], first: int, least: int) -> list[range]:
    """Which columns go into which table, so that each fits into 80 columns.

    `first` is the width of the column that all tables begin with, `least` that of the cells under
    the heads. A table has at least one column.
    """
    tables: list[range] = []
    start, used = 0, first
    for number, head in enumerate(heads):
        width = GAP + max(least, *(len(line) for line in head.split("\n")))
        if number > start and used + width > WIDTH:
            tables.append(range(start, number))
            start, used = number, first
        used += width
    return [*tables, range(start, len(heads))] if heads else []


def pairs() -> Table:
    """A table without heads: a short word on the left, what there is to say on the right."""
    table = Table.grid(padding=(0, GAP, 0, 0))
    table.add_column(no_wrap=True, style=HEAD)
    table.add_column(overflow="fold")
    return table


def title(words: str) -> Text:
    """The first line of a report."""
    return Text(words, style=HEAD)


def heading(words: str) -> Group:
    """The line over a part of a report, with a free line before it."""
    return Group(Text(), Text(words, style=HEAD))


def loud(words: str) -> Text:
    """Words that ask for an act, with the sign before them."""
    return Text(f"{ACT} {words}", style=LOUD)


def plain(words: str) -> Text:
    """Words as they are: brackets in ids and notes are never read as markup."""
    return Text(words)


def quiet(words: str) -> Text:
    """Words beside the matter: legends, assumptions."""
    return Text(words, style=QUIET)


def marked(words: str, act: bool) -> Text:
    """Words with the sign and colour of what asks for an act, if it does."""
    return loud(words) if act else plain(words)


def indented(content: RenderableType) -> Padding:
    """Content moved in by two columns."""
    return Padding(content, (0, 0, 0, 2))


def terminal(stream: TextIO | None = None, *, stderr: bool = False) -> Console:
    """The console of a run, as wide as its terminal and with its colours."""
    return Console(file=stream, stderr=stderr, highlight=False, emoji=False, markup=False)


def show(content: RenderableType, *, stderr: bool = False) -> None:
    """Print content: as the terminal can, or into a pipe or file as plain text of 80 columns."""
    console = terminal(stderr=stderr)
    if console.is_terminal:
        console.print(content)
    else:
        console.file.write(as_text(content))


def as_text(content: RenderableType, width: int = WIDTH) -> str:
    """Content as plain text of a fixed width: the same bytes wherever it runs."""
    stream = StringIO()
    console = Console(
        file=stream,
        width=width,
        color_system=None,
        force_terminal=False,
        legacy_windows=False,
        highlight=False,
        emoji=False,
        markup=False,
        _environ={},
    )
    console.print(content)
    return "\n".join(line.rstrip() for line in stream.getvalue().splitlines()) + "\n"
