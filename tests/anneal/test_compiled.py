"""Functions as machine code."""

from pathlib import Path

import pytest

from planner.anneal import compiled as module
from planner.anneal.compiled import compiled, digest, kept_in


def test_what_cannot_be_kept_is_compiled_all_the_same() -> None:
    """A function without a file has no place beside it, nor in the user's cache."""
    names: dict[str, object] = {}
    exec("def doubled(number):\n    return 2 * number", names)
    doubled = compiled(names["doubled"])  # type: ignore[type-var]
    assert doubled(21) == 42  # type: ignore[operator]
    assert doubled is not names["doubled"]


def test_the_digest_changes_with_any_file(tmp_path: Path) -> None:
    """With what is in it, and with its name; not with the order in which files are given."""
    one, two = tmp_path / "one.py", tmp_path / "two.py"
    one.write_text("1")
    two.write_text("2")
    before = digest([one, two])
    assert digest([two, one]) == before
    two.write_text("3")
    assert digest([one, two]) != before
    two.write_text("2")
    assert digest([one, two]) == before
    assert digest([one, two.rename(tmp_path / "three.py")]) != before


def test_what_was_compiled_before_a_change_is_not_loaded(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whether a function itself has changed, or a number in a package that it uses."""
    monkeypatch.setattr(module, "PLANNER", tmp_path)
    places = []
    for package in module.SOURCES:
        (tmp_path / package).mkdir()
        for text in ("NUMBER = 1", "NUMBER = 2"):
            (tmp_path / package / "file.py").write_text(text)
            places.append(kept_in())
    assert len(set(places)) == 4
    assert kept_in() == places[-1]


def test_it_is_kept_where_the_user_says(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(module.SETTINGS, "CACHE_DIR", str(tmp_path))
    assert kept_in().parent == tmp_path
    monkeypatch.setattr(module.SETTINGS, "CACHE_DIR", "")
    beside = Path(module.__file__).parent / "__pycache__"
    assert kept_in().parent == beside
    monkeypatch.setattr(module.os, "access", lambda *_: False)
    assert kept_in().parent == Path.home() / ".cache"

    def homeless() -> Path:
        raise RuntimeError("no home")

    monkeypatch.setattr(module.Path, "home", homeless)
    assert kept_in().parent == beside
