"""What a state's bars sell and lose, counted as `planner.draft.selling` does.

Bars that expire within the plan count as if they kept: the list scheduler judges what is found.
"""

from planner.anneal.compiled import compiled, inlined
from planner.anneal.facts import (
    ASK,
    BARS,
    BELOW,
    DAY,
    FIRST,
    HELD,
    LATE,
    START,
    STOP,
    UNMET,
    Facts,
    Ints,
)
from planner.anneal.state import State

FAR = 1 << 60
"""More than any number of bars."""


@inlined
def loss_of(facts: Facts, state: State, product: int) -> int:
    """The loss of a product with its launches on their days."""
    days = len(facts.working)
    stock, kept, least = state.lines[0], state.lines[1], state.lines[2]
    bars = 0
    for day in range(days):
        bars += state.arrived[product, day]
        stock[day], kept[day] = bars, 0
    loss, start = _launches(facts, state, product, kept)
    loss += _orders(facts, product, stock, kept, least)
    _least_left(stock, kept, least)
    return loss + _retail(facts, product, start, stock, least)


@inlined
def _launches(facts: Facts, state: State, product: int, kept: Ints) -> tuple[int, int]:
    """The loss of a product's launches, and the day from which it is sold at retail."""
    first, stop = facts.products[product].launch, facts.products[product + 1].launch
    if first == stop:
        return 0, 0
    loss, start = 0, len(kept)
    for row in range(first, stop):
        day = state.launched[facts.launches[row, FIRST]]
        if day < 0:
            loss += facts.launches[row, UNMET]
        else:
            loss += facts.launches[row, LATE] * max(0, day - facts.launches[row, DAY])
            kept[day] = max(kept[day], facts.launches[row, BARS])
            start = min(start, day)
    return loss, start


@inlined
def _orders(facts: Facts, product: int, stock: Ints, kept: Ints, least: Ints) -> int:
    """The loss of a product's orders, each sent as soon as it can be; they leave the stock."""
    loss, days = 0, len(stock)
    for row in range(facts.products[product].order, facts.products[product + 1].order):
        _least_left(stock, kept, least)
        bars, sent = facts.orders[row, BARS], -1
        for day in range(facts.orders[row, FIRST], days):
            if least[day] >= bars:
                sent = day
                break
        if sent < 0:
            loss += facts.orders[row, UNMET]
            continue
        loss += facts.orders[row, LATE] * max(0, sent - facts.orders[row, DAY])
        for day in range(sent, days):
            stock[day] -= bars
    return loss


@inlined
def _least_left(stock: Ints, kept: Ints, least: Ints) -> None:
    """The stock less what a launch keeps on its day: of each day and all later ones the least."""
    lowest = FAR
    for day in range(len(stock) - 1, -1, -1):
        lowest = min(lowest, stock[day] - kept[day])
        least[day] = lowest


@inlined
def _retail(facts: Facts, product: int, start: int, stock: Ints, least: Ints) -> int:
    """The loss of retail sales and restock levels."""
    days = len(stock)
    first, stop = facts.products[product].retail, facts.products[product + 1].retail
    loss, total, missed = 0, 0, 0
    for day in range(days):
        asked = facts.asked[product, day, ASK] if day >= start else 0
        total += asked
        later = least[day + 1] if day + 1 < days else stock[days - 1]
        missing = max(missed, total - min(stock[day], later))
        sold = asked - (missing - missed)
        missed = missing
        for row in range(first, stop):
            served = min(sold, facts.retail[row, day])
            sold -= served
            loss += facts.weight[row] * (facts.retail[row, day] - served)
        least[day] = stock[day] - (total - missed)  # not looked at any more: now what is left
    for row in range(facts.products[product].restock, facts.products[product + 1].restock):
        for day in range(facts.restocks[row, START], facts.restocks[row, STOP]):
            below = max(0, facts.restocks[row, HELD] - least[day])
            loss += facts.restocks[row, BELOW] * below
    return loss


@compiled
def launch(facts: Facts, state: State) -> bool:
    """Set the days of launches anew where bars have changed; True if any has another day."""
    for product in range(len(state.dirty)):
        if state.dirty[product]:
            first, stop = facts.products[product].launch, facts.products[product + 1].launch
            for row in range(first, stop):
                state.stocked[row] = _first_with(state, product, facts.launches[row, BARS])
    changed = False
    for name in range(len(facts.wanted)):
        day = facts.wanted[name]
        for row in range(len(facts.launches)):
            if facts.launches[row, FIRST] == name and day >= 0:
                day = -1 if state.stocked[row] < 0 else max(day, state.stocked[row])
        changed = changed or day != state.launched[name]
        state.launched[name] = day
    return changed


@inlined
def _first_with(state: State, product: int, bars: int) -> int:
    """The first day on which so many bars have come; -1 if there is none."""
    arrived = 0
    for day in range(state.arrived.shape[1]):
        arrived += state.arrived[product, day]
        if arrived >= bars:
            return day
    return -1
