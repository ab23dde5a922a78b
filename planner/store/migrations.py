"""The numbered steps that bring a workshop file, however old, to the form this program uses.

A step is a text of SQL in `history/`. Each file records which steps it has taken. A new form is a
new step at the end of STEPS; a step that has been published is never edited.
"""

from importlib.resources import files

from sqlite_utils import Database, Migrations

from planner.errors import StoreError

STEPS = ("0001_tables", "0002_stock", "0003_plans")


def is_current(database: Database) -> bool:
    """True if the file has taken every step. Raises StoreError if it has taken others too."""
    taken = [step.name for step in _history().applied(database)]
    unknown = [step for step in taken if step not in STEPS]
    if unknown:
        raise StoreError(
            "This workshop file was made by a newer version of this program: its form is "
            f"{unknown[-1]}, and this version knows forms up to {STEPS[-1]}. "
            "Install the newer version."
        )
    return len(taken) == len(STEPS)


def migrate(database: Database) -> None:
    """Take every step that is still to take; all or none, inside a transaction of the caller's."""
    _history().apply(database)


def _history() -> Migrations:
    history = Migrations("workshop")
    for step in STEPS:

        @history(name=step)
        def take(database: Database, /, step: str = step) -> None:
            database.executescript(_text(step))

    return history


def _text(step: str) -> str:
    return files("planner.store").joinpath("history", f"{step}.sql").read_text(encoding="utf-8")
