"""A schedule written down as the plan's records."""

from planner.draft.schedule import Schedule
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
