"""The plan's JSON: its keys are fixed names that other programs depend on."""

import json
from dataclasses import replace

from planner.account import LineFacts, Waste
from planner.plan import Stage, Status
from planner.workshop import Unit
from reports.plan_json import plan_json
from reports.view import View, json_text, number

KEYS = [
    "schema",
    "workshop",
    "first_day",
    "last_day",
    "status",
    "certified",
    "stages",
    "batches",
    "preparations",
    "purchases",
    "service",
    "shortfalls",
    "waste",
]


def test_the_keys_are_the_agreed_ones(view: View) -> None:
    plan = plan_json(view)
    assert list(plan) == KEYS
    assert (plan["schema"], plan["workshop"]) == (1, "Tern Cottage")
    assert (plan["first_day"], plan["last_day"]) == ("2026-08-31", "2026-10-25")
    assert (plan["status"], plan["certified"]) == ("feasible", True)


def test_stages_carry_money_as_strings_and_calm_as_a_count(view: View) -> None:
    calm = Stage(goal="calm", value=7, bound=3, seconds=0.25, status=Status.FEASIBLE)
    stages = plan_json(replace(view, plan=replace(view.plan, stages=(*view.plan.stages, calm))))
    assert stages["stages"] == [
        {
            "goal": "service",
            "value": "675.00",
            "bound": "500.00",
            "seconds": 1.5,
            "status": "feasible",
        },
        {"goal": "calm", "value": 7, "bound": 3, "seconds": 0.25, "status": "feasible"},
    ]


def test_a_batch(view: View) -> None:
    assert plan_json(view)["batches"][0] == {
        "product": "shampoo",
        "bars": 96,
        "good_bars": 90,
        "pour": "2026-08-21",
        "unmould": "2026-08-22",
        "pack": "2026-09-07",
        "moulds": 8,
        "trays": 6,
        "in_progress": True,
    }


def test_a_preparation_in_its_base_unit(view: View) -> None:
    assert plan_json(view)["preparations"] == [
        {
            "preparation": "glycerite",
            "quantity": 900,
            "make": "2026-09-09",
            "ready": "2026-09-23",
        }
    ]


def test_a_purchase_with_its_freight_in_the_cost(view: View) -> None:
    assert plan_json(view)["purchases"][0] == {
        "supplier": "maker",
        "order": "2026-08-31",
        "arrive": "2026-09-28",
        "usable": "2026-09-29",
        "lines": [
            {
                "material": "flakes",
                "pack_size": 25,
                "pack_unit": "kg",
                "packs": 1,
                "cost": "420.00",
            }
        ],
        "freight": "95.00",
        "cost": "515.00",
        "pay": "2026-08-31",
    }


def test_lines_that_arrive_apart_are_entries_apart_with_the_freight_on_the_first(
    view: View,
) -> None:
    bought = view.account.purchases[0]
    line = bought.lines[0]
    later: LineFacts = replace(line, offer="grocer/flakes/5 kg", arrive=line.arrive + 1, cost=500)
    account = replace(
        view.account,
        purchases=(replace(bought, lines=(later, line), cost=bought.cost + later.cost),),
    )
    first, second = plan_json(replace(view, account=account))["purchases"]
    assert (first["arrive"], first["freight"], first["cost"]) == ("2026-09-28", "95.00", "515.00")
    assert (second["arrive"], second["freight"], second["cost"]) == ("2026-09-29", "0.00", "5.00")
    assert second["lines"][0]["pack_size"] == 5


def test_met_is_a_day_for_what_waits_and_bars_for_retail(view: View) -> None:
    rows = {row["demand"]: row for row in plan_json(view)["service"]}
    assert rows["launch"]["met"] == "2026-09-25"
    assert rows["stockist"] == {
        "demand": "stockist",
        "product": "shampoo",
        "due": "2026-09-30",
        "quantity": 24,
        "met": "2026-09-30",
        "late_days": 0,
        "lost": 0,
    }
    assert (rows["shop shampoo"]["met"], rows["shop shampoo"]["lost"]) == (394, 54)


def test_waste_says_when_it_can_no_longer_be_used(view: View) -> None:
    waste = Waste(day=41, item="glycerite", lot="G-1", amount=57_388, value=100)
    told = replace(view, account=replace(view.account, waste=(waste,)))
    assert plan_json(told)["waste"] == [
        {"item": "glycerite", "lot": "G-1", "quantity": 57.388, "unit": "g", "day": "2026-10-11"}
    ]


def test_the_text_is_the_same_bytes_every_time_and_plain_json(view: View) -> None:
    text = json_text(plan_json(view))
    assert text == json_text(plan_json(view))
    assert json.loads(text) == plan_json(view)


def test_numbers_are_exact_to_the_thousandth() -> None:
    assert number(4_819_593, Unit.GRAM) == 4819.593
    assert number(3_000_000, Unit.MILLILITRE) == 3000
    assert isinstance(number(3_000_000, Unit.MILLILITRE), int)
    assert number(93, Unit.PIECE) == 93
