"""The next shortage of each product while a schedule grows, as `planner.draft.needs` has it."""

from typing import NamedTuple

import numpy as np

from planner.anneal.compiled import compiled, inlined
from planner.anneal.facts import (
    ASK,
    BARS,
    EACH,
    FIRST,
    LEVEL,
    UNMET,
    WORTH,
    Facts,
    Floats,
    Ints,
    Records,
)
from planner.anneal.state import State

SHORT = np.dtype(
    [
        ("open", np.int64),  # 1 while bars are missing that may still be made
        ("told", np.int64),  # 1 while it is told what is asked for with orders and launches as now
        ("since", np.int64),  # the first day whose shortages still count
        ("due", np.int64),  # the first day on which bars are missing
        ("value", np.float64),  # the loss that a batch of the largest size would spare
    ]
)

LEAVING, LEFT = range(2)
"""For a product and a day: bars asked for on it, and bars that are to be left."""

LOST, MISSING, UNIT, PIECE = range(4)
"""For a product and a day: bars lost up to it, bars missing of a level on it, and the loss with
each of both."""


class Shortages(NamedTuple):
    """What is short while a schedule grows.

    products    records
    asked       product, day -> LEAVING, LEFT
    lacking     product, day -> LOST, ...
    sent        row of orders -> the day on which it is to leave
    launched    launch -> the day on which it is to be, the plan's length where it is given up
    """

    products: Records
    asked: Ints
    lacking: Floats
    sent: Ints
    launched: Ints


def shortages(facts: Facts) -> Shortages:
    """Room for them."""
    products, days, _ = facts.asked.shape
    return Shortages(
        products=np.zeros(products, SHORT),
        asked=np.zeros((products, days, 2), np.int64),
        lacking=np.zeros((products, days, 4)),
        sent=np.zeros(len(facts.orders), np.int64),
        launched=np.zeros(len(facts.wanted), np.int64),
    )


@compiled
def begin(facts: Facts, short: Shortages) -> None:
    """Nothing is short yet; orders and launches are to be on their days."""
    for product in range(len(short.products)):
        short.products[product].open = 0
        short.products[product].since = 0
        for row in range(facts.products[product].order, facts.products[product + 1].order):
            if short.sent[row] != facts.orders[row, FIRST]:
                short.sent[row] = facts.orders[row, FIRST]
                short.products[product].told = 0
        for row in range(facts.products[product].launch, facts.products[product + 1].launch):
            name = facts.launches[row, FIRST]
            if short.launched[name] != facts.wanted[name]:
                short.products[product].told = 0
    for name in range(len(facts.wanted)):
        short.launched[name] = facts.wanted[name]


@inlined
def look_ahead(facts: Facts, state: State, short: Shortages, product: int) -> None:
    """The first shortage of a product, if there is any."""
    days = len(facts.working)
    if not short.products[product].told:
        _ask(facts, short, product)
    since, due = short.products[product].since, -1
    surplus, lowest, lost = 0, 0, 0
    for day in range(days):
        surplus += state.arrived[product, day] - short.asked[product, day, LEAVING]
        now, below = min(lowest, surplus), 0
        if day >= since:
            lost += lowest - now
            below = max(0, short.asked[product, day, LEFT] - (surplus - now))
            if due < 0 and (lost or below):
                due = day
        lowest = now
        short.lacking[product, day, LOST] = lost
        short.lacking[product, day, MISSING] = below
    first, stop = facts.products[product].launch, facts.products[product + 1].launch
    for row in range(first, stop):  # first of all rows, since two may be on one day
        day = short.launched[facts.launches[row, FIRST]]
        if day < days:
            short.lacking[product, day, PIECE] = facts.asked[product, day, EACH]
    for row in range(first, stop):
        day = short.launched[facts.launches[row, FIRST]]
        if day < days:
            missing = max(1.0, short.lacking[product, day, MISSING])
            short.lacking[product, day, PIECE] += facts.launches[row, UNMET] / missing
    short.products[product].open = due >= 0
    if due >= 0:
        good = facts.jobs[facts.products[product].job].good
        short.products[product].due = due
        short.products[product].value = _value(short, product, due, good)


