"""Functions as machine code."""

from planner.anneal.compiled import compiled


def test_what_cannot_be_kept_is_compiled_all_the_same() -> None:
    """A function without a file has no place beside it, nor in the user's cache."""
    names: dict[str, object] = {}
    exec("def doubled(number):\n    return 2 * number", names)
    doubled = compiled(names["doubled"])  # type: ignore[type-var]
    assert doubled(21) == 42  # type: ignore[operator]
    assert doubled is not names["doubled"]
