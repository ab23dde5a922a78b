"""Published schedules, carried out by the replay: accepted if they keep stock, refused if not.

Instances and optima: scheduling with renewable resources, and stocks that tasks take from when
they start and add to when they end: Kone, Artigues, Lopez & Mongeau 2013, Flexible Services and
Manufacturing Journal 25, 25-47. For each there is a schedule of the published length, and a shorter
one that keeps capacities and the order of tasks but draws a stock below zero.

How a schedule becomes a workshop and a plan
- What a task holds of a resource: a batch that cures on so many trays of one kind for its days.
- What it takes at its start: the parts of a batch poured on that day, in mg.
- What it adds at its end: an open order that can be used from that day on. What ends on a day can
  be taken on it.
- That it follows another task: a token that comes when the other has ended, and that it takes.
"""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import count
from pathlib import Path

import pytest

from planner.account import Broken, Rule
from planner.plan import Batch, Plan
from planner.replay import replay
from planner.workshop import (
    Lot,
    Material,
    Mould,
    Part,
    Product,
    Receipt,
    Tray,
    Unit,
    Vessel,
    Workshop,
)
from tests.workshops import tiny

FOLDER = Path(__file__).parents[3] / "shared" / "checks"
BINDING = (
    "j3027_5",
    "j3048_9",
    "j3034_3",
    "j3047_7",
    "j3034_8",
    "j3036_7",
    "j3018_2",
    "j3032_3",
    "j3039_9",
    "j3035_10",
    "j3027_4",
    "j3032_4",
)

# Two of the instances, typed: capacities | stocks | published length, then for each task days |
# holds | takes | adds | followers | start in the published schedule | start if stock is ignored.
TYPED = {
    "j3047_7": """
27 35 25 24 | 24 8 17 | 288
0 | 0 0 0 0 | 0 0 0 | 0 0 0 | 1 2 3 | 0 | 0
5 | 5 4 5 2 | 8 5 2 | 5 8 7 | 5 6 8 | 0 | 0
2 | 7 3 3 10 | 4 1 10 | 8 9 10 | 11 12 16 | 1 | 0
9 | 7 1 2 5 | 4 5 8 | 4 9 4 | 4 11 15 | 55 | 0
3 | 6 7 4 6 | 3 10 2 | 4 4 4 | 16 | 281 | 55
50 | 9 2 7 2 | 6 5 9 | 6 2 10 | 7 9 10 | 5 | 5
150 | 4 9 7 4 | 5 4 3 | 6 9 6 | 9 10 16 | 5 | 5
125 | 1 3 5 2 | 5 3 6 | 7 6 2 | 13 14 16 | 155 | 55
175 | 5 7 3 1 | 6 6 8 | 10 10 3 | 12 14 15 | 5 | 5
25 | 5 1 4 2 | 4 6 5 | 1 3 7 | 15 16 | 180 | 155
50 | 6 9 2 3 | 7 3 2 | 1 2 1 | 16 | 232 | 155
175 | 4 9 2 1 | 2 7 5 | 6 5 10 | 13 14 16 | 64 | 9
10 | 2 8 10 9 | 10 6 6 | 10 2 2 | 16 | 206 | 180
7 | 2 8 8 1 | 4 1 2 | 2 9 9 | 16 | 280 | 184
8 | 10 3 2 5 | 2 9 8 | 5 7 3 | 16 | 280 | 184
1 | 2 2 10 9 | 4 4 6 | 5 7 5 | 16 | 205 | 180
0 | 0 0 0 0 | 0 0 0 | 0 0 0 |  | 288 | 205
""",
    "j3032_3": """
38 35 30 37 | 45 24 36 | 341
0 | 0 0 0 0 | 0 0 0 | 0 0 0 | 1 2 3 | 0 | 0
5 | 6 3 5 5 | 9 3 10 | 4 9 9 | 16 | 11 | 0
9 | 9 10 10 9 | 10 8 2 | 4 4 4 | 4 8 9 | 0 | 0
9 | 8 10 2 9 | 6 5 8 | 5 2 5 | 5 11 12 | 12 | 0
1 | 6 4 1 4 | 3 3 9 | 5 5 10 | 6 7 10 | 9 | 9
150 | 4 2 5 10 | 8 2 4 | 5 3 4 | 14 16 | 185 | 9
175 | 10 3 1 5 | 4 7 1 | 2 6 7 | 16 | 10 | 10
200 | 6 1 10 3 | 5 10 3 | 10 3 2 | 11 12 13 | 16 | 10
225 | 6 8 1 6 | 6 6 10 | 9 10 4 | 16 | 17 | 9
125 | 9 2 9 3 | 4 8 6 | 2 6 7 | 16 | 216 | 9
250 | 3 8 4 10 | 5 1 7 | 4 6 4 | 16 | 27 | 10
50 | 4 5 1 2 | 10 6 6 | 10 7 6 | 16 | 286 | 210
3 | 7 1 3 6 | 3 6 3 | 1 3 8 | 14 15 | 284 | 210
9 | 10 8 3 4 | 4 6 8 | 8 10 6 | 16 | 276 | 210
6 | 10 2 6 2 | 3 8 7 | 1 10 3 | 16 | 335 | 213
2 | 3 1 8 6 | 7 7 7 | 2 7 3 | 16 | 287 | 213
0 | 0 0 0 0 | 0 0 0 | 0 0 0 |  | 341 | 260
""",
}


