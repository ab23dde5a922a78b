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


def in_plan_order(batch: Batch) -> tuple[int, str, int, int, int, str]:
    """The order of batches in a plan, those that are not packed first among equals."""
    pack = -1 if batch.pack is None else batch.pack
    return batch.pour, batch.product, batch.bars, batch.unmould, pack, batch.lot
