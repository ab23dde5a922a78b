"""The plan as a diary: what is done on which day, in the order in which a day runs."""

from dataclasses import dataclass
from enum import IntEnum

from planner.account import BatchFacts, PreparationFacts
from planner.causes import first_pack_day
from reports.view import View
from reports.words import amount_text, count_text


class Deed(IntEnum):
    """What can be done with a batch or preparation, in the order of a day."""

    UNMOULD = 1
    PACK = 2
    PREPARE = 3
    POUR = 4

    @property
    def word(self) -> str:
        """The word for it in a report."""
        return self.name.lower()


@dataclass(frozen=True, kw_only=True, order=True)
class Entry:
    """One thing to do.

    name   the product or preparation
    much   how many bars, or how much of a preparation
    on     what it takes: moulds, trays
    then   what follows, and when
    lot    the lot it is done with
    """

    day: int
    deed: Deed
    name: str
    much: str
    on: str
    then: str
    lot: str


def entries(view: View) -> tuple[Entry, ...]:
    """Everything to do from the plan's first day on, by day."""
    found = [entry for batch in view.account.batches for entry in _of_batch(view, batch)]
    found += [_of_preparation(view, made) for made in view.account.preparations]
    return tuple(sorted(entry for entry in found if entry.day >= 0))


def _of_batch(view: View, batch: BatchFacts) -> list[Entry]:
    found = []
    if not batch.in_progress:
        found.append(_pour(view, batch))
    if batch.in_progress or batch.unmould > batch.pour:
        found.append(_unmould(view, batch))
    if batch.pack is not None:
        found.append(_pack(view, batch, batch.pack))
    return found


def _pour(view: View, batch: BatchFacts) -> Entry:
    """What is poured and unmoulded on one day is one entry."""
    moulds, trays = count_text(batch.moulds, "mould"), count_text(batch.trays, "tray")
    same_day = batch.unmould == batch.pour
    return Entry(
        day=batch.pour,
        deed=Deed.POUR,
        name=batch.product,
        much=count_text(batch.bars, "bar"),
        on=f"{moulds}, {trays}" if same_day else moulds,
        then=f"unmould, {_next(view, batch)}" if same_day else _unmould_day(view, batch),
        lot=batch.lot,
    )


def _unmould(view: View, batch: BatchFacts) -> Entry:
    return Entry(
        day=batch.unmould,
        deed=Deed.UNMOULD,
        name=batch.product,
        much=count_text(batch.bars, "bar"),
        on=count_text(batch.trays, "tray"),
        then=_next(view, batch),
        lot=batch.lot,
    )


def _unmould_day(view: View, batch: BatchFacts) -> str:
    return f"unmould {view.dates.text(batch.unmould)}"


def _next(view: View, batch: BatchFacts) -> str:
    if batch.pack is not None:
        return f"pack {view.dates.text(batch.pack)}"
    cured = first_pack_day(view.workshop, batch) is not None
    return "leave on its trays" if cured else "pack after this plan"


def _pack(view: View, batch: BatchFacts, day: int) -> Entry:
    return Entry(
        day=day,
        deed=Deed.PACK,
        name=batch.product,
        much=f"{batch.good:,} of {batch.bars:,}",
        on=f"from {view.dates.text(batch.pour)}",
        then=f"sell {view.dates.text(day + 1)}",
        lot=batch.lot,
    )


def _of_preparation(view: View, made: PreparationFacts) -> Entry:
    return Entry(
        day=made.make,
        deed=Deed.PREPARE,
        name=made.preparation,
        much=amount_text(made.amount, view.workshop.unit_of(made.preparation)),
        on="",
        then=f"usable {view.dates.text(made.ready)}",
        lot=made.lot,
    )
