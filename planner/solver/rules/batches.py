"""Rules of a single batch: it cures long enough, is packed within the plan, and days have caps.

A batch under way is packed once it is cured, for its staircase begins then; or never.
"""

from planner.solver.linear import Linear, LinearModel
from planner.solver.variables import Variables


def add_cure(model: LinearModel, variables: Variables) -> None:
    """A batch is packed no sooner than cure_days after it left its moulds.

    packed(t) <= poured(s), s = the last pour day whose earliest pack day is not after t.
    """
    for key, packed in variables.packed.items():
        product = variables.workshop.products[key[0]]
        cured = variables.timeline.last_cured(product)
        for day in packed.days:
            row = Linear().step(packed, day, 1).step(variables.poured[key], cured[day], -1)
            model.at_most(row, 0, f"cure of {packed.name}")


def add_everything_is_packed(model: LinearModel, variables: Variables) -> None:
    """Every planned batch is packed within the plan: packed(end) >= poured(end)."""
    for key, packed in variables.packed.items():
        row = Linear().plus(variables.poured[key].last, 1).plus(packed.last, -1)
        model.at_most(row, 0, f"{packed.name} by the end")


def add_batches_per_day(model: LinearModel, variables: Variables) -> None:
    """Batches of a product poured on a day <= max_batches_per_day."""
    for product in variables.workshop.products.values():
        if product.max_batches_per_day is None:
            continue
        sizes = variables.sizes(product.id)
        for day in variables.timeline.working if sizes else ():
            row = Linear()
            for key in sizes:
                row.rise(variables.poured[key], day, 1)
            model.at_most(row, product.max_batches_per_day, f"batches a day of {product.id}")
