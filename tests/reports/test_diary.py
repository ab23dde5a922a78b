from dataclasses import replace

from reports.diary import Deed, entries
from reports.view import View
from tests.accounts import account


def test_entries_run_by_day_and_within_a_day_as_the_day_runs(view: View) -> None:
    found = entries(view)
    assert list(found) == sorted(found, key=lambda entry: (entry.day, entry.deed))
    wednesday = [(entry.deed, entry.lot) for entry in found if entry.day == 16]
    assert wednesday == [
        (Deed.UNMOULD, "shampoo 2026-09-15"),
        (Deed.PACK, "shampoo 2026-09-01"),
    ]


def test_what_was_done_before_the_plan_is_not_in_it(view: View) -> None:
    assert all(entry.day >= 0 for entry in entries(view))
    assert entries(view)[0].name == "shampoo"


def test_a_batch_still_in_its_moulds_is_unmoulded_by_the_plan(view: View) -> None:
    """It cures for 14 days: to 15 September, or to a Saturday, the last but one day of the plan."""
    for unmould, then in ((1, "leave on its trays"), (40, "pack after this plan")):
        under_way = replace(view.account.batches[0], unmould=unmould, pack=None)
        found = entries(replace(view, account=account(batches=(under_way,))))
        assert [(entry.deed, entry.then) for entry in found] == [(Deed.UNMOULD, then)]
