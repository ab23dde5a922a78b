"""Rules of shared resources: moulds, places, vessels, hands and trays, day by day.

All counts change on working days only, so only working days need a row.
"""

from planner.recipes import recipe_of
from planner.solver.linear import Knapsack, Linear, LinearModel
from planner.solver.variables import Variables


def add_moulds(model: LinearModel, variables: Variables) -> None:
    """Moulds of a kind: fillings of the day + turns x held over night <= turns x count."""
    for mould in variables.workshop.moulds.values():
        _add_setting(
            model,
            variables,
            f"moulds {mould.id}",
            [p.id for p in variables.workshop.products.values() if p.mould == mould.id],
            mould.turns_per_day,
            mould.count,
        )


def add_places(model: LinearModel, variables: Variables) -> None:
    """Moulds in a place: fillings of the day + turns x held over night <= turns x moulds."""
    for place in variables.workshop.places.values():
        _add_setting(
            model,
            variables,
            f"place {place.id}",
            [p.id for p in variables.workshop.products.values() if p.place == place.id],
            place.turns_per_day,
            place.moulds,
        )


def _add_setting(
    model: LinearModel,
    variables: Variables,
    name: str,
    products: list[str],
    turns: int,
    count: int,
) -> None:
    """fillings(t) + turns x (poured(t) - unmoulded(t)) <= turns x count, for some products."""
    timeline = variables.timeline
    for day in timeline.working:
        row = Linear()
        for key, recipe in variables.recipes.items():
            product = variables.workshop.products[key[0]]
            if key[0] not in products:
                continue
            poured = variables.poured[key]
            if product.set_days == 0:
                row.rise(poured, day, recipe.moulds)
                continue
            unmoulded = timeline.last_unmoulded(product)[day]
            row.step(poured, day, turns * recipe.moulds)
            row.step(poured, unmoulded, -turns * recipe.moulds)
        for batch in variables.workshop.underway:
            if batch.in_mould and day < batch.unmould and batch.product in products:
                moulds = recipe_of(variables.workshop, batch.product, batch.bars).moulds
                row.constant += turns * moulds
        if row.variables:
            model.at_most(row, turns * count, name)


def add_vessel_minutes(model: LinearModel, variables: Variables) -> None:
    """Minutes of the day's batches and preparations in a vessel <= count x minutes_per_day."""
    for vessel in variables.workshop.vessels.values():
        for day in variables.timeline.working:
            row = Linear()
            for key, recipe in variables.recipes.items():
                if variables.workshop.products[key[0]].vessel == vessel.id:
                    row.rise(variables.poured[key], day, recipe.vessel_minutes)
            for preparation, made in variables.made.items():
                if variables.workshop.preparations[preparation].vessel == vessel.id:
                    minutes = variables.lot_recipes[preparation].vessel_minutes
                    row.rise(made, day, minutes)
            model.at_most(row, vessel.count * vessel.minutes_per_day, f"vessel {vessel.id}")


def add_hands(model: LinearModel, variables: Variables) -> None:
    """Minutes of making, unmoulding, packing and preparations on a day <= everybody's minutes."""
    for day in variables.timeline.working:
        model.knapsack(hands_on(variables, day), "hands")


def hands_on(variables: Variables, day: int) -> Knapsack:
    """How many steps of so many minutes each there are on a day, and the minutes there are.

    A bar that is unmoulded on its pour day is made and unmoulded in one step.
    """
    workshop, timeline = variables.workshop, variables.timeline
    steps: dict[int, Linear] = {}

    def of(minutes: int) -> Linear:
        return steps.setdefault(minutes, Linear())

    minutes = workshop.minutes[day]
    for key, recipe in variables.recipes.items():
        product, poured = workshop.products[key[0]], variables.poured[key]
        if product.set_days == 0:
            of(recipe.make_minutes + recipe.unmould_minutes).rise(poured, day, 1)
        else:
            of(recipe.make_minutes).rise(poured, day, 1)
            unmoulded = timeline.last_unmoulded(product)
            before = unmoulded[day - 1] if day else -1
            if unmoulded[day] != before:
                leaving = of(recipe.unmould_minutes)
                leaving.step(poured, unmoulded[day], 1).step(poured, before, -1)
        of(recipe.pack_minutes).rise(variables.packed[key], day, 1)
    for batch in workshop.underway:
        recipe = recipe_of(workshop, batch.product, batch.bars)
        of(recipe.pack_minutes).rise(variables.finished[batch.lot], day, 1)
        if batch.in_mould and batch.unmould == day:
            minutes -= recipe.unmould_minutes
    for preparation, made in variables.made.items():
        of(variables.lot_recipes[preparation].make_minutes).rise(made, day, 1)
    counts = {size: count for size, count in steps.items() if size and count.variables}
    return Knapsack(counts=counts, capacity=minutes, day=day)


def add_trays(model: LinearModel, variables: Variables) -> None:
    """Trays of a kind, never shared between lots: unmoulded and not yet packed <= count."""
    workshop, timeline = variables.workshop, variables.timeline
    for tray in workshop.trays.values():
        for day in timeline.working:
            row = Linear()
            for key, recipe in variables.recipes.items():
                product = workshop.products[key[0]]
                if product.tray == tray.id:
                    unmoulded = timeline.last_unmoulded(product)[day]
                    row.step(variables.poured[key], unmoulded, recipe.trays)
                    row.step(variables.packed[key], day, -recipe.trays)
            for batch in workshop.underway:
                if workshop.products[batch.product].tray == tray.id and day >= batch.unmould:
                    trays = recipe_of(workshop, batch.product, batch.bars).trays
                    row.constant += trays
                    row.step(variables.finished[batch.lot], day, -trays)
            if row.variables:
                model.at_most(row, tray.count, f"trays {tray.id}")
