"""Workshops in which trays are all that is scarce, and what can be made of them in theory.

A pool of C trays; a batch takes u of them for at least L days, and another batch can take
them on the day on which they come free. Every day is worked, days 0 .. T-1 are start days.
"""

from dataclasses import dataclass, replace
from fractions import Fraction

from planner.workshop import DemandKind, Lot, Mould, Tray, Workshop
from tests.workshop_parts import demand_row
from tests.workshops import tiny


@dataclass(frozen=True, kw_only=True)
class Pool:
    """C trays, u for each batch, held L days, T days on which a batch can be started."""

    trays: int
    per_batch: int
    held: int
    starts: int
    one_a_day: bool = False

    @property
    def places(self) -> int:
        """Batches that can lie on the trays at once."""
        return self.trays // self.per_batch

    @property
    def most(self) -> int:
        """The most batches that can be started on the start days.

        In any L days running no more batches can start than there are places, as all of them
        would lie there on the last of these days; T days are ceil(T / L) such spans, the last
        perhaps shorter. Starting as many as fit on days 0, L, 2L ... reaches it.
        With one batch a day at the most, a span of n <= L days takes min(n, places) of them:
        with T = qL + r and k = min(places, L) that is qk + min(r, k) in all, reached by starting
        on the first days of each span.
        """
        whole, rest = divmod(self.starts, self.held)
        if self.one_a_day:
            each = min(self.places, self.held)
            return whole * each + min(rest, each)
        return (whole + (rest > 0)) * self.places


def pool_workshop(pool: Pool) -> Workshop:
    """The pool as a workshop, with more bars wanted on its last day than trays allow.

    Bars go on trays when poured, a tray for each bar. A batch started on day T - 1 is packed on
    day T - 1 + L and can leave on day T + L, the last day: a later one is of no use.
    """
    days = pool.starts + pool.held + 1
    bar = replace(
        tiny().products["bar"],
        pour_mg=1000,
        sizes=(pool.per_batch,),
        bars_per_tray=1,
        set_days=0,
        cure_days=pool.held,
        vessel_minutes=0,
        make_minutes=0,
        unmould_minutes=0,
        pack_minutes_per_bar=Fraction(0),
        max_batches_per_day=1 if pool.one_a_day else None,
    )
    wanted = pool.per_batch * (pool.most + 3)
    # A week's quantity is spread evenly over its days: a seventh of it falls on the last day.
    retail = demand_row(bar, DemandKind.RETAIL, 7 * wanted, days - 1)
    return tiny(
        days=days,
        minutes=(480,) * days,
        products={"bar": bar},
        moulds={"block": Mould(id="block", count=1000, cavities=10)},
        trays={"tray": Tray(id="tray", count=pool.trays)},
        lots=(Lot(item="base", lot="base-1", amount=1_000_000_000),),
        demand=(retail,),
    )
