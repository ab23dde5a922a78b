"""What each day takes of hands, vessels, moulds, places and trays, and what the day has of them."""

from collections.abc import Callable, Iterable, Sequence

from planner.account import BatchFacts, Load, PreparationFacts, Rule
from planner.replay.faults import Faults
from planner.replay.quantities import making_minutes, packing_minutes
from planner.workshop import Workshop

_RULES = {
    "hands": Rule.HANDS,
    "vessel": Rule.VESSEL_MINUTES,
    "mould": Rule.MOULDS,
    "place": Rule.PLACES,
    "tray": Rule.TRAYS,
}


def loads_of(
    workshop: Workshop,
    batches: Sequence[BatchFacts],
    preparations: Sequence[PreparationFacts],
) -> tuple[Load, ...]:
    """The load of every resource, in the order of the tables."""
    curves = _Curves(workshop)
    for batch in batches:
        curves.add_batch(batch)
    for lot in preparations:
        curves.add_preparation(lot)
    return curves.loads()


def check_loads(workshop: Workshop, loads: Iterable[Load], faults: Faults) -> None:
    """No day takes more than it has.

    Work on a day nobody works is a broken working-day rule already, and not said again here.
    """
    for load in loads:
        by_the_minute = load.unit == "min"
        for day, (used, capacity) in enumerate(zip(load.used, load.capacity, strict=True)):
            if used > capacity and not (by_the_minute and workshop.minutes[day] == 0):
                message = f"{used} {load.unit} are needed, the day has {capacity}"
                faults.add(day, _RULES[load.kind], load.name, message)


class _Curves:
    """One running curve for each resource, a value for each day of the plan."""

    def __init__(self, workshop: Workshop) -> None:
        self._workshop = workshop
        self._in_mould = {record.lot for record in workshop.underway if record.in_mould}
        self._hands = self._blank()
        self._vessels = {name: self._blank() for name in workshop.vessels}
        self._moulds = {name: self._blank() for name in workshop.moulds}
        self._places = {name: self._blank() for name in workshop.places}
        self._trays = {name: self._blank() for name in workshop.trays}

    def _blank(self) -> list[int]:
        return [0] * self._workshop.days

    def _add(self, curve: list[int], first: int, end: int, amount: int) -> None:
        """Take `amount` on days first .. end - 1, as far as they lie in the plan."""
        for day in range(max(0, first), min(end, self._workshop.days)):
            curve[day] += amount

    def add_batch(self, batch: BatchFacts) -> None:
        """Everything that a batch holds, from its pour day until it is packed."""
        self._add_minutes(batch)
        if batch.in_progress:
            if batch.lot in self._in_mould:
                self._add_moulds(batch, 0, batch.unmould, overnight=True)
        elif self._workshop.products[batch.product].set_days == 0:
            self._add_moulds(batch, batch.pour, batch.pour + 1, overnight=False)
        else:
            self._add_moulds(batch, batch.pour, batch.unmould, overnight=True)
        self._add_trays(batch)

    def _add_minutes(self, batch: BatchFacts) -> None:
        """Minutes of hands and vessel on the pour day, of hands on unmould and pack day."""
        product = self._workshop.products[batch.product]
        if not batch.in_progress:
            self._on_day(self._hands, batch.pour, making_minutes(product, batch.bars))
            self._on_day(self._vessels[product.vessel], batch.pour, product.vessel_minutes)
        if not batch.in_progress or batch.lot in self._in_mould:
            self._on_day(self._hands, batch.unmould, product.unmould_minutes)
        if batch.pack is not None:
            self._on_day(self._hands, batch.pack, packing_minutes(product, batch.bars))

    def _on_day(self, curve: list[int], day: int, amount: int) -> None:
        self._add(curve, day, day + 1, amount)

    def _add_moulds(self, batch: BatchFacts, first: int, end: int, *, overnight: bool) -> None:
        """fillings + turns x moulds held over night <= turns x moulds there are.

        A mould that a batch keeps over night takes all of its day's turns. The place in which the
        moulds set counts in the same way, with its own turns.
        """
        product = self._workshop.products[batch.product]
        mould = self._workshop.moulds[product.mould]
        turns = mould.turns_per_day if overnight else 1
        self._add(self._moulds[mould.id], first, end, turns * batch.moulds)
        if product.place is not None:
            place = self._workshop.places[product.place]
            turns = place.turns_per_day if overnight else 1
            self._add(self._places[place.id], first, end, turns * batch.moulds)

    def _add_trays(self, batch: BatchFacts) -> None:
        """Trays are held from the unmould day up to the day before the pack day."""
        end = self._workshop.days if batch.pack is None else batch.pack
        tray = self._workshop.products[batch.product].tray
        self._add(self._trays[tray], batch.unmould, end, batch.trays)

    def add_preparation(self, lot: PreparationFacts) -> None:
        """A preparation takes minutes of hands and, if it needs one, of a vessel."""
        record = self._workshop.preparations[lot.preparation]
        self._on_day(self._hands, lot.make, record.make_minutes)
        if record.vessel is not None:
            self._on_day(self._vessels[record.vessel], lot.make, record.vessel_minutes)

    def loads(self) -> tuple[Load, ...]:
        """All curves with what each day has; nobody's vessel runs on a day nobody works."""
        shop = self._workshop
        found = [_load("hands", "hands", "min", self._hands, lambda day: shop.minutes[day])]
        for vessel in shop.vessels.values():
            minutes = vessel.count * vessel.minutes_per_day
            curve = self._vessels[vessel.id]
            found.append(_load("vessel", vessel.id, "min", curve, self._when_open(minutes)))
        for mould in shop.moulds.values():
            curve, turns = self._moulds[mould.id], mould.turns_per_day
            found.append(_turning("mould", mould.id, curve, mould.count, turns))
        for place in shop.places.values():
            curve, turns = self._places[place.id], place.turns_per_day
            found.append(_turning("place", place.id, curve, place.moulds, turns))
        for tray in shop.trays.values():
            found.append(_load("tray", tray.id, "trays", self._trays[tray.id], _always(tray.count)))
        return tuple(found)

    def _when_open(self, amount: int) -> Callable[[int], int]:
        return lambda day: amount if self._workshop.minutes[day] else 0


def _always(amount: int) -> Callable[[int], int]:
    return lambda day: amount


def _turning(kind: str, name: str, curve: list[int], count: int, turns: int) -> Load:
    """A load in moulds or, with more than one turn a day, in fillings."""
    unit = "moulds" if turns == 1 else "fillings"
    return _load(kind, name, unit, curve, _always(turns * count))


def _load(kind: str, name: str, unit: str, used: list[int], capacity: Callable[[int], int]) -> Load:
    available = tuple(capacity(day) for day in range(len(used)))
    return Load(kind=kind, name=name, unit=unit, used=tuple(used), capacity=available)
