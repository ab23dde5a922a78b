"""A plan's account with one batch more: what the batch takes is no longer free."""

from collections import Counter
from dataclasses import dataclass, replace
from typing import NamedTuple

from planner.account import Account, BatchFacts, Flow, Load, PurchaseFacts
from planner.recipes import Recipe


class Need(NamedTuple):
    """An amount of a resource, of the kind and name of its load, held on each of some days."""

    kind: str
    name: str
    days: range
    amount: int


class Use(NamedTuple):
    """An amount of an item, in its smallest unit, taken on a day."""

    item: str
    amount: int
    day: int


class Arrival(NamedTuple):
    """An amount of an item, in its smallest unit, that can be used from a day on."""

    item: str
    amount: int
    day: int


@dataclass(frozen=True, kw_only=True)
class Taking:
    """What is taken, and what is bought or made for it, on top of a plan."""

    needs: tuple[Need, ...] = ()
    uses: tuple[Use, ...] = ()
    arrivals: tuple[Arrival, ...] = ()
    purchases: tuple[PurchaseFacts, ...] = ()

    def __add__(self, other: "Taking") -> "Taking":
        return Taking(
            needs=self.needs + other.needs,
            uses=self.uses + other.uses,
            arrivals=self.arrivals + other.arrivals,
            purchases=self.purchases + other.purchases,
        )


@dataclass(frozen=True, kw_only=True)
class Pour:
    """A batch: when it is poured, unmoulded and packed, and what it takes."""

    recipe: Recipe
    pour: int
    unmould: int
    pack: int
    taking: Taking


def with_batch(account: Account, batch: Pour, supply: Taking) -> Account:
    """The account with a batch, and what is bought and made for it, on top of the plan."""
    taking = batch.taking + supply
    flows = dict(account.flows)
    for arrival in taking.arrivals:
        flows[arrival.item] = _with_arrival(flows[arrival.item], arrival)
    for use in taking.uses:
        flows[use.item] = _with_use(flows[use.item], use)
    return replace(
        account,
        batches=(*account.batches, _facts(batch)),
        purchases=(*account.purchases, *taking.purchases),
        flows=flows,
        loads=_with_needs(account.loads, taking.needs),
    )


def _with_needs(loads: tuple[Load, ...], needs: tuple[Need, ...]) -> tuple[Load, ...]:
    more: Counter[tuple[str, str, int]] = Counter()
    for need in needs:
        for day in need.days:
            more[need.kind, need.name, day] += need.amount
    return tuple(_with_more(load, more) for load in loads)


def _with_more(load: Load, more: Counter[tuple[str, str, int]]) -> Load:
    used = (now + more[load.kind, load.name, day] for day, now in enumerate(load.used))
    return replace(load, used=tuple(used))


def _with_arrival(flow: Flow, arrival: Arrival) -> Flow:
    """A flow with an amount more from a day on; its use-by date is left aside."""
    arrived, on_hand = list(flow.arrived), list(flow.on_hand)
    arrived[arrival.day] += arrival.amount
    for day in range(arrival.day, len(on_hand)):
        on_hand[day] += arrival.amount
    return replace(flow, arrived=tuple(arrived), on_hand=tuple(on_hand))


def _with_use(flow: Flow, use: Use) -> Flow:
    """A flow with an amount less from a day on; what would be wasted later is used up first."""
    used, wasted, on_hand = list(flow.used), list(flow.wasted), list(flow.on_hand)
    used[use.day] += use.amount
    owed = use.amount
    on_hand[use.day] -= owed
    for day in range(use.day + 1, len(on_hand)):
        saved = min(owed, wasted[day])
        wasted[day] -= saved
        owed -= saved
        on_hand[day] -= owed
    return replace(flow, used=tuple(used), wasted=tuple(wasted), on_hand=tuple(on_hand))


def _facts(batch: Pour) -> BatchFacts:
    recipe = batch.recipe
    return BatchFacts(
        pour=batch.pour,
        product=recipe.product,
        bars=recipe.bars,
        unmould=batch.unmould,
        pack=batch.pack,
        lot="",
        in_progress=False,
        mass=recipe.mass,
        sound=recipe.sound,
        good=recipe.good,
        moulds=recipe.moulds,
        trays=recipe.trays,
        parts=recipe.parts,
    )
