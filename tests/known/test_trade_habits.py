"""The ready-made workshops keep the habits of the trade: common practice, no source."""

from datetime import date

import pytest

from planner.build import build
from planner.tables.reader import read_folder
from planner.workshop import Product, Workshop
from tests.demo import FOLDER

FIRST_DAY = date(2026, 8, 31)
WEEK = 7
HOUR = 60


@pytest.fixture(scope="module", params=["demo", "first"])
def workshop(request: pytest.FixtureRequest) -> Workshop:
    tables, _ = read_folder(FOLDER.parent / request.param)
    built, findings = build(tables, FIRST_DAY)
    assert built is not None, findings
    return built


def shampoos(workshop: Workshop) -> list[Product]:
    """Bars that stand in their moulds over night; both folders have no other shampoo."""
    return [product for product in workshop.products.values() if product.set_days > 0]


def conditioners(workshop: Workshop) -> list[Product]:
    """Bars that come out of their moulds on the day they were poured."""
    return [product for product in workshop.products.values() if product.set_days == 0]


# Common practice, no source.
def test_shampoo_bars_cure_at_least_a_week_before_they_are_packed(workshop: Workshop) -> None:
    cures = [product.cure_days for product in shampoos(workshop)]
    assert cures
    assert min(cures) >= WEEK


# Common practice, no source: hardly any water in a conditioner bar, so it dries in a few days.
def test_conditioner_bars_dry_for_some_days_but_not_as_long(workshop: Workshop) -> None:
    dryings = [product.cure_days for product in conditioners(workshop)]
    assert dryings
    assert min(dryings) >= 1
    assert max(dryings) <= WEEK


# Common practice, no source: conditioner sets in the fridge in an hour or two, three at the most.
# The fridge's turns share out the shortest working day.
def test_conditioner_moulds_have_about_an_hour_or_two_in_the_fridge(workshop: Workshop) -> None:
    shortest_day = min(minutes for minutes in workshop.minutes if minutes)
    for product in conditioners(workshop):
        assert product.place == "fridge"
        minutes = shortest_day // workshop.places["fridge"].turns_per_day
        assert HOUR <= minutes <= 3 * HOUR
