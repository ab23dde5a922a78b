"""Reads a plan's preparations, and the order in which those of one day are made."""

from planner.account import PreparationFacts, Rule
from planner.plan import Plan
from planner.replay.calendar import in_plan, is_working_day
from planner.replay.faults import Faults
from planner.replay.naming import LotNames
from planner.replay.quantities import charge_mass, parts_taken, usable_amount
from planner.workshop import Preparation, Workshop


def read_preparations(
    workshop: Workshop, plan: Plan, names: LotNames, faults: Faults
) -> tuple[PreparationFacts, ...]:
    """The lots that are made, by day, level and name; the others are broken rules."""
    levels = _levels(workshop)
    wanted = sorted(
        plan.preparations, key=lambda lot: (lot.make, levels.get(lot.preparation, 0), lot)
    )
    lots = []
    for wish in wanted:
        record = workshop.preparations.get(wish.preparation)
        if record is None:
            message = "a lot is planned, but there is no such preparation"
            faults.add(wish.make, Rule.UNKNOWN, wish.preparation, message)
        elif not in_plan(workshop, wish.make):
            message = "a lot is made on a day outside the plan"
            faults.add(wish.make, Rule.WORKING_DAY, wish.preparation, message)
        else:
            lots.append(_facts(workshop, record, wish.make, names.fresh(record.id, wish.make)))
    return tuple(lots)


def check_preparations(
    workshop: Workshop, lots: tuple[PreparationFacts, ...], faults: Faults
) -> None:
    """Preparations are made on working days."""
    for lot in lots:
        if not is_working_day(workshop, lot.make):
            faults.add(lot.make, Rule.WORKING_DAY, lot.lot, "made on a day nobody works")


def _facts(workshop: Workshop, record: Preparation, make: int, lot: str) -> PreparationFacts:
    life = record.shelf_life_days
    return PreparationFacts(
        make=make,
        preparation=record.id,
        lot=lot,
        amount=usable_amount(record),
        ready=make + record.ready_days,
        use_by=None if life is None else make + life,
        parts=parts_taken(workshop, record.formula, charge_mass(record)),
    )


def _levels(workshop: Workshop) -> dict[str, int]:
    """Preparation -> level: 0 if made of materials only, else above all preparations in it."""
    levels: dict[str, int] = {}

    def level(name: str) -> int:
        if name not in levels:
            levels[name] = 0  # ends the walk should a preparation contain itself
            parts = (part.item for part in workshop.preparations[name].formula)
            below = [level(part) for part in parts if part in workshop.preparations]
            levels[name] = 1 + max(below) if below else 0
        return levels[name]

    for name in workshop.preparations:
        level(name)
    return levels
