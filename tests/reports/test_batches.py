from dataclasses import replace

from planner.plan import Plan
from planner.replay import replay
from reports import batches
from reports.style import as_text
from reports.view import View
from tests.accounts import account


def test_a_week_is_a_diary_in_the_order_of_the_day(view: View) -> None:
    text = as_text(batches.page(view))
    week = text[text.index("Week 38") : text.index("Week 39")].splitlines()
    assert week[0] == "Week 38: Mon 14 Sep to Sun 20 Sep"
    done = [line.split()[:5] for line in week[3:-2] if "  pack " in line or "pour" in line]
    assert done[0][:4] == ["Mon", "14", "Sep", "pack"]
    unmoulded = next(number for number, line in enumerate(week) if "unmould  shampoo" in line)
    # Wed 16 Sep: first unmould, then pack; the date stands only once.
    assert week[unmoulded].startswith("Wed 16 Sep  unmould  shampoo")
    assert week[unmoulded + 1].startswith("            pack     shampoo")
    assert "400 of 1,650 minutes of hands are planned." in week


def test_every_number_has_a_unit_and_every_step_its_day(view: View) -> None:
    text = as_text(batches.page(view))
    assert "Tue 1 Sep  pour     shampoo  96 bars  8 moulds  unmould Wed 2 Sep" in text
    assert "Wed 2 Sep  unmould  shampoo  96 bars  6 trays   pack Wed 16 Sep" in text
    assert "usable Wed 23 Sep" in text  # 14 days after Wed 9 Sep


def test_what_sets_within_the_day_is_one_entry(view: View) -> None:
    found = [e for e in batches.content(view)["weeks"][1]["entries"] if e["day"] == "2026-09-08"]
    assert [(e["do"], e["on"], e["then"]) for e in found] == [
        ("pour", "6 moulds, 3 trays", "unmould, pack Mon 14 Sep")
    ]


def test_the_batch_under_way_is_only_packed(view: View) -> None:
    entries = [e for week in batches.content(view)["weeks"] for e in week["entries"]]
    assert [e["do"] for e in entries if e["lot"] == "U-1"] == ["pack"]


def test_a_batch_that_stays_on_its_trays_is_told_with_the_cause(view: View) -> None:
    """Without a box in stock or on offer the batch under way and no other is left."""
    assert batches.STAYS not in as_text(batches.page(view))
    assert batches.content(view)["unpacked"] == []
    boxless = replace(
        view.workshop,
        offers={},
        lots=tuple(lot for lot in view.workshop.lots if lot.item != "box"),
    )
    left = Plan(batches=(replace(view.plan.batches[0], pack=None),))
    found = replace(view, workshop=boxless, plan=left, account=replay(boxless, left))
    (entry,) = batches.content(found)["unpacked"]
    assert (entry["lot"], entry["product"], entry["bars"]) == ("U-1", "shampoo", 96)
    assert entry["cause"] == "material"
    text = as_text(batches.page(found))
    assert batches.EMPTY in text
    assert text.index(batches.STAYS) < text.index("96 bars of shampoo, lot U-1 (material)")
    assert "none can be bought within the plan" in " ".join(text.split())


def test_the_weigh_list_holds_each_size_once_and_marks_what_needs_care(view: View) -> None:
    text = as_text(batches.page(view))
    weighing = text[text.index("To weigh") :]
    # 72 x 62 g / 0.98 = 4,555.1 g, of which 92 % wax and 8 % flakes.
    assert "* wax          4,191 g  2,892 g" in weighing
    assert "* flakes         364 g  4,820 g" in weighing
    assert "glycerin                            476 ml" in weighing
    assert "* flakes: fine dust: mask, goggles, lid on" in weighing
    assert "* wax: hot mass sticks: sleeves" in weighing
    assert "safety data sheet" in weighing
    assert weighing.count("96 bars") == 1


def test_the_weigh_list_breaks_into_tables_that_fit(view: View) -> None:
    batch = next(batch for batch in view.account.batches if not batch.in_progress)
    many = tuple(replace(batch, product=f"a rather long name {n}") for n in range(7))
    text = as_text(batches.page(replace(view, account=account(batches=many))))
    weighing = text[text.index("To weigh") :]
    assert weighing.count("4,820 g") == 7
    assert max(len(line) for line in weighing.splitlines()) <= 80


def test_json_holds_batches_days_and_exact_weights(view: View) -> None:
    content = batches.content(view)
    assert content["batches"][1] == {
        "lot": "shampoo 2026-09-01",
        "product": "shampoo",
        "bars": 96,
        "good_bars": 90,
        "pour": "2026-09-01",
        "unmould": "2026-09-02",
        "pack": "2026-09-16",
        "moulds": 8,
        "trays": 6,
        "in_progress": False,
    }
    shampoo = next(one for one in content["weigh"] if one["name"] == "shampoo")
    assert shampoo["parts"][0] == {"item": "flakes", "quantity": 4819.593, "unit": "g"}
    assert content["cautions"][0] == {
        "name": "flakes",
        "caution": "fine dust: mask, goggles, lid on",
    }


def test_a_plan_in_which_nothing_is_done_says_so(view: View) -> None:
    text = as_text(batches.page(replace(view, account=account())))
    assert batches.EMPTY in text