@dataclass(frozen=True)
class Task:
    """Days it takes, what it holds, takes at its start and adds at its end, and who follows."""

    days: int
    holds: Sequence[int]
    takes: Sequence[int]
    adds: Sequence[int]
    followers: Sequence[int]


@dataclass(frozen=True)
class Instance:
    """Tasks with capacities and opening stocks; the published length and two schedules."""

    tasks: Sequence[Task]
    capacity: Sequence[int]
    stock: Sequence[int]
    published: int
    best: Sequence[int]
    overdrawing: Sequence[int]


def _numbers(text: str) -> list[list[int]]:
    return [[int(word) for word in part.split()] for part in text.split("|")]


@cache
def typed(name: str) -> Instance:
    """One of the instances above."""
    head, *lines = TYPED[name].strip().splitlines()
    capacity, stock, (published,) = _numbers(head)
    rows = [_numbers(line) for line in lines]
    return Instance(
        tasks=[Task(row[0][0], *row[1:5]) for row in rows],
        capacity=capacity,
        stock=stock,
        published=published,
        best=[row[5][0] for row in rows],
        overdrawing=[row[6][0] for row in rows],
    )


def read(name: str) -> Instance:
    """An instance from the published ones beside the project; the test is skipped without them."""
    file = FOLDER / "instances_small.json"
    if not file.exists():
        pytest.skip("the published instances are not beside the project")
    found = json.loads(file.read_text())[f"KSD15d_ConsProd_{name}"]
    followers: dict[int, set[int]] = {}
    for task, follower, lag in found["min_lag"]:
        assert lag == found["duration"][task]
        followers.setdefault(task, set()).add(follower)
    rows = zip(found["duration"], found["demand"], found["storage"], strict=True)
    return Instance(
        tasks=[
            Task(days, holds, *zip(*moves, strict=True), sorted(followers.get(number, ())))
            for number, (days, holds, moves) in enumerate(rows)
        ],
        capacity=found["capacity"],
        stock=found["storage0"],
        published=found["published"],
        best=found["optimal_starts"],
        overdrawing=found["starts_ignoring_stock"],
    )


# A schedule as a workshop and a plan


def _product(name: str, tray: str, bars: int, days: int, parts: dict[str, int]) -> Product:
    """Poured and unmoulded on one day, on a tray for each bar until `days` later; no work."""
    mass = sum(parts.values())
    return Product(
        id=name,
        line="",
        pour_mg=mass,
        net_mg=0,
        price=0,
        mould="mould",
        set_days=0,
        vessel="pot",
        vessel_minutes=0,
        make_minutes=0,
        pack_minutes_per_bar=Fraction(0),
        cure_days=days,
        tray=tray,
        bars_per_tray=1,
        sizes=(bars,),
        formula=tuple(
            Part(item=item, share=Fraction(taken, mass)) for item, taken in parts.items()
        ),
    )


def _batches(instance: Instance, starts: Sequence[int]) -> Iterator[tuple[Product, Batch]]:
    """For each task a batch that takes its parts, and one for each resource that it holds."""
    tokens = _tokens(instance)
    for number, (task, start) in enumerate(zip(instance.tasks, starts, strict=True)):
        parts = {f"stock {item}": taken for item, taken in enumerate(task.takes) if taken}
        parts |= {token: 1 for token, (_, follower) in tokens.items() if follower == number}
        held = {f"resource {k}": amount for k, amount in enumerate(task.holds) if amount}
        for tray, trays in ({"floor": 1} | held).items():
            needs = parts if tray == "floor" else {}
            product = _product(f"task {number} on {tray}", tray, trays, task.days, needs)
            end = start + task.days
            yield (
                product,
                Batch(pour=start, product=product.id, bars=trays, unmould=start, pack=end),
            )


def _tokens(instance: Instance) -> dict[str, tuple[int, int]]:
    """A token for each pair of a task and one that follows it."""
    number = count()
    return {
        f"token {next(number)}": (task, follower)
        for task, record in enumerate(instance.tasks)
        for follower in record.followers
    }


