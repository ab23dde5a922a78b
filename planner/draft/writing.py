"""A schedule written down as the plan's records."""

from planner.draft.schedule import Schedule, Start
from planner.plan import Batch, PreparationLot


def batches_of(schedule: Schedule) -> tuple[Batch, ...]:
    """The planned batches in the order of their pour days."""
    return tuple(
        sorted(
            Batch(
                pour=placed.pour,
                product=placed.job.product.id,
                bars=placed.job.recipe.bars,
                unmould=placed.unmould,
                pack=placed.pack,
            )
            for placed in schedule.placed
        )
    )


def lots_of(schedule: Schedule) -> tuple[PreparationLot, ...]:
    """The planned lots of preparations in the order of their days."""
    return tuple(
        sorted(
            PreparationLot(make=lot.make, preparation=lot.preparation)
            for lots in schedule.bench.lots.values()
            for lot in lots
        )
    )


def all_batches(start: Start, schedule: Schedule) -> list[Batch]:
    """The batches that stand, and those planned."""
    return [*start.standing, *batches_of(schedule)]


def all_lots(start: Start, schedule: Schedule) -> list[PreparationLot]:
    """The lots of preparations that stand, and those planned."""
    return [*start.lots, *lots_of(schedule)]
