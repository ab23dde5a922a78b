"""The day rules as linear rows, a file per subject; `add_all_rules` is the table of contents."""

from planner.solver.linear import LinearModel
from planner.solver.rules.batches import (
    add_batches_per_day,
    add_cure,
    add_everything_is_packed,
)
from planner.solver.rules.resources import (
    add_hands,
    add_moulds,
    add_places,
    add_trays,
    add_vessel_minutes,
)
from planner.solver.rules.stocks import Supply, add_stocks
from planner.solver.variables import Variables


def add_all_rules(model: LinearModel, variables: Variables, supply: Supply) -> None:
    """Every rule of making and stock; demand and purchases come with their goals."""
    add_cure(model, variables)
    add_everything_is_packed(model, variables)
    add_batches_per_day(model, variables)
    with model.shared():
        add_moulds(model, variables)
        add_places(model, variables)
        add_vessel_minutes(model, variables)
        add_hands(model, variables)
        add_trays(model, variables)
        add_stocks(model, variables, supply)
