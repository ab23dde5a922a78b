"""Rules of shared resources: moulds, places, vessels, hands and trays, day by day.

All counts change on working days only, so only working days need a row.
"""

from planner.recipes import recipe_of
from planner.solver.linear import Linear, LinearModel
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
    workshop, timeline = variables.workshop, variables.timeline
    for day in timeline.working:
        row = Linear()
        for key, recipe in variables.recipes.items():
            product = workshop.products[key[0]]
            poured = variables.poured[key]
            row.rise(poured, day, recipe.make_minutes)
            row.rise(variables.packed[key], day, recipe.pack_minutes)
            unmoulded = timeline.last_unmoulded(product)
            before = unmoulded[day - 1] if day else -1
            if unmoulded[day] != before:
                row.step(poured, unmoulded[day], recipe.unmould_minutes)
                row.step(poured, before, -recipe.unmould_minutes)
        for batch in workshop.underway:
            recipe = recipe_of(workshop, batch.product, batch.bars)
            row.rise(variables.finished[batch.lot], day, recipe.pack_minutes)
            if batch.in_mould and batch.unmould == day:
                row.constant += recipe.unmould_minutes
        for preparation, made in variables.made.items():
            row.rise(made, day, variables.lot_recipes[preparation].make_minutes)
        model.at_most(row, workshop.minutes[day], "hands")


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
