"""The ready-made workshops: made in a folder, planned, and told as a story."""

import shutil
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import count
from pathlib import Path

from rich.console import Console, Group, RenderableType

from planner.errors import PlannerError
from planner.last_pour import last_pour_day
from planner.recipes import recipe_of
from planner.workshop import Demand, DemandKind, Product, Receipt, Workshop
from reports import overview, session
from reports.live import STOPPED
from reports.style import heading, loud, pairs, plain
from reports.view import View
from reports.words import amount_text, count_text, list_text

FIRST_DAY = date(2026, 8, 31)
"""Both workshops are invented, and so is the day on which their plans begin."""
WORKSHOP_FILE = "workshop.db"
TABLES = "tables"

MADE = "{name} is an invented workshop. Its tables are in {tables}; TABLES.md explains them."
CONFLICT = "What pulls against what"
LAUNCH = "{name} is to be launched on {day}: {bars}."
LAST_POUR = (
    "{product} sets {nights} and cures {cure}, so what is sold at the launch must be poured by "
    "{day} at the latest."
)
SCARCE = (
    "{on_hand} of {item} is on hand, and a batch of {bars} bars takes {takes}. The next "
    "{coming} is on the way, but usable only from {usable}."
)
TRAYS = "{tray}: {count} for all lines; a batch of {product} holds {held} of them for {cure}."
PLANNED = "What the plan makes of it"
NEXT = "Look further: planner -f {file} show ..."
REPORTS = (
    ("purchases", "what to order, by when, what it is for, and what a week's delay does"),
    ("batches", "what to do, week by week, and what to weigh"),
    ("shortfalls", "what is short, from when to when, and why"),
    ("stock", "what runs out when, and by when to order again"),
    ("load", "how full hands, moulds and trays are"),
)
OWN = """Change a cell in {tables}, then load and plan again:
planner -f {file} load {tables} --today {day}
planner -f {file} plan --today {day}"""


class FolderTakenError(PlannerError):
    """The folder for a ready-made workshop holds something already."""


@dataclass(frozen=True, kw_only=True)
class ReadyMade:
    """A workshop that comes with the program: where its tables are, where it goes by default."""

    source: str
    folder: str


DEMO = ReadyMade(source="demo", folder="planner-demo")
LEARN = ReadyMade(source="first", folder="planner-first")


def tell(
    folder: Path | None, learn: bool, options: Mapping[str, float | int], terminal: Console
) -> RenderableType:
    """Make a ready-made workshop in a folder, plan it, and tell what came out.

    Raises FolderTakenError if the folder holds something, and what planning raises.
    """
    ready = LEARN if learn else DEMO
    place = first_free(ready.folder) if folder is None else folder
    copy_tables(ready.source, place)
    file = place / WORKSHOP_FILE
    session.load(file, place / TABLES, FIRST_DAY)
    view, stopped = session.make_view(file, FIRST_DAY, options, terminal)
    return page(view, place, stopped)


def first_free(name: str) -> Path:
    """The first of name, name-2, name-3 ... that is new or empty, in the folder one is in."""
    names = (name if number == 1 else f"{name}-{number}" for number in count(1))
    return next(place for place in map(Path, names) if _is_free(place))


def _is_free(place: Path) -> bool:
    return not place.exists() or (place.is_dir() and not any(place.iterdir()))


def page(view: View, place: Path, stopped: bool = False) -> RenderableType:
    """What is told of a ready-made workshop in folder `place`."""
    file, tables = place / WORKSHOP_FILE, place / TABLES
    return Group(
        plain(MADE.format(name=view.workshop.name, tables=tables)),
        *([loud(STOPPED)] if stopped else []),
        *story(view),
        heading(NEXT.format(file=file)),
        _reports(),
        plain(""),
        plain(OWN.format(file=file, tables=tables, day=FIRST_DAY)),
    )


def _reports() -> RenderableType:
    table = pairs()
    for report, answers in REPORTS:
        table.add_row(report, answers)
    return table


def copy_tables(source: str, folder: Path) -> None:
    """Copy the tables of a ready-made workshop into `folder`/tables.

    Raises FolderTakenError if the folder holds something or is a file.
    """
    if folder.is_file():
        raise FolderTakenError(f"{folder} is a file. Name a folder that is new or empty.")
    if not _is_free(folder):
        raise FolderTakenError(f"{folder} is not empty. Name a folder that is new or empty.")
    root = ready_made()
    shutil.copytree(root / source, folder / TABLES)
    shutil.copy(root / "TABLES.md", folder)


def ready_made() -> Path:
    """Where the ready-made workshops are: within the installed program, or in its source."""
    here = Path(__file__).resolve().parent
    installed = here / "_data"
    return installed if installed.is_dir() else here.parent / "data"


def story(view: View) -> list[RenderableType]:
    """The conflict, if there is one, and what the plan makes of it."""
    told = list(conflict(view.workshop, view))
    parts: list[RenderableType] = []
    if told:
        parts += [heading(CONFLICT), *(plain(line) for line in told)]
    return [*parts, heading(PLANNED), overview.page(view)]


def conflict(workshop: Workshop, view: View) -> Iterator[str]:
    """What the tables say of each launch: by when to pour for it, and what stands against that."""
    launches: dict[str, list[Demand]] = {}
    for row in workshop.demand:
        if row.kind is DemandKind.LAUNCH:
            launches.setdefault(row.launch, []).append(row)
    for name, rows in launches.items():
        day = max(row.day for row in rows)
        bars = list_text(f"{row.quantity} bars of {row.product}" for row in rows)
        yield LAUNCH.format(name=name, day=view.dates.text(day), bars=bars)
        slowest = max(
            (workshop.products[row.product] for row in rows),
            key=lambda product: product.set_days + product.cure_days,
        )
        yield from _against(workshop, view, slowest, day)


def _against(workshop: Workshop, view: View, product: Product, launch: int) -> Iterator[str]:
    last = last_pour_day(workshop, product, launch)
    if last is None:
        return
    yield LAST_POUR.format(
        product=product.id,
        nights=_nights(product),
        cure=count_text(product.cure_days, "day"),
        day=view.dates.text(last),
    )
    yield from _scarce(workshop, view, product, last)
    tray = workshop.trays[product.tray]
    yield TRAYS.format(
        count=tray.count,
        tray=tray.id,
        held=-(-max(product.sizes) // product.bars_per_tray),
        cure=count_text(product.cure_days, "day"),
        product=product.id,
    )


def _nights(product: Product) -> str:
    return count_text(product.set_days, "night") if product.set_days else "within the day"


def _scarce(workshop: Workshop, view: View, product: Product, last: int) -> Iterator[str]:
    """The materials of a product that are on the way, but come after its last pour day."""
    for receipt in workshop.receipts:
        share = next((p.share for p in product.formula if p.item == receipt.material), None)
        if share is not None and receipt.usable > last:
            yield _scarce_words(workshop, view, product, receipt)


def _scarce_words(workshop: Workshop, view: View, product: Product, receipt: Receipt) -> str:
    unit = workshop.unit_of(receipt.material)
    lots = [lot for lot in workshop.lots if lot.item == receipt.material]
    bars = max(product.sizes)
    takes = recipe_of(workshop, product.id, bars).parts[receipt.material]
    return SCARCE.format(
        on_hand=amount_text(sum(lot.amount for lot in lots), unit),
        item=receipt.material,
        bars=bars,
        takes=amount_text(takes, unit),
        coming=amount_text(receipt.amount, unit),
        usable=view.dates.text(receipt.usable),
    )