def _receipts(instance: Instance, starts: Sequence[int]) -> Iterator[Receipt]:
    """What tasks add when they end, and the tokens that tell that they have ended."""
    ends = [start + task.days for task, start in zip(instance.tasks, starts, strict=True)]
    comes = [
        (f"stock {item}", amount, end)
        for task, end in zip(instance.tasks, ends, strict=True)
        for item, amount in enumerate(task.adds)
        if amount
    ]
    comes += [(token, 1, ends[task]) for token, (task, _) in _tokens(instance).items()]
    for number, (item, amount, day) in enumerate(comes):
        yield Receipt(
            reference=f"end {number}",
            supplier="",
            material=item,
            amount=amount,
            expected=day,
            arrive=day,
            usable=day,
        )


def refusals(instance: Instance, starts: Sequence[int]) -> tuple[Broken, ...]:
    """The rules that the replay finds broken when a schedule is carried out."""
    made = list(_batches(instance, starts))
    receipts = tuple(_receipts(instance, starts))
    items = sorted({receipt.material for receipt in receipts})
    items += [f"stock {number}" for number in range(len(instance.stock))]
    days = max(batch.pack or 0 for _, batch in made) + 1
    trays = {"floor": len(made)} | {f"resource {k}": c for k, c in enumerate(instance.capacity)}
    workshop: Workshop = tiny(
        days=days,
        minutes=(1,) * days,
        materials={name: Material(id=name, kind="ingredient", unit=Unit.GRAM) for name in items},
        products={product.id: product for product, _ in made},
        moulds={"mould": Mould(id="mould", count=10_000, cavities=1)},
        vessels={"pot": Vessel(id="pot", count=1, capacity_mg=10**6, minutes_per_day=1)},
        trays={name: Tray(id=name, count=count) for name, count in trays.items()},
        suppliers={},
        offers={},
        lots=tuple(
            Lot(item=f"stock {number}", lot=f"stock {number}", amount=amount)
            for number, amount in enumerate(instance.stock)
        ),
        receipts=receipts,
        demand=(),
        values={},
    )
    return replay(workshop, Plan(batches=tuple(batch for _, batch in made))).broken


def _check(instance: Instance) -> None:
    ends = [s + task.days for s, task in zip(instance.best, instance.tasks, strict=True)]
    assert max(ends) == instance.published
    assert refusals(instance, instance.best) == ()
    refused = refusals(instance, instance.overdrawing)
    assert {fault.rule for fault in refused} == {Rule.STOCK}
    assert all(fault.subject.startswith("stock ") for fault in refused)


@pytest.mark.parametrize("name", TYPED)
def test_published_schedule_is_accepted_and_the_overdrawing_one_refused(name: str) -> None:
    _check(typed(name))


@pytest.mark.slow
@pytest.mark.parametrize("name", BINDING)
def test_so_are_all_that_lie_beside_the_project(name: str) -> None:
    _check(read(name))


@pytest.mark.parametrize("name", TYPED)
def test_what_is_typed_is_what_was_published(name: str) -> None:
    found = read(name)
    assert refusals(typed(name), found.best) == ()
    assert typed(name).published == found.published


# Task by task against plain arithmetic


def keeps_all(instance: Instance, starts: Sequence[int]) -> bool:
    """The same three conditions, summed day by day."""
    ends = [start + task.days for task, start in zip(instance.tasks, starts, strict=True)]
    for number, task in enumerate(instance.tasks):
        if any(starts[follower] < ends[number] for follower in task.followers):
            return False
    for day in sorted({*starts, *ends}):
        for k, capacity in enumerate(instance.capacity):
            running = [
                task.holds[k]
                for task, start, end in zip(instance.tasks, starts, ends, strict=True)
                if start <= day < end
            ]
            if sum(running) > capacity:
                return False
        for k, there in enumerate(instance.stock):
            level = there
            for task, start, end in zip(instance.tasks, starts, ends, strict=True):
                level += (task.adds[k] if end <= day else 0) - (
                    task.takes[k] if start <= day else 0
                )
            if level < 0:
                return False
    return True


@pytest.mark.slow
@pytest.mark.parametrize("name", TYPED)
def test_with_one_task_moved_the_replay_and_plain_sums_agree(name: str) -> None:
    """Each task moved to the first day, and three days earlier: nearly all such schedules fail."""
    instance = typed(name)
    verdicts = []
    for number in range(1, len(instance.tasks) - 1):
        for day in sorted({0, max(0, instance.best[number] - 3)}):
            moved = [*instance.best[:number], day, *instance.best[number + 1 :]]
            allowed = keeps_all(instance, moved)
            assert (refusals(instance, moved) == ()) is allowed
            verdicts.append(allowed)
    assert verdicts.count(False) > len(verdicts) // 2
