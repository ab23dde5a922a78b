"""Shares of resources by week, and the one that holds the workshop up."""

from datetime import date
from fractions import Fraction

from planner.account import Load
from planner.bottleneck import bottleneck, resource_loads
from tests.accounts import account
from tests.workshops import tiny

DAYS = 42


def five_days_a_week(days: int) -> tuple[int, ...]:
    """300 minutes from Monday to Friday, beginning on a Monday."""
    return tuple(300 if day % 7 < 5 else 0 for day in range(days))


def load(kind: str, name: str, used: tuple[int, ...], capacity: int) -> Load:
    return Load(kind=kind, name=name, unit="x", used=used, capacity=(capacity,) * len(used))


def shop(days: int = DAYS, first_day: date = date(2026, 8, 31)):  # type: ignore[no-untyped-def]
    return tiny(days=days, minutes=five_days_a_week(days), first_day=first_day)


def test_trays_count_on_every_day_and_the_rest_on_working_days() -> None:
    trays = load("tray", "rack", (7,) * DAYS, 10)
    pots = load("vessel", "pot", five_days_a_week(DAYS), 400)
    found = {r.load.name: r for r in resource_loads(shop(), account(loads=(trays, pots)))}
    assert found["rack"].weeks[0].capacity == 70
    assert found["rack"].share == Fraction(7, 10)
    # 5 x 400 minutes in a week, not 7 x 400.
    assert found["pot"].weeks[0].capacity == 2000
    assert found["pot"].share == Fraction(3, 4)


def test_weeks_run_from_monday_to_sunday_and_are_cut_off_at_the_ends() -> None:
    book = account(loads=(load("tray", "rack", (1,) * 12, 2),))
    weeks = resource_loads(shop(12, date(2026, 9, 3)), book)[0].weeks  # a Thursday
    assert [(week.first, week.last) for week in weeks] == [(0, 3), (4, 10), (11, 11)]


def test_the_peak_is_the_earliest_of_the_fullest_days() -> None:
    used = (0, 5, 9, 9, 2, 0, 0)
    week = resource_loads(shop(7), account(loads=(load("tray", "rack", used, 10),)))[0].weeks[0]
    assert week.peak == 2
    assert week.share == Fraction(25, 70)


def test_one_full_week_alone_is_no_bottleneck() -> None:
    used = tuple(10 if day < 7 else 5 for day in range(DAYS))
    loads = resource_loads(shop(), account(loads=(load("tray", "rack", used, 10),)))
    assert loads[0].busy == Fraction(25, 40)
    assert (loads[0].busy_first, loads[0].busy_last) == (0, 27)
    assert len(loads[0].full_days) == 7
    assert bottleneck(loads) is None


def test_four_weeks_at_nine_tenths_are_one_and_just_below_are_not() -> None:
    full = tuple(9 if 7 <= day < 35 else 0 for day in range(DAYS))
    almost = tuple(8 if day == 7 else used for day, used in enumerate(full))
    hands = Load(
        kind="hands", name="", unit="min", used=(0,) * DAYS, capacity=five_days_a_week(DAYS)
    )
    loads = resource_loads(shop(), account(loads=(hands, load("tray", "rack", full, 10))))
    named = bottleneck(loads)
    assert named is not None
    assert (named.load.name, named.busy_first, named.busy_last) == ("rack", 7, 34)
    assert (
        bottleneck(resource_loads(shop(), account(loads=(load("tray", "r", almost, 10),)))) is None
    )


def test_the_fullest_over_its_busiest_weeks_comes_first() -> None:
    steady = load("tray", "steady", (6,) * DAYS, 10)
    season = load("tray", "season", tuple(8 if day < 28 else 0 for day in range(DAYS)), 10)
    loads = resource_loads(shop(), account(loads=(steady, season)))
    assert [resource.load.name for resource in loads] == ["season", "steady"]


def test_a_resource_without_capacity_has_no_share() -> None:
    closed = Load(kind="vessel", name="pot", unit="min", used=(0,) * 7, capacity=(0,) * 7)
    found = resource_loads(shop(7), account(loads=(closed,)))[0]
    assert found.weeks[0].share is None
    assert found.weeks[0].peak is None
    assert found.busy == 0
