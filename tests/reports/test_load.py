from dataclasses import replace

from planner.account import Load
from reports import load
from reports.style import as_text
from reports.view import View
from tests.accounts import account


def with_trays(view: View, count: int) -> View:
    """The same plan with another number of trays on the rack."""
    loads = tuple(
        replace(each, capacity=(count,) * len(each.capacity)) if each.kind == "tray" else each
        for each in view.account.loads
    )
    return replace(view, account=replace(view.account, loads=loads))


def test_each_week_has_its_share_of_each_resource(view: View) -> None:
    text = as_text(load.page(view))
    heads = next(line for line in text.splitlines() if line.startswith("Week from")).split()
    assert heads[:4] == ["Week", "from", "(tray)", "hands"]
    # Trays: 6 on Mon, 6 more from Wed 2 Sep: (2 x 6 + 5 x 12) / 84.
    assert "Mon 31 Aug    86 %   12 %     20 %      0 %      0 %       8 %" in text


def test_full_weeks_carry_a_sign_and_the_bottleneck_its_name(view: View) -> None:
    text = as_text(load.page(with_trays(view, 9)))
    assert "! The bottleneck is rack (tray) (94 % full, Mon 31 Aug to Sun 27 Sep)." in text
    assert "Mon 31 Aug  ! 114 %" in text
    assert "Mon 7 Sep    ! 95 %" in text
    assert "Mon 14 Sep     67 %" in text


def test_without_a_full_resource_the_busiest_is_named(view: View) -> None:
    text = as_text(load.page(view))
    assert "No resource is full; the busiest is rack (tray) (71 % full" in text
    assert load.content(view)["bottleneck"] is None


def test_the_rest_is_told_over_its_busiest_weeks_and_not_as_its_fullest_one(view: View) -> None:
    hands = load.content(view)["resources"][1]
    text = " ".join(as_text(load.page(view)).split())
    share = f"hands {round(hands['busiest_percent'])} %"
    assert f"The rest, each over its busiest weeks: {share}" in text


def test_peaks_say_how_much_of_how_much_and_when(view: View) -> None:
    text = as_text(load.page(view))
    assert "12 of 12 trays, Wed 2 Sep" in text
    assert "165 of 330 min, Wed 16 Sep" in text
    assert "5 days" in text


def test_json_has_every_week_with_its_peak_day(view: View) -> None:
    rack = load.content(view)["resources"][0]
    assert (rack["kind"], rack["name"], rack["unit"]) == ("tray", "rack", "trays")
    assert rack["weeks"][0] == {
        "week": "week 36",
        "first_day": "2026-08-31",
        "last_day": "2026-09-06",
        "used": 72,
        "capacity": 84,
        "percent": 85.7,
        "peak_day": "2026-09-02",
    }
    assert rack["full_days"][0] == "2026-09-02"


def test_many_resources_go_into_tables_that_fit(view: View) -> None:
    days = view.workshop.days
    loads = tuple(
        Load(kind="vessel", name=f"kettle {n}", unit="min", used=(7,) * days, capacity=(10,) * days)
        for n in range(13)
    )
    text = as_text(load.page(replace(view, account=account(loads=loads))))
    assert text.count("Week from") == 2
    assert max(len(line) for line in text.splitlines()) <= 80
    assert all(f"kettle {n}" in text for n in range(13))


def test_no_resources_at_all(view: View) -> None:
    assert load.NOTHING in as_text(load.page(replace(view, account=account())))
