from dataclasses import replace

import numpy as np

from planner.draft.asking import arrivals, askings_of, retail_bars, spoiled
from planner.workshop import DemandKind, Lot
from tests.draft.pieces import span
from tests.workshop_parts import demand_row
from tests.workshops import tiny

BAR = tiny().products["bar"]


def test_a_week_is_spread_so_that_its_days_add_up() -> None:
    # floor(10 (j + 1) / 7) - floor(10 j / 7) for j = 0 ... 6
    row = demand_row(BAR, DemandKind.RETAIL, 10, 2, last_day=15)
    assert retail_bars(row, 30).tolist()[:9] == [0, 0, 1, 1, 2, 1, 2, 1, 2]
    assert int(retail_bars(row, 30).sum()) == 20


def test_a_row_that_began_before_the_plan_keeps_its_own_weeks() -> None:
    row = demand_row(BAR, DemandKind.RETAIL, 3, -2, last_day=4)
    # days -2 and -1 are j = 0 and 1; floor(3 (j + 1) / 7) - floor(3 j / 7) is 0 0 1 0 1 0 1
    assert retail_bars(row, 6).tolist() == [1, 0, 1, 0, 1, 0]


def test_rows_are_sorted_by_what_a_lost_bar_costs() -> None:
    cheap = demand_row(BAR, DemandKind.RETAIL, 7, 0)
    dear = replace(demand_row(BAR, DemandKind.RETAIL, 14, 3), weight=cheap.weight + 1)
    asking = askings_of(tiny(demand=(cheap, dear)))["bar"]
    assert [row.weight for row in asking.retail] == [dear.weight, cheap.weight]
    assert asking.bars.tolist()[:4] == [1, 1, 1, 3]
    assert asking.worth[3] == cheap.weight + 2 * dear.weight


def test_bars_on_hand_can_be_sold_until_they_expire() -> None:
    lots = (
        Lot(item="bar", lot="a", amount=5, use_by=3),
        Lot(item="bar", lot="b", amount=4, usable=2),
        Lot(item="bar", lot="c", amount=9, use_by=-1),
        Lot(item="base", lot="d", amount=9),
    )
    assert askings_of(tiny(lots=lots))["bar"].opening == (span(0, 3, 5), span(2, 29, 4))


def test_the_highest_level_counts() -> None:
    rows = (
        demand_row(BAR, DemandKind.RESTOCK, 5, 1),
        demand_row(BAR, DemandKind.RESTOCK, 8, 2, last_day=3),
    )
    assert askings_of(tiny(demand=rows))["bar"].level.tolist()[:5] == [0, 5, 8, 8, 5]


def test_bars_spoil_the_day_after_their_last_if_nobody_took_them() -> None:
    spans = [span(0, 2, 5), span(1, 9, 5)]
    taken = np.array([1, 1, 1, 1, 0, 0, 0, 0, 0, 0])
    assert arrivals(spans, 10).tolist() == [5, 5, *[0] * 8]
    # 3 of the first lot leave on days 0 to 2, 2 spoil on day 3
    assert spoiled(spans, taken).tolist() == [0, 0, 0, 2, *[0] * 6]
