"""The latest order days: one line at a time, and all put off together."""

from dataclasses import replace

import pytest

from planner.order_by import last_order_day, needed_day, purchase_needs
from planner.workshop import Delivery
from tests.accounts import account, flow, line, purchase
from tests.workshops import tiny


def test_a_line_is_needed_on_the_day_on_which_the_rest_runs_out() -> None:
    # 5 on hand, 2 used a day: without the line 1 is left after day 1 and day 2 finds 1 too little.
    bought = line(usable=1, amount=10)
    book = account(
        purchases=(purchase(0, bought),),
        flows={"base": flow(5, (0, 10, 0, 0, 0), (2, 2, 2, 2, 2))},
    )
    assert needed_day(book, bought) == 2


def test_a_line_is_not_needed_if_the_rest_lasts_exactly() -> None:
    bought = line(usable=1, amount=10)
    book = account(
        purchases=(purchase(0, bought),),
        flows={"base": flow(10, (0, 10, 0, 0, 0), (2, 2, 2, 2, 2))},
    )
    assert needed_day(book, bought) is None


def test_the_later_of_two_lines_is_needed_once_the_earlier_one_is_used_up() -> None:
    early, late = line(usable=1, amount=4), line(usable=2, amount=4)
    book = account(
        purchases=(purchase(0, early), purchase(1, late)),
        flows={"base": flow(2, (0, 4, 4, 0, 0), (2, 2, 2, 2, 2))},
    )
    # On hand without both 0, -2, -4 ...: day 1 needs the early one, whose 4 last through day 2.
    assert needed_day(book, early) == 1
    assert needed_day(book, late) == 3


def test_lines_that_come_together_are_needed_together() -> None:
    one, other = line(usable=1, amount=4), replace(line(usable=1, amount=4), lot="second")
    book = account(
        purchases=(purchase(0, one, other),),
        flows={"base": flow(2, (0, 8, 0, 0, 0), (2, 2, 2, 2, 2))},
    )
    assert needed_day(book, one) == needed_day(book, other) == 1


@pytest.mark.parametrize(("needed", "order"), [(1, None), (2, 0), (3, 0), (4, 2), (5, 2)])
def test_the_last_order_day_is_the_last_that_is_usable_in_time(
    needed: int, order: int | None
) -> None:
    # Ordered on day 1 it runs into a closure and comes after what is ordered on day 2.
    days = (
        Delivery(order=0, arrive=1, usable=2),
        Delivery(order=1, arrive=4, usable=5),
        Delivery(order=2, arrive=3, usable=4),
    )
    offer = replace(tiny().offers["shop/base/1 kg"], deliveries=days)
    assert last_order_day(offer, needed) == order


def test_an_order_must_go_out_with_the_first_of_its_lines() -> None:
    workshop = tiny()
    offer = workshop.offers["shop/base/1 kg"]
    workshop = workshop.changed(
        offers={
            **workshop.offers,
            "slow": replace(offer, id="slow", deliveries=offer.deliveries[:3]),
        }
    )
    fast, slow = line(usable=2, amount=4), replace(line(usable=2, amount=4, offer="slow"), lot="s")
    book = account(
        purchases=(purchase(0, fast, slow),),
        flows={"base": flow(6, (0, 0, 8, *[0] * 10), (1,) * 13)},
    )
    need = purchase_needs(workshop, book)[0]
    # Needed on day 6 (Sun): the shop's goods of Wed 2 Sep are usable on Fri 4, those of Thu on Mon.
    assert [each.needed for each in need.lines] == [6, 6]
    assert [each.order_by for each in need.lines] == [2, 2]
    assert need.order_by == 2


def test_an_order_bought_ahead_has_no_latest_day() -> None:
    book = account(
        purchases=(purchase(0, line(usable=2, amount=4)),),
        flows={"base": flow(9, (0, 0, 4, 0), (1, 1, 1, 1))},
    )
    assert purchase_needs(tiny(), book)[0].order_by is None
