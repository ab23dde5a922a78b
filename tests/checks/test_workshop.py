"""The workshop's own row, its holidays, its hands and its money."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from planner.checks.workshop import (
    check_budget,
    check_cash,
    check_closures,
    check_country,
    check_frozen_days,
    check_hands,
    check_one_workshop,
    check_sales,
)
from planner.tables.rows import ClosureRow, HandsRow, WorkshopRow
from planner.tables.values import CashKind, Every, Weekday
from tests.checks.good import GOOD, added, changed, errors, only, warnings, without


def test_one_workshop_and_no_more() -> None:
    assert errors(check_one_workshop, GOOD) == []
    assert errors(check_one_workshop, without("workshop", 0)) == [("workshop", 0, "")]
    second = added("workshop", WorkshopRow(name="Mill", currency="EUR"))
    assert errors(check_one_workshop, second) == [("workshop", 3, "name")]


@pytest.mark.parametrize(
    ("country", "subdivision"), [("DE", "BY"), ("GB", "SCT"), (None, None), ("US", None)]
)
def test_countries_whose_holidays_are_known(country: str | None, subdivision: str | None) -> None:
    tables = changed("workshop", 0, country=country, subdivision=subdivision)
    assert errors(check_country, tables) == []


@pytest.mark.parametrize(
    ("country", "subdivision", "column"),
    [("QX", None, "country"), (None, "BY", "country"), ("DE", "QQ", "subdivision")],
)
def test_countries_whose_holidays_are_not_known(
    country: str | None, subdivision: str | None, column: str
) -> None:
    tables = changed("workshop", 0, country=country, subdivision=subdivision)
    assert errors(check_country, tables) == [("workshop", 2, column)]


def test_the_subdivisions_that_would_do_are_told() -> None:
    tables = changed("workshop", 0, country="DE", subdivision="Bayern!")
    assert "BB, BE, BW, BY" in only(check_country, tables).expected


def test_somebody_works_on_some_day() -> None:
    tables = replace(GOOD, hands=(), extra_days=())
    assert errors(check_hands, tables) == [("hands", 0, "minutes")]
    assert errors(check_hands, replace(GOOD, hands=())) == [], "an extra day is enough"
    idle = added("hands", HandsRow(person="Ada", weekday=Weekday.MONDAY, minutes=0), tables)
    assert errors(check_hands, idle) == [("hands", 0, "minutes")]


def test_a_closure_over_the_whole_plan_leaves_no_hands() -> None:
    def shut(last: date) -> list[tuple[str, int, str]]:
        closure = ClosureRow(who="workshop", first_day=date(2026, 8, 1), last_day=last)
        return errors(check_hands, replace(GOOD, extra_days=(), closures=(closure,)))

    assert shut(date(2026, 10, 29)) == [("hands", 0, "minutes")]
    assert shut(date(2026, 10, 28)) == [("hands", 0, "minutes")], "29 October is a Thursday"
    assert shut(date(2026, 10, 27)) == [], "28 October is a Wednesday of the plan"


def test_a_closure_ends_no_earlier_than_it_begins() -> None:
    assert errors(check_closures, changed("closures", 1, last_day=date(2026, 9, 7))) == []
    assert errors(check_closures, changed("closures", 1, last_day=date(2026, 9, 6))) == [
        ("closures", 3, "last_day")
    ]


def test_frozen_days_leave_something_to_plan() -> None:
    assert warnings(check_frozen_days, changed("workshop", 0, frozen_days=59)) == []
    assert warnings(check_frozen_days, changed("workshop", 0, frozen_days=60)) == [
        ("workshop", 2, "frozen_days")
    ]


def test_a_budget_of_a_month_that_is_over() -> None:
    assert warnings(check_budget, changed("budget", 0, month="2026-08")) == []
    assert warnings(check_budget, changed("budget", 0, month="2026-07")) == [("budget", 2, "month")]
    assert warnings(check_budget, changed("budget", 0, month="2025-09")) == [("budget", 2, "month")]


def test_a_balance_is_of_today_and_comes_once() -> None:
    assert errors(check_cash, changed("cash", 0, every=Every.WEEK)) == [("cash", 2, "every")]
    assert errors(check_cash, changed("cash", 1, kind=CashKind.INCOME)) == []
    late = changed("cash", 0, day=date(2026, 9, 1), amount=Decimal(5))
    assert warnings(check_cash, late) == [("cash", 2, "day")]


def test_sales_are_not_in_the_future() -> None:
    assert warnings(check_sales, changed("sales", 0, day=date(2026, 8, 31))) == []
    assert warnings(check_sales, changed("sales", 0, day=date(2026, 9, 1))) == [("sales", 2, "day")]
