"""Compiled functions: Python that numba turns into machine code when it is first called.

What is compiled is kept beside the module, or in the user's cache, and loaded from there in every
later run. Numbers follow from the operations as written, so that a search repeats.
"""

from collections.abc import Callable
from typing import Any, TypeVar, cast

from numba import njit

Function = TypeVar("Function", bound=Callable[..., Any])


def compiled(function: Function) -> Function:
    """The function as machine code; it takes arrays, numbers and named tuples of them.

    Where there is no place to keep it, every process compiles it anew.
    """
    try:
        return cast("Function", njit(cache=True)(function))
    except RuntimeError:
        return cast("Function", njit(function))
