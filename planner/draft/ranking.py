"""In which order batches claim days: several rules of thumb, since none is best everywhere.

All are textbook priority rules: earliest due day, least slack, most value for each unit of the
resource that holds the workshop up, and due day brought forward by value.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

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


def rules_of(bench: Bench, jobs: Jobs, needs: Mapping[str, Need]) -> list[Rule]:
    """The rules worth trying for the first needs of all products that are short of bars."""
    products = {
        product: _demanding(bench, jobs, jobs.batches[product][0], need)
        for product, need in needs.items()
        if jobs.batches[product]
    }
    rules: list[Rule] = [due_day, _least_slack(products)]
    for resource in _most_loaded(bench, products)[:SCARCE]:
        each = {product: facts.each.get(resource, 0.0) for product, facts in products.items()}
        best = max(_density(facts.value, each[product]) for product, facts in products.items())
        rules += [value_for(each), value_before_due(each, best, bench.workdays.days / 4)]
    return rules


def due_day(need: Need, value: float) -> Rank:
    """The earliest due day first, of two the one with more at stake."""
    return need.due, -value, need.product


def _least_slack(products: Mapping[str, Demanding]) -> Rule:
    """The batch that has to be poured first goes first."""

    def least_slack(need: Need, value: float) -> Rank:
        facts = products.get(need.product)
        return need.due - (facts.days if facts else 0), -value, need.product

    return least_slack


def value_for(each: Mapping[str, float]) -> Rule:
    """Most loss spared for each unit of a resource first."""

    def most_value(need: Need, value: float) -> Rank:
        return -_density(value, each.get(need.product, 0.0)), need.due, need.product

    return most_value


def value_before_due(each: Mapping[str, float], best: float, days: float) -> Rule:
    """Due days, moved forward by up to so many days for value per unit of a resource."""

    def brought_forward(need: Need, value: float) -> Rank:
        density = _density(value, each.get(need.product, 0.0))
        return need.due - days * density / best, -value, need.product

    return brought_forward


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
