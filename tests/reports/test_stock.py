from dataclasses import replace
from typing import Any

from reports import stock
from reports.style import as_text
from reports.view import View


def item(view: View, name: str) -> dict[str, Any]:
    return next(each for each in stock.content(view)["items"] if each["item"] == name)


def test_what_runs_out_first_comes_first_and_the_lasting_last(view: View) -> None:
    names = [each["item"] for each in stock.content(view)["items"]]
    assert names == ["flakes", "glycerite", "wax", "box", "glycerin", "petals"]


def test_a_line_says_what_there_is_what_comes_and_how_long_it_lasts(view: View) -> None:
    text = as_text(stock.page(view))
    assert "wax        12.00 kg     5.00 kg  17.06 kg  Tue 29 Sep      4.1 weeks" in text
    assert "petals        600 g           -     400 g  lasts the plan" in text


def test_the_drum_must_be_ordered_today_and_says_so(view: View) -> None:
    text = as_text(stock.page(view))
    assert "flakes  25 kg   maker    ! Mon 31 Aug   11.00 kg  Mon 31 Aug" in text
    assert "        5 kg    grocer   Fri 18 Sep        996 g" in text


def test_falling_below_the_safety_stock_is_said_with_its_day(view: View) -> None:
    text = as_text(stock.page(view))
    assert "! flakes falls below its safety stock of 1.00 kg on Tue 15 Sep." in text


def test_json_keeps_the_base_unit_and_tells_blocked_and_quarantine_apart(view: View) -> None:
    wax = item(view, "wax")
    assert (wax["unit"], wax["on_hand"], wax["on_the_way"], wax["blocked"]) == (
        "g",
        12000,
        5000,
        2000,
    )
    assert item(view, "glycerin")["in_quarantine"] == 3000
    assert item(view, "flakes")["reorder"][0] == {
        "supplier": "maker",
        "pack": "25 kg",
        "order_by": "2026-08-31",
        "left_then": 11000,
    }
    assert item(view, "petals")["run_out"] is None


def test_bars_are_counted_from_stock_to_sale(view: View) -> None:
    # 8 bars a day for 56 days and an order of 24; 60 + 90 + 3 x 90 bars, 54 of them lost or late.
    shampoo = stock.content(view)["products"][0]
    assert shampoo == {
        "product": "shampoo",
        "on_hand": 60,
        "under_way": 90,
        "made": 270,
        "asked": 472,
        "served": 418,
        "first_lost": "2026-09-07",
    }
    assert "! Mon 7 Sep" in as_text(stock.page(view))


def test_no_order_day_left_is_too_late(view: View) -> None:
    offers = {
        name: replace(offer, deliveries=offer.deliveries[20:]) if "flakes" in name else offer
        for name, offer in view.workshop.offers.items()
    }
    late = replace(view, workshop=view.workshop.changed(offers=offers))
    text = as_text(stock.page(late))
    assert "! flakes" in text
    assert text.count("! too late") == 2
