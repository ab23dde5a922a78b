from dataclasses import replace

import pytest

from planner.causes import Cause, Shortfall
from reports import overview, shortfalls
from reports.plan_json import plan_json
from reports.style import as_text
from reports.view import View


def short(demand: str, first: int, last: int, bars: int, cause: Cause) -> Shortfall:
    return Shortfall(
        demand=demand,
        product="shampoo",
        first_day=first,
        last_day=last,
        quantity=bars,
        unit="bars",
        cause=cause,
        detail=f"what the {cause} say",
    )


CURE = short("shop shampoo", 7, 7, 4, Cause.CURE)
TRAYS = short("shop shampoo", 27, 30, 28, Cause.TRAYS)
MORE_TRAYS = short("shop shampoo", 42, 44, 22, Cause.TRAYS)
WAX = Shortfall(
    item="wax",
    first_day=29,
    last_day=29,
    quantity=57_000,
    unit="g",
    cause=Cause.MATERIAL,
    detail="nobody sells it",
)


@pytest.fixture
def told(view: View) -> View:
    """The 54 bars that the shop loses, at 12.50 each, in three spans; and a material."""
    return replace(view, shortfalls=(CURE, TRAYS, MORE_TRAYS, WAX))


def test_a_rows_loss_is_spread_over_its_shortfalls(told: View) -> None:
    found = shortfalls.losses(told)
    assert [loss.shortfall for loss in found] == [TRAYS, MORE_TRAYS, CURE, WAX]
    assert [int(loss.cost) for loss in found] == [35_000_000, 27_500_000, 5_000_000, 0]
    assert sum(loss.cost for loss in found) == told.account.money.service


def test_causes_come_in_the_order_of_what_they_cost(told: View) -> None:
    lines = as_text(shortfalls.page(told)).splitlines()
    heads = [line for line in lines if line.split(":")[0] in ("Trays", "Cure", "Material")]
    assert heads == ["Trays: EUR 625.00", "Cure: EUR 50.00", "Material: EUR 0.00"]
    assert lines[1].startswith("EUR 675.00 is lost in all.")


def test_each_says_what_is_hit_how_much_from_when_to_when_and_why(told: View) -> None:
    lines = as_text(shortfalls.page(told)).splitlines()
    place = lines.index(
        "! shop shampoo (retail): 28 bars of shampoo lost, Sun 27 Sep to Wed 30 Sep, EUR"
    )
    assert lines[place + 1] == "350.00"
    assert lines[place + 2] == "  what the trays say"
    assert "! wax: 57 g below its safety stock, Tue 29 Sep" in lines


def test_the_overview_puts_together_what_has_one_cause(told: View) -> None:
    text = " ".join(as_text(overview.page(told)).split())
    assert (
        "! 50 bars of shampoo lost, Sun 27 Sep to Wed 14 Oct, EUR 625.00 (trays) "
        "! 4 bars of shampoo lost, Mon 7 Sep, EUR 50.00 (cure)"
    ) in text


def test_the_plans_json_names_a_demand_or_an_item(told: View) -> None:
    assert plan_json(told)["shortfalls"] == [
        {
            "demand": "shop shampoo",
            "day": "2026-09-07",
            "quantity": 4,
            "unit": "bars",
            "cause": "cure",
        },
        {
            "demand": "shop shampoo",
            "day": "2026-09-27",
            "quantity": 28,
            "unit": "bars",
            "cause": "trays",
        },
        {"item": "wax", "day": "2026-09-29", "quantity": 57, "unit": "g", "cause": "material"},
        {
            "demand": "shop shampoo",
            "day": "2026-10-12",
            "quantity": 22,
            "unit": "bars",
            "cause": "trays",
        },
    ]


def test_the_reports_json_adds_the_end_the_detail_and_the_loss(told: View) -> None:
    content = shortfalls.content(told)
    assert content["loss"] == "675.00"
    assert content["shortfalls"][0]["last_day"] == "2026-09-30"
    assert content["shortfalls"][0]["detail"] == "what the trays say"
    assert content["shortfalls"][0]["loss"] == "350.00"


def test_nothing_short(view: View) -> None:
    assert shortfalls.NOTHING in as_text(shortfalls.page(replace(view, shortfalls=())))
