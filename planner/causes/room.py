"""What a plan leaves free of hands, vessels, moulds, places and trays."""

from planner.account import Account, Load
from planner.causes.records import Block, Cause
from planner.wording import day_words
from planner.workshop import Workshop

_CAUSES = {
    "hands": Cause.HANDS,
    "vessel": Cause.VESSEL,
    "mould": Cause.MOULDS,
    "place": Cause.PLACE,
    "tray": Cause.TRAYS,
}


class Room:
    """The free part of every resource by day; of what is `lifted` there is no end."""

    def __init__(
        self, workshop: Workshop, account: Account, lifted: frozenset[Cause] = frozenset()
    ) -> None:
        self._workshop = workshop
        self._lifted = lifted
        self._loads = {(load.kind, load.name): load for load in account.loads}

    def has(self, kind: str, name: str, day: int, amount: int) -> bool:
        """True if the day has `amount` to spare."""
        return _CAUSES[kind] in self._lifted or _free(self._loads[kind, name], day) >= amount

    def block(self, kind: str, name: str, days: range, amount: int) -> Block | None:
        """What stands in the way of taking `amount` on all these days: the fullest of them."""
        if _CAUSES[kind] in self._lifted:
            return None
        load = self._loads[kind, name]
        held = range(max(0, days.start), min(days.stop, self._workshop.days))
        tightest = min(held, key=lambda day: _free(load, day), default=None)
        if amount <= 0 or tightest is None or _free(load, tightest) >= amount:
            return None
        free, capacity = max(0, _free(load, tightest)), load.capacity[tightest]
        unit = load.unit.removesuffix("s") if amount == 1 else load.unit
        need = (
            f"{amount:,} {unit} ({name}) on {day_words(self._workshop, tightest)}: "
            f"{free:,} of {capacity:,} are free"
        )
        return Block(_CAUSES[kind], need)


def _free(load: Load, day: int) -> int:
    return load.capacity[day] - load.used[day]
