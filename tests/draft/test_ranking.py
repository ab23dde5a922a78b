import pytest

from planner.draft.needs import Need
from planner.draft.ranking import Ranking, due_day, rules_of
from planner.draft.schedule import Pass, start_of
from planner.workshop import DemandKind, Tray
from tests.draft.test_needs import need_of, next_need
from tests.workshop_parts import demand_row
from tests.workshops import tiny

BAR = tiny().products["bar"]


def need(due: int) -> Need:
    return next_need(need_of(demand_row(BAR, DemandKind.ORDER, 1, due)))


def test_due_days_first_then_what_is_at_stake() -> None:
    assert due_day(need(3), 1.0) < due_day(need(4), 9.0)
    assert due_day(need(3), 9.0) < due_day(need(3), 1.0)


def test_most_value_for_a_scarce_resource_first() -> None:
    rule = Ranking(due=0.0, density=1.0, each={"bar": 4.0})
    assert rule(need(9), 80.0) < rule(need(3), 40.0)
    assert rule(need(3), 40.0) == rule(need(9), 40.0)


def test_value_moves_a_due_day_forward() -> None:
    rule = Ranking(density=0.5, each={"bar": 4.0})
    # half a day for each unit of 80 / 4 = 20: ten days; for half of it five
    assert [rule(need(20), value)[0] for value in (80.0, 40.0)] == [10, 15]


def test_least_slack_is_the_due_day_less_the_days_it_takes() -> None:
    rule = Ranking(ahead={"bar": 7.0})
    assert rule(need(20), 1.0)[0] == 13
    assert Ranking(ahead={"other": 7.0})(need(20), 1.0)[0] == 20


@pytest.mark.parametrize(("trays", "rules"), [(10, 2), (1, 4)])
def test_only_resources_that_are_wanted_have_rules_of_their_own(trays: int, rules: int) -> None:
    retail = demand_row(BAR, DemandKind.RETAIL, 21, 9)
    workshop = tiny(trays={"tray": Tray(id="tray", count=trays)}, demand=(retail,))
    start = start_of(workshop)
    assert len(rules_of(start.bench, start.jobs, Pass(start).needs)) == rules
