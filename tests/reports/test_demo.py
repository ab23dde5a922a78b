from dataclasses import replace
from pathlib import Path

import pytest

from planner.workshop import Receipt
from reports import demo
from reports.view import View


def test_the_tables_are_copied_with_their_explanation(tmp_path: Path) -> None:
    demo.copy_tables("demo", tmp_path / "new")
    source = demo.ready_made() / "demo"
    copied = tmp_path / "new" / demo.TABLES
    assert sorted(file.name for file in copied.iterdir()) == sorted(
        file.name for file in source.iterdir()
    )
    assert (copied / "products.csv").read_bytes() == (source / "products.csv").read_bytes()
    assert (tmp_path / "new" / "TABLES.md").is_file()


def test_an_empty_folder_is_as_good_as_a_new_one(tmp_path: Path) -> None:
    demo.copy_tables("first", tmp_path)
    assert (tmp_path / demo.TABLES / "workshop.csv").is_file()


def test_a_folder_that_holds_something_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    with pytest.raises(demo.FolderTakenError, match="is not empty"):
        demo.copy_tables("demo", tmp_path)
    assert [file.name for file in tmp_path.iterdir()] == ["mine.txt"]


def test_without_a_folder_the_first_free_name_is_taken(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert demo.first_free("new") == Path("new")
    demo.copy_tables("first", Path("new"))
    Path("new-2").write_text("a file")
    assert demo.first_free("new") == Path("new-3")
    Path("new-3").mkdir()
    assert demo.first_free("new") == Path("new-3"), "empty"


def test_a_file_is_no_folder(tmp_path: Path) -> None:
    taken = tmp_path / "taken"
    taken.write_text("")
    with pytest.raises(demo.FolderTakenError, match="is a file"):
        demo.copy_tables("demo", taken)


def test_the_conflict_counts_back_from_the_launch(view: View) -> None:
    told = list(demo.conflict(view.workshop, view))
    assert told[0] == "Gull is to be launched on Fri 25 Sep: 60 bars of conditioner."
    # Cured for 5 days and packed by Thu 24 Sep: poured on Fri 18 Sep, cured on Wed 23 Sep.
    assert "must be poured by Fri 18 Sep at the latest" in told[1]
    assert told[1].startswith("conditioner sets within the day and cures 5 days")
    assert told[-1] == "rack: 12 for all lines; a batch of conditioner holds 3 of them for 5 days."


def test_what_comes_after_the_last_pour_is_part_of_the_conflict(view: View) -> None:
    def with_flakes(usable: int) -> list[str]:
        coming = Receipt(
            reference="PO-8",
            supplier="maker",
            material="flakes",
            amount=25_000_000,
            expected=usable - 1,
            arrive=usable - 1,
            usable=usable,
        )
        workshop = view.workshop.changed(receipts=(coming,))
        return list(demo.conflict(workshop, replace(view, workshop=workshop)))

    late, in_time = with_flakes(22), with_flakes(18)
    assert len(late) == len(in_time) + 1
    assert "11.00 kg of flakes is on hand, and a batch of 72 bars takes 364 g" in late[2]
    assert "usable only from Tue 22 Sep" in late[2]


def test_without_a_launch_there_is_no_conflict_to_tell(view: View) -> None:
    rows = tuple(row for row in view.workshop.demand if not row.launch)
    assert list(demo.conflict(view.workshop.changed(demand=rows), view)) == []
