"""The facts of a search in arrays: jobs, rooms, demand, rules of thumb, and a plan to stay near."""

from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

Ints = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]
Records = npt.NDArray[Any]
"""An array whose elements have named fields."""

JOB = np.dtype(
    [
        ("product", np.int64),
        ("make", np.int64),  # minutes
        ("unmoulding", np.int64),
        ("packing", np.int64),
        ("good", np.int64),  # bars
        ("keeps", np.int64),  # days from pouring on
        ("tray", np.int64),  # room
        ("trays", np.int64),
        ("on_day", np.int64),  # where parts held on the pour day stop
        ("moulds", np.int64),  # where parts held until the moulds are free again stop
        ("materials", np.int64),  # where parts used on the pour day stop
        ("packaging", np.int64),  # where parts used on the pack day stop
    ]
)
"""A batch of one size. Its parts are pairs of a room and an amount, in the order of the stops."""

PRODUCT = np.dtype(
    [
        ("job", np.int64),
        ("retail", np.int64),
        ("order", np.int64),
        ("restock", np.int64),
        ("launch", np.int64),
        ("horizon", np.int64),  # days that bars can be expected to keep from their first sale on
    ]
)
"""Where a product's jobs and rows of demand begin; they stop where the next product's begin."""

UNMOULD, CURED, RELEASE, LATEST = range(4)
"""For a job and a pour day: the days of these steps. And for a job and any day: how many pour days
there are whose batches are cured before it."""

ASK, WORTH, LEVEL, EACH = range(4)
"""For a product and a day: bars asked for at retail, the loss if none of them are sold, the restock
level, and the loss with each bar that is missing of it."""

DUE, DENSITY, AHEAD, AMOUNT = range(4)
"""For a rule and a product: see `planner.draft.ranking.Ranking`; the amount is that of `each`."""

DAY, BARS, LATE, UNMET, FIRST = range(5)
"""Of an order: its day, bars, loss with each day, loss if it is not met, first day to leave on. Of
a launch the last one is its number instead."""

START, STOP, HELD, BELOW = range(4)
"""Of a restock level: the days it holds for, its bars, loss with each of them on each day."""

HANDS = 0
"""The room of the minutes that hands have. A room has so much free on each day."""


class Facts(NamedTuple):
    """What does not change while a search goes on. All numbers are whole but those of rules.

    jobs        records, those of a product one after the other, the largest first
    parts       job, part -> room, amount
    steps       job, day -> UNMOULD, ..., the plan's length where that is not within the plan
    products    records, and one more that only stops the last
    asked       product, day -> ASK, ...
    retail      row, day -> bars, the dearest row of a product first
    weight      row of retail -> loss with each bar
    orders      row -> DAY, ..., the most urgent of a product first
    restocks    row -> START, ...
    launches    row -> DAY, ...
    wanted      launch -> the day on which it is wanted
    until       room -> the day from which it is without limit; items are held up to it
    working     day -> 1 where somebody works
    wasted      minutes -> those of them that no steps can fill
    rules       rule, product -> DUE, ...
    kept        job, day -> batches that a plan to stay near pours
    worth       loss that each of them counts for where it is missing, in thousandths
    """

    jobs: Records
    parts: Ints
    steps: Ints
    products: Records
    asked: Ints
    retail: Ints
    weight: Ints
    orders: Ints
    restocks: Ints
    launches: Ints
    wanted: Ints
    until: Ints
    working: Ints
    wasted: Ints
    rules: Floats
    kept: Ints
    worth: int
