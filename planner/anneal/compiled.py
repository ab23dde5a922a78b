"""Compiled functions: Python that numba turns into machine code when it is first called.

What is compiled is kept beside the module, or in the user's cache, and loaded from there in every
later run. Numbers follow from the operations as written, so that a search repeats.
"""

import os
from collections.abc import Callable, Iterable
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Any, TypeVar, cast

import numba

Function = TypeVar("Function", bound=Callable[..., Any])

SETTINGS: Any = numba.config
"""Those of numba."""

COMPILE: Any = numba.njit
"""Its declared types leave an option out that is used here."""

PLANNER = Path(__file__).parent.parent

SOURCES = "anneal", "draft"
"""The packages that compiled code comes from: functions, and numbers that become part of them."""


def digest(files: Iterable[Path]) -> str:
    """A few digits that change with any of some files."""
    found = sha256()
    for file in sorted(files):
        found.update(file.name.encode() + b"\0" + file.read_bytes() + b"\0")
    return found.hexdigest()[:16]


def kept_in() -> Path:
    """The folder for what is compiled from these sources.

    By itself numba looks at the file of a function only, not at those of what it calls: it would go
    on with what was compiled before they changed.
    """
    files = (file for package in SOURCES for file in (PLANNER / package).glob("*.py"))
    place = Path(__file__).parent / "__pycache__"
    if not os.access(place.parent, os.W_OK):
        with suppress(RuntimeError):  # without a home it is kept nowhere
            place = Path.home() / ".cache"
    return Path(SETTINGS.CACHE_DIR or place) / f"planner-{digest(files)}"


SETTINGS.CACHE_DIR = str(kept_in())


def compiled(function: Function) -> Function:
    """The function as machine code; it takes arrays, numbers and named tuples of them.

    It makes no arrays of its own, so that nobody counts who holds one: that took two fifths of the
    time of a search.
    """
    return _machine_code(function, _nrt=False)


def inlined(function: Function) -> Function:
    """The same, copied into each function that calls it: to pass some thirty arrays takes longer
    than to write a few numbers.
    """
    return _machine_code(function, _nrt=False, forceinline=True)


def _machine_code(function: Function, **options: bool) -> Function:
    """Where there is no place to keep it, every process compiles it anew."""
    try:
        return cast("Function", COMPILE(cache=True, **options)(function))
    except RuntimeError:
        return cast("Function", COMPILE(**options)(function))
