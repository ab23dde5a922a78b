"""The day rules that each batch keeps by itself: size, vessel, days of pouring, setting, curing."""

from collections import Counter
from collections.abc import Iterable

from planner.account import BatchFacts, Rule
from planner.replay.calendar import first_working_day, is_working_day
from planner.replay.faults import Faults
from planner.wording import day_words, mass_words
from planner.workshop import Workshop


def check_batches(workshop: Workshop, batches: Iterable[BatchFacts], faults: Faults) -> None:
    """All rules of single batches, then how many are poured in a day."""
    batches = tuple(batches)
    for batch in batches:
        if not batch.in_progress:
            _check_size(workshop, batch, faults)
            _check_vessel(workshop, batch, faults)
            _check_pour_day(workshop, batch, faults)
            _check_unmould_day(workshop, batch, faults)
        _check_pack_day(workshop, batch, faults)
    _check_batches_per_day(workshop, batches, faults)


def _check_size(workshop: Workshop, batch: BatchFacts, faults: Faults) -> None:
    """A batch has one of the sizes that the maker pours."""
    sizes = workshop.products[batch.product].sizes
    if batch.bars not in sizes:
        known = ", ".join(map(str, sorted(sizes)))
        message = f"a batch of {batch.bars} bars; the sizes are {known} bars"
        faults.add(batch.pour, Rule.BATCH_SIZE, batch.lot, message)


def _check_vessel(workshop: Workshop, batch: BatchFacts, faults: Faults) -> None:
    """The mass weighed fits into one vessel."""
    vessel = workshop.vessels[workshop.products[batch.product].vessel]
    if batch.mass > vessel.capacity_mg:
        message = (
            f"{mass_words(batch.mass)} are weighed, but {vessel.id} holds "
            f"{mass_words(vessel.capacity_mg)}"
        )
        faults.add(batch.pour, Rule.VESSEL_CAPACITY, batch.lot, message)


def _check_pour_day(workshop: Workshop, batch: BatchFacts, faults: Faults) -> None:
    """Pouring is done on a working day."""
    if not is_working_day(workshop, batch.pour):
        faults.add(batch.pour, Rule.WORKING_DAY, batch.lot, "poured on a day nobody works")


def _check_unmould_day(workshop: Workshop, batch: BatchFacts, faults: Faults) -> None:
    """u = s without nights in the mould, else the first working day >= s + set_days."""
    nights = workshop.products[batch.product].set_days
    due = first_working_day(workshop, batch.pour + nights) if nights else batch.pour
    if batch.unmould != due:
        when = "no working day of the plan is left for it"
        if due is not None:
            when = f"it is due on {day_words(workshop, due)}"
        message = f"unmoulded on {day_words(workshop, batch.unmould)}, but {when}"
        faults.add(batch.pour, Rule.UNMOULD_DAY, batch.lot, message)


def _check_pack_day(workshop: Workshop, batch: BatchFacts, faults: Faults) -> None:
    """Packed on a working day of the plan, not before u + cure_days."""
    if batch.pack is None:
        if not batch.in_progress:  # one under way may stay on its trays
            faults.add(batch.pour, Rule.WORKING_DAY, batch.lot, "never packed within the plan")
        return
    if not is_working_day(workshop, batch.pack):
        message = "packed on a day that is no working day of the plan"
        faults.add(batch.pack, Rule.WORKING_DAY, batch.lot, message)
    cured = batch.unmould + workshop.products[batch.product].cure_days
    if batch.pack < cured:
        message = f"packed before {day_words(workshop, cured)}, when its cure ends"
        faults.add(batch.pack, Rule.CURE, batch.lot, message)


def _check_batches_per_day(
    workshop: Workshop, batches: tuple[BatchFacts, ...], faults: Faults
) -> None:
    """Not more batches of a product on one day than its table allows."""
    poured = Counter((batch.pour, batch.product) for batch in batches if not batch.in_progress)
    for (day, product), count in poured.items():
        most = workshop.products[product].max_batches_per_day
        if most is not None and count > most:
            message = f"{count} batches are poured, at most {most} can be"
            faults.add(day, Rule.BATCHES_PER_DAY, product, message)
