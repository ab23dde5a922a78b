"""What retail leaves on the shelf for promises is as little as can be, bars that expire included.

The yardstick is a matching of single bars to single pieces of the orders (textbook: bipartite
matching by augmenting paths), which knows nothing of rules for holding back.
"""

from random import Random

import pytest

from planner.replay import replay
from planner.workshop import Lot, Workshop
from tests.replay.plans import plan
from tests.replay.rows import order, retail
from tests.workshops import tiny

Bar = tuple[int, int]
"""First and last day on which a bar can leave."""


def bars_of(workshop: Workshop) -> list[Bar]:
    """Every single bar that is in stock or comes."""
    return [
        (lot.usable, 99 if lot.use_by is None else lot.use_by)
        for lot in workshop.lots
        for _ in range(lot.amount)
    ]


def can_serve(bars: list[Bar], wishes: list[int]) -> bool:
    """True if each wish (a day) can have a bar of its own that can leave on that day."""
    given: dict[int, int] = {}

    def find(wish: int, seen: list[int]) -> bool:
        for index, (first, last) in enumerate(bars):
            if first <= wishes[wish] <= last and index not in seen:
                seen.append(index)
                if index not in given or find(given[index], seen):
                    given[index] = wish
                    return True
        return False

    return all(find(wish, []) for wish in range(len(wishes)))


def draw(seed: int) -> tuple[Workshop, dict[str, int]]:
    """Lots of bars with dates, some released later, and orders that they can serve."""
    random = Random(seed)
    lots = tuple(
        Lot(
            item="bar",
            lot=f"lot {number}",
            amount=random.randrange(1, 5),
            usable=(usable := random.choice((0, 0, random.randrange(10)))),
            use_by=random.choice((None, usable + random.randrange(12))),
        )
        for number in range(5)
    )
    workshop = tiny(lots=lots, demand=(retail(random.randrange(7, 22), 0),), days=14, values={})
    promised: dict[str, int] = {}
    wishes: list[int] = []
    for number in range(3):
        day, quantity = random.randrange(14), random.randrange(1, 5)
        if can_serve(bars_of(workshop), [*wishes, *[day] * quantity]):
            wishes += [day] * quantity
            row = order(quantity, day, f"order {number}")
            workshop = workshop.changed(demand=(*workshop.demand, row))
            promised[row.id] = day
    return workshop, promised


@pytest.mark.parametrize("seed", range(60))
def test_retail_sells_as_much_each_day_as_the_promises_allow(seed: int) -> None:
    workshop, promised = draw(seed)
    account = replay(workshop, plan(promises=promised))
    assert account.certified
    bars = bars_of(workshop)
    quantities = {row.id: row.quantity for row in workshop.demand}
    orders = [day for name, day in promised.items() for _ in range(quantities[name])]
    past: list[int] = []  # a wish for each bar that retail has had so far
    (row,) = (service for service in account.service if service.demand == "retail")
    for day in range(workshop.days):
        sold = sum(p.amount for p in account.pegs if p.use == "retail" and p.day == day)
        past += [day] * sold
        assert can_serve(bars, orders + past)
        if row.lost_by_day[day]:
            assert not can_serve(bars, [*orders, *past, day])


def test_the_draws_hold_promises_losses_and_waste() -> None:
    draws = [draw(seed) for seed in range(60)]
    accounts = [replay(workshop, plan(promises=promised)) for workshop, promised in draws]
    assert sum(len(promised) for _, promised in draws) > 60
    assert sum(account.service[0].lost for account in accounts) > 60
    assert sum(len(account.waste) for account in accounts) > 5
