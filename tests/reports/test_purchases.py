from dataclasses import replace
from typing import Any

from reports import purchases
from reports.style import as_text
from reports.view import View
from tests.accounts import account


def order_of(view: View, supplier: str) -> dict[str, Any]:
    found = purchases.content(view)["suppliers"]
    return next(each["orders"][0] for each in found if each["supplier"] == supplier)


def test_the_supplier_to_order_from_first_comes_first(view: View) -> None:
    found = purchases.content(view)["suppliers"]
    assert [each["supplier"] for each in found] == ["maker", "printer", "grocer"]


def test_the_drum_has_not_a_day_to_spare(view: View) -> None:
    text = as_text(purchases.page(view))
    assert "order by   ! Mon 31 Aug, the planned day: not a day to spare" in text
    assert "cost       EUR 515.00, freight EUR 95.00 in it; pay Mon 31 Aug" in text
    assert "flakes    1 x 25 kg  EUR 420.00  Mon 28 Sep  1 shampoo, first Tue 29 Sep" in text


def test_a_lot_that_no_batch_takes_from_is_named_itself(view: View) -> None:
    # As if the drum went into the glycerite, of which nothing is taken.
    (made,) = view.account.preparations
    pegs = tuple(
        replace(peg, use=made.lot)
        for peg in view.account.pegs
        if peg.item == "flakes" and peg.day == 29
    )
    told = replace(view, account=replace(view.account, pegs=pegs))
    text = as_text(purchases.page(told))
    assert "Mon 28 Sep  1 glycerite, first Tue 29 Sep" in text


def test_the_latest_day_stands_beside_the_planned_one(view: View) -> None:
    text = as_text(purchases.page(view))
    assert "order by   Fri 25 Sep, planned Fri 18 Sep" in text
    assert "pay Sun 18 Oct" in text  # 30 days after it goes out


def test_a_week_late_names_the_pour_what_it_lacks_and_who_misses_the_bars(view: View) -> None:
    # 0.63 kg are left for a pour that takes 4.82 kg. Its 90 bars come on Thu 15 Oct, of which the
    # shop sells 8 a day for 11 days.
    text = as_text(purchases.page(view))
    assert "shampoo on Tue 29 Sep lacks 4.19 kg flakes; behind it: 88 bars for" in text
    late = order_of(view, "maker")["a_week_late"]
    assert late["order"] == "2026-09-07"
    assert late["missing"] == [
        {
            "day": "2026-09-29",
            "name": "shampoo",
            "lot": "shampoo 2026-09-29",
            "item": "flakes",
            "quantity": 4187.597,
            "unit": "g",
        }
    ]
    assert late["demand"] == [{"demand": "shop shampoo", "bars": 88}]
    assert late["launches"] == []


def test_what_two_batches_of_a_day_lack_is_added_up(view: View) -> None:
    purchases_ = purchases.Purchases(view=view)
    late = purchases_.delayed(purchases_.needs[0].purchase)
    (want,) = late.wants
    twice = replace(late, wants=(want, replace(want, use="another batch")))
    assert "shampoo on Tue 29 Sep lacks 8.38 kg flakes;" in purchases.late_text(view, twice)


def test_a_week_late_that_does_no_harm_says_so(view: View) -> None:
    assert order_of(view, "printer")["a_week_late"]["missing"] == []
    assert "week late  nothing goes short" in as_text(purchases.page(view))


def test_terms_of_the_supplier_stand_over_the_orders(view: View) -> None:
    text = as_text(purchases.page(view))
    assert "maker: lead 28 calendar days, freight EUR 95.00 an order" in text
    assert "grocer: lead 2 calendar days, freight EUR 14.50 an order, none from EUR 250.00" in text
    assert "printer: lead 20 calendar days, at least EUR 50.00" in text


def test_what_is_bought_ahead_has_no_latest_day(view: View) -> None:
    used = replace(
        view.account.flows["flakes"],
        on_hand=tuple(amount + 50_000_000 for amount in view.account.flows["flakes"].on_hand),
    )
    ahead = replace(view.account, flows={**view.account.flows, "flakes": used})
    found = order_of(replace(view, account=ahead), "maker")
    assert found["order_by"] is None
    assert purchases.NO_NEED in as_text(purchases.page(replace(view, account=ahead)))


def test_a_line_in_json_follows_the_pegs(view: View) -> None:
    line = order_of(view, "printer")["lines"][0]
    assert line["first_use"] == "2026-09-30"
    assert [batch["pour"] for batch in line["batches"]] == ["2026-09-15", "2026-09-29"]
    assert (line["pack_size"], line["pack_unit"], line["packs"]) == (250, "ea", 1)
    assert line["cost"] == "90.00"


def test_no_purchases_at_all(view: View) -> None:
    text = as_text(purchases.page(replace(view, account=account())))
    assert purchases.EMPTY in text
