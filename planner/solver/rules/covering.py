"""What a product's batches have to cover, for those who can say more of it than the rows do."""

from collections.abc import Sequence
from itertools import accumulate

from planner.solver.linear import Cover, Linear, Mixing
from planner.solver.rules.shop import Shop


def mixing_of(shop: Shop, missing: Linear, weights: Sequence[int]) -> Mixing:
    """For each day: bars lost in all + good bars packed before it >= bars asked for up to it.

    `missing` counts the bars that the shop loses of what is asked for at these weights. Bars in
    stock and under way count as there on the first day on which they can be, and orders as bars
    asked for from the day on which they left.
    """
    by_day = map(sum, zip(*(shop.asked[weight] for weight in weights), strict=True))
    asked = list(accumulate(by_day))
    covers = [_cover(shop, day, asked[day]) for day in shop.days_before_bars_come()]
    return Mixing(missing=missing, covers=[cover for cover in covers if cover.counts])


def _cover(shop: Shop, day: int, asked: int) -> Cover:
    variables, bars = shop.variables, shop.bars
    counts: dict[int, Linear] = {}
    for key in variables.sizes(shop.product):
        good, packed = variables.recipes[key].good, variables.packed[key].at(day - 1)
        if good and packed is not None:
            counts.setdefault(good, Linear()).plus(packed, 1)
    there = sum(lot.amount for lot in bars.lots if lot.usable <= day)
    there += sum(good for finished, good, _ in bars.underway if finished.at(day - 1) is not None)
    left = [(variables.sent[order.id].at(day), order.quantity) for order in bars.orders]
    flags = [(sent, quantity) for sent, quantity in left if sent is not None]
    wanted = asked + sum(quantity for _, quantity in flags)
    return Cover(counts=counts, amount=wanted - there, flags=flags)