@inlined
def _ask(facts: Facts, short: Shortages, product: int) -> None:
    """What leaves on each day, the loss if it does not, and what is to be left."""
    days, asked, lacking = len(facts.working), short.asked, short.lacking
    first, stop = facts.products[product].launch, facts.products[product + 1].launch
    start = days if first < stop else 0
    for row in range(first, stop):
        start = min(start, short.launched[facts.launches[row, FIRST]])
    for day in range(days):
        asked[product, day, LEAVING] = facts.asked[product, day, ASK] if day >= start else 0
        asked[product, day, LEFT] = facts.asked[product, day, LEVEL]
        lacking[product, day, UNIT] = facts.asked[product, day, WORTH] if day >= start else 0
        lacking[product, day, PIECE] = facts.asked[product, day, EACH]
    for row in range(facts.products[product].order, facts.products[product + 1].order):
        day = short.sent[row]
        if day < days:
            asked[product, day, LEAVING] += facts.orders[row, BARS]
            lacking[product, day, UNIT] += facts.orders[row, UNMET]
    for day in range(days):
        lacking[product, day, UNIT] /= max(1, asked[product, day, LEAVING])
    for row in range(first, stop):
        day = short.launched[facts.launches[row, FIRST]]
        if day < days:
            held = facts.launches[row, BARS] - facts.asked[product, day, ASK]
            asked[product, day, LEFT] = max(asked[product, day, LEFT], held)
    short.products[product].told = 1


@inlined
def _value(short: Shortages, product: int, first: int, bars: int) -> float:
    """The loss spared by so many bars that can be sold from a day on."""
    before = short.lacking[product, first - 1, LOST] if first else 0.0
    spared, served = 0.0, 0.0
    for day in range(first, short.lacking.shape[1]):
        now = min(short.lacking[product, day, LOST] - before, bars)
        spared += (now - served) * short.lacking[product, day, UNIT]
        helped = min(short.lacking[product, day, MISSING], bars)
        spared += helped * short.lacking[product, day, PIECE]
        served = now
    return spared


@inlined
def wanted(facts: Facts, short: Shortages, product: int, first: int) -> float:
    """Bars that serve something if they can be sold from a day on, for as long as they keep."""
    days = len(facts.working)
    if first >= days:
        return 0.0
    last = max(first, min(days - 1, first + facts.products[product].horizon))
    before = short.lacking[product, first - 1, LOST] if first else 0.0
    most = 0.0
    for day in range(first, last + 1):
        missing = short.lacking[product, day, LOST] + short.lacking[product, day, MISSING]
        most = max(most, missing - before)
    return most


@inlined
def wanted_late(facts: Facts, short: Shortages, product: int, day: int) -> float:
    """Bars that serve something from a later day on: what slips to it, and what follows."""
    if day >= len(facts.working):
        return 0.0
    due, bars = short.products[product].due, wanted(facts, short, product, day)
    for row in range(facts.products[product].order, facts.products[product + 1].order):
        if due <= short.sent[row] < day:
            bars += facts.orders[row, BARS]
    for row in range(facts.products[product].launch, facts.products[product + 1].launch):
        on = short.launched[facts.launches[row, FIRST]]
        if due <= on < day:
            bars += short.lacking[product, on, MISSING]
    return bars


@inlined
def slip(facts: Facts, state: State, short: Shortages, product: int, day: int) -> None:
    """Give up serving a product before a day: its orders and launches slip to it."""
    due = short.products[product].due
    for row in range(facts.products[product].order, facts.products[product + 1].order):
        if due <= short.sent[row] < day:
            short.sent[row] = day
            short.products[product].told = 0
    short.products[product].since = max(short.products[product].since, day)
    for row in range(facts.products[product].launch, facts.products[product + 1].launch):
        name = facts.launches[row, FIRST]
        on = short.launched[name]
        if due <= on < day and short.lacking[product, on, MISSING]:
            short.launched[name] = day
            _look_again(facts, state, short, name, product)
    look_ahead(facts, state, short, product)


@inlined
def give_up(facts: Facts, state: State, short: Shortages, product: int) -> None:
    """No batch of a product fits any more: its launches that are short never happen."""
    days = len(facts.working)
    short.products[product].open = 0
    for row in range(facts.products[product].launch, facts.products[product + 1].launch):
        name = facts.launches[row, FIRST]
        on = short.launched[name]
        if on < days and short.lacking[product, on, MISSING]:
            short.launched[name] = days
            _look_again(facts, state, short, name, product)


@compiled
def _look_again(facts: Facts, state: State, short: Shortages, name: int, but: int) -> None:
    """The shortages of the other products of a launch that has another day now."""
    for row in range(len(facts.launches)):
        if facts.launches[row, FIRST] == name:
            product = _product_of(facts, row)
            short.products[product].told = 0
            if product != but and short.products[product].open:
                look_ahead(facts, state, short, product)


@compiled
def _product_of(facts: Facts, row: int) -> int:
    """The product of a row of launches."""
    product = 0
    while facts.products[product + 1].launch <= row:
        product += 1
    return product
