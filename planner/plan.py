"""The plan: what to pour, prepare and order on which day, and how good that is proven to be.

A plan holds decisions only. Everything that follows from them - good bars, moulds, trays, service,
stock, waste, money - is computed by the replay. Days are day numbers of the plan's workshop.
"""

from dataclasses import dataclass
from enum import StrEnum

from planner.workshop import Underway


@dataclass(frozen=True, kw_only=True, order=True)
class Batch:
    """A batch to pour on `pour`, unmould on `unmould` and pack on `pack`.

    A batch already under way carries its `lot`; its `pack` is None where it stays on its trays to
    the plan's end. Planned batches have an empty lot and always a pack day.
    """

    pour: int
    product: str
    bars: int
    unmould: int
    pack: int | None
    lot: str = ""

    @property
    def in_progress(self) -> bool:
        """True for a batch poured before the plan's first day."""
        return self.lot != ""


def continued(batch: Underway, pack: int | None) -> Batch:
    """A batch under way in a plan: packed on a day, or None where it stays on its trays."""
    return Batch(
        pour=batch.pour,
        product=batch.product,
        bars=batch.bars,
        unmould=batch.unmould,
        pack=pack,
        lot=batch.lot,
    )


def in_plan_order(batch: Batch) -> tuple[int, str, int, int, int, str]:
    """The order of batches in a plan, those that are not packed first among equals."""
    pack = -1 if batch.pack is None else batch.pack
    return batch.pour, batch.product, batch.bars, batch.unmould, pack, batch.lot


@dataclass(frozen=True, kw_only=True, order=True)
class PreparationLot:
    """One lot of a preparation, put together on day `make`."""

    make: int
    preparation: str


@dataclass(frozen=True, kw_only=True, order=True)
class PurchaseLine:
    """Packs of one offer within a purchase."""

    offer: str
    packs: int


@dataclass(frozen=True, kw_only=True, order=True)
class Purchase:
    """All that is ordered from one supplier on one day; freight is paid once for it."""

    order: int
    supplier: str
    lines: tuple[PurchaseLine, ...]


@dataclass(frozen=True, kw_only=True, order=True)
class Promise:
    """The day on which the plan lets an order leave, or a launch happen.

    `demand` is a demand row's id for an order, the launch's name for a launch. An order or launch
    without a promise is not met within the plan.
    """

    demand: str
    day: int


class Status(StrEnum):
    """How far a solve, or a stage of it, came."""

    OPTIMAL = "optimal"
    FEASIBLE = "feasible"


@dataclass(frozen=True, kw_only=True)
class Stage:
    """One goal of the solve: `value` reached, and `bound` that no plan can be below.

    service and money count thousandths of a minor unit, calm counts changed batches and days. Near
    a kept plan calm also tells how many changes there are, and have to be, if it loses no more.
    """

    goal: str
    value: int
    bound: int
    seconds: float
    status: Status
    changes: int | None = None
    least_changes: int | None = None


@dataclass(frozen=True, kw_only=True)
class Plan:
    """Decisions in sorted order, and the stages that made them."""

    batches: tuple[Batch, ...] = ()
    preparations: tuple[PreparationLot, ...] = ()
    purchases: tuple[Purchase, ...] = ()
    promises: tuple[Promise, ...] = ()
    stages: tuple[Stage, ...] = ()

    @property
    def status(self) -> Status:
        """Optimal if every stage is; a plan without stages is merely feasible."""
        proven = bool(self.stages) and all(s.status is Status.OPTIMAL for s in self.stages)
        return Status.OPTIMAL if proven else Status.FEASIBLE
