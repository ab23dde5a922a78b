"""Stock of materials and preparations never goes below zero, use-by dates included."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from planner.recipes import recipe_of
from planner.solver.linear import Linear, LinearModel, Staircase
from planner.solver.sources import Source, bought, chains, fixed, made
from planner.solver.variables import Variables


@dataclass
class Supply:
    """What an item can be taken from, and, where purchases are not decided, how soon without end.

    endless[m] is the first day on which any amount of material m can be usable if it is ordered
    in time; sources then cover only the days before. `wasted` collects the waste staircases.
    """

    sources: dict[str, list[Source]]
    endless: dict[str, int] = field(default_factory=dict)
    wasted: dict[str, list[Staircase]] = field(default_factory=dict)


def supply_of(variables: Variables, with_purchases: bool) -> Supply:
    """Sources of every item. Without purchases each offer gives what it could give at the most."""
    workshop = variables.workshop
    last_day = workshop.days - 1
    supply = Supply({item: [] for item in [*workshop.materials, *workshop.preparations]})
    for lot in workshop.lots:
        if lot.item in supply.sources and lot.is_usable and lot.usable <= last_day:
            source = fixed(f"lot {lot.lot}", lot.amount, lot.usable, lot.use_by, last_day)
            supply.sources[lot.item].append(source)
    for receipt in workshop.receipts:
        if receipt.usable <= last_day:
            source = fixed(f"order {receipt.reference}", receipt.amount, receipt.usable, None, 0)
            supply.sources[receipt.material].append(source)
    for preparation in workshop.preparations:
        source_made = made(variables, preparation)
        if source_made is not None:
            supply.sources[preparation].append(source_made)
    for offer in workshop.offers.values():
        if with_purchases:
            source_bought = bought(variables, offer)
            if source_bought is not None:
                supply.sources[offer.material].append(source_bought)
        elif offer.deliveries and offer.max_packs is None:
            first = offer.deliveries[0].usable
            earlier = supply.endless.get(offer.material, first)
            supply.endless[offer.material] = min(first, earlier)
        else:
            for delivery in offer.deliveries:
                amount = offer.amount * (offer.max_packs or 0)
                name = f"{offer.id} of day {delivery.order}"
                source = fixed(name, amount, delivery.usable, None, last_day)
                supply.sources[offer.material].append(source)
    return supply


class Uses:
    """Cumulative use of every item: parts when poured or made, packaging when packed."""

    def __init__(self, variables: Variables) -> None:
        self.takers: dict[str, list[tuple[Staircase, int]]] = {}
        for key, recipe in variables.recipes.items():
            self._note(recipe.parts, variables.poured[key])
            self._note(recipe.packaging, variables.packed[key])
        for batch in variables.workshop.underway:
            recipe = recipe_of(variables.workshop, batch.product, batch.bars)
            self._note(recipe.packaging, variables.finished[batch.lot])
        for preparation, lot_recipe in variables.lot_recipes.items():
            self._note(lot_recipe.parts, variables.made[preparation])

    def _note(self, amounts: Mapping[str, int], staircase: Staircase) -> None:
        for item, amount in amounts.items():
            if amount and staircase.steps:
                self.takers.setdefault(item, []).append((staircase, amount))

    def add(self, row: Linear, item: str, day: int, factor: int = 1) -> None:
        """Add factor x what has been used of the item by the end of the day."""
        for staircase, amount in self.takers.get(item, ()):
            row.step(staircase, day, factor * amount)

    def days(self, item: str) -> list[int]:
        """The days on which the item can be used."""
        return sorted({day for stair, _ in self.takers.get(item, ()) for day in stair.days})


@dataclass(frozen=True)
class Draw:
    """What is taken from one chain of an item's sources.

    Its own share staircase; for the last chain, all of the use less the shares of the others.
    """

    uses: Uses
    item: str
    share: Staircase | None
    others: tuple[Staircase, ...] = ()

    def add(self, row: Linear, day: int, factor: int = 1) -> None:
        """Add factor x what has been taken from the chain by the end of the day."""
        if self.share is not None:
            row.step(self.share, day, factor)
            return
        self.uses.add(row, self.item, day, factor)
        for other in self.others:
            row.step(other, day, -factor)


def add_stocks(model: LinearModel, variables: Variables, supply: Supply) -> None:
    """use(t) + waste(t-1) <= usable(t), and what has expired by t is used or wasted by then."""
    uses = Uses(variables)
    days = variables.workshop.days
    for item, sources in supply.sources.items():
        if item not in uses.takers:
            continue
        horizon = min(supply.endless.get(item, days), days)
        near = [source for source in sources if source.usable_days[0] < horizon]
        groups = chains(near) or [[]]
        shares: list[Staircase] = []
        for number, group in enumerate(groups[:-1]):
            rest = Draw(uses, item, None, tuple(shares))
            shares.append(_add_share(model, rest, number, group))
        draws = [Draw(uses, item, share) for share in shares]
        draws.append(Draw(uses, item, None, tuple(shares)))
        if shares:
            _add_last_draw_rises(model, draws[-1])
        for group, draw in zip(groups, draws, strict=True):
            _add_chain(model, supply, draw, group, horizon)


def _add_share(model: LinearModel, rest: Draw, number: int, group: Sequence[Source]) -> Staircase:
    """A staircase for what is taken from one chain of the use that earlier chains leave."""
    most = sum(source.most for source in group)
    days = rest.uses.days(rest.item)
    share = model.staircase(f"{rest.item} from chain {number}", days, [most] * len(days))
    model.derive_staircase(share, lambda values: _greedy(values, rest, days, group))
    return share


def _greedy(
    values: dict[int, int], rest: Draw, days: Sequence[int], group: Sequence[Source]
) -> list[int]:
    """For a hint: on each day take as much from the chain as it has."""
    taken = gone = used_before = 0
    cumulative = []
    for day in days:
        used, usable, expired = Linear(), Linear(), Linear()
        rest.add(used, day)
        for source in group:
            source.usable(usable, day)
            source.expired(expired, day - 1)
        gone = max(gone, expired.value(values))
        used_now = used.value(values)
        take = max(0, min(used_now - used_before, usable.value(values) - gone))
        taken, gone, used_before = taken + take, gone + take, used_now
        cumulative.append(taken)
    return cumulative


def _add_last_draw_rises(model: LinearModel, draw: Draw) -> None:
    days = draw.uses.days(draw.item)
    for before, day in zip([-1, *days], days, strict=False):
        row = Linear()
        draw.add(row, before)
        draw.add(row, day, -1)
        model.at_most(row, 0, f"{draw.item} from the last chain rises")


def _add_chain(
    model: LinearModel, supply: Supply, draw: Draw, sources: Sequence[Source], horizon: int
) -> None:
    """The stock rows of one chain, and its waste if anything of it can expire."""
    expiries = sorted({d for source in sources for d in source.expiry_days if d < horizon})
    wasted = None
    if expiries:
        most = sum(source.most for source in sources)
        wasted = model.staircase(f"wasted {draw.item}", expiries, [most] * len(expiries))
        supply.wasted.setdefault(draw.item, []).append(wasted)
    rises = sorted({day for source in sources for day in source.usable_days if 0 < day < horizon})
    for day in sorted({*(rise - 1 for rise in rises), horizon - 1}):
        usable = Linear()
        for source in sources:
            source.usable(usable, day)
        row = Linear().add(usable, -1)
        draw.add(row, day)
        if wasted is not None:
            row.step(wasted, day - 1, 1)
        model.at_most(row, 0, f"stock of {draw.item}")
    if wasted is not None:
        _add_expiry(model, draw, sources, wasted)


def _add_expiry(
    model: LinearModel, draw: Draw, sources: Sequence[Source], wasted: Staircase
) -> None:
    """use(x) + waste(x) >= expired(x) on every day x on which something expires."""
    unused: list[Linear] = []
    for day, step in zip(wasted.days, wasted.steps, strict=True):
        left = Linear()
        for source in sources:
            source.expired(left, day)
        draw.add(left, day, -1)
        unused.append(left)
        row = Linear().add(left).plus(step, -1)
        model.at_most(row, 0, f"use-by dates of {draw.item}")
    model.derive_running_maximum(wasted, unused)
