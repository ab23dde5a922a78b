"""In which order batches claim days: several rules of thumb, since none is best everywhere.

All are textbook priority rules: earliest due day, least slack, most value for each unit of the
resource that holds the workshop up, and due day brought forward by value.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np

from planner.draft.bench import Bench
from planner.draft.capacity import HANDS
from planner.draft.jobs import Job, Jobs
from planner.draft.needs import Need

Rank = tuple[float, float, str]
Rule = Callable[[Need, float], Rank]
"""From a need, and the loss that one batch would spare, to a rank; the lowest goes first."""

SCARCE = 3
"""How many of the most loaded resources have a rule of their own."""


@dataclass(frozen=True, kw_only=True)
class Demanding:
    """What a product's batches take: resource -> amount for each; and how many are needed.

    `days` is the time from pouring to packing, `value` the loss that the first batch spares.
    """

    batches: float
    each: Mapping[str, float]
    days: int
    value: float


@dataclass(frozen=True, kw_only=True)
class Ranking:
    """A rule as numbers, from a product's due day and the value of its batch to its rank.

    `due` and `density` are the shares of the due day and of the value for each unit of a resource;
    `ahead` has the days, and `each` the amount of that resource, for each product.
    """

    due: float = 1.0
    density: float = 0.0
    ahead: Mapping[str, float] = field(default_factory=dict)
    each: Mapping[str, float] = field(default_factory=dict)

    def __call__(self, need: Need, value: float) -> Rank:
        """The rank; of two alike the one with more at stake goes first."""
        rank = self.due * need.due - self.ahead.get(need.product, 0.0)
        if self.density:
            rank -= self.density * _density(value, self.each.get(need.product, 0.0))
        return rank, -value, need.product


due_day = Ranking()
"""The earliest due day first."""


def rules_of(bench: Bench, jobs: Jobs, needs: Mapping[str, Need]) -> list[Ranking]:
    """The rules worth trying for the first needs of all products that are short of bars."""
    products = {
        product: _demanding(bench, jobs, jobs.batches[product][0], need)
        for product, need in needs.items()
        if jobs.batches[product]
    }
    slack = {product: float(facts.days) for product, facts in products.items()}
    rules = [due_day, Ranking(ahead=slack)]
    for resource in _most_loaded(bench, products)[:SCARCE]:
        each = {product: facts.each.get(resource, 0.0) for product, facts in products.items()}
        best = max(_density(facts.value, each[product]) for product, facts in products.items())
        forward = bench.workdays.days / 4 / best
        rules += [Ranking(due=0.0, density=1.0, each=each), Ranking(density=forward, each=each)]
    return rules


def _density(value: float, amount: float) -> float:
    return max(value, 1.0) / max(amount, 1e-3)


def _demanding(bench: Bench, jobs: Jobs, job: Job, need: Need) -> Demanding:
    pour = min(bench.workdays.after(0), bench.workdays.days - 1)
    cure = max(1, job.cured[pour] - job.unmould[pour])
    set_days = max(1, job.release[pour] - pour)
    recipe = job.recipe
    each: dict[str, float] = {
        HANDS: recipe.make_minutes + recipe.unmould_minutes + recipe.pack_minutes,
        job.tray.resource: job.tray.amount * cure,
    }
    for held in job.moulds:
        each[held.resource] = held.amount * set_days
    for held in job.pour_day:
        each[held.resource] = held.amount
    for row, amount in (*job.materials, *jobs.made(job.preparations)):
        each[f"item {row}"] = amount
    return Demanding(
        batches=need.wanted(need.due, bench.workdays.days - 1) / recipe.good,
        each=each,
        days=cure + set_days,
        value=need.value(need.due, recipe.good),
    )


def _most_loaded(bench: Bench, products: Mapping[str, Demanding]) -> list[str]:
    """Resources of which the needed batches take more than half, the most loaded first."""
    load: dict[str, float] = {}
    for facts in products.values():
        for resource, amount in facts.each.items():
            load[resource] = load.get(resource, 0.0) + facts.batches * amount
    shares = {resource: amount / _available(bench, resource) for resource, amount in load.items()}
    return sorted(
        (resource for resource, share in shares.items() if share > 0.5),
        key=lambda resource: (-shares[resource], resource),
    )


def _available(bench: Bench, resource: str) -> float:
    """All of a resource within the plan; of an item the most that can be used on one day."""
    if resource.startswith("item "):
        return max(1.0, float(np.max(bench.pantry.room(int(resource[5:])))))
    return max(1.0, float(sum(max(0, free) for free in bench.free[resource].amounts)))
