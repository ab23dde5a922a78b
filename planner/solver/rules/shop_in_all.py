"""What the shop loses of a simple product, in one variable.

Bars do not expire and all weigh the same, so selling a bar as soon as it is asked for, if no order
or launch needs it later, never loses more than keeping it. A shop that refuses no bar it can spare
then loses max over days t of (asked(t) + sent(t) - available(t)), if that is above 0.
"""

from functools import partial

from planner.solver.linear import Linear, LinearModel
from planner.solver.rules.covering import mixing_of
from planner.solver.rules.leaving import add_orders_leave, bars_that_came
from planner.solver.rules.shop import Served, Shop


def add_shop_in_all(model: LinearModel, shop: Shop) -> Served:
    """Orders find their bars, a launch its stock; lost >= asked(t) + sent(t) - available(t)."""
    asked = shop.asked_in_all()
    deficits = []
    for day in shop.days_before_bars_come():
        deficit = Linear()
        shop.bars.sent(deficit, day)
        shop.bars.available(deficit, day, -1)
        if shop.bars.orders:
            model.at_most(Linear().add(deficit), 0, f"bars of {shop.product} for orders")
        _add_asked_since_launch(deficit, shop, asked, day)
        deficits.append(deficit)
    if shop.weights:  # where nobody but orders wants bars, holding one back never pays
        add_orders_leave(model, shop, partial(bars_that_came, shop))
    _add_launch_stock(model, shop)
    lost_bars = Linear()
    total = sum(asked)
    if total:
        lost = model.variable(
            f"lost {shop.product}",
            total,
            lambda values: max(0, *(deficit.value(values) for deficit in deficits)),
        )
        for deficit in deficits:
            row = Linear().add(deficit).plus(lost, -1)
            model.at_most(row, 0, f"bars of {shop.product} for the shop")
        lost_bars.plus(lost, 1)
        lost_bars.constant += total
        _add_asked_since_launch(lost_bars, shop, asked, shop.days - 1, -1)
        model.mixings.append(mixing_of(shop, lost_bars, shop.weights))
    weight = shop.weights[0] if shop.weights else 0
    return Served(Linear().add(lost_bars, weight), lost_bars, asked)


def _add_asked_since_launch(
    row: Linear, shop: Shop, asked: list[int], until: int, factor: int = 1
) -> None:
    """Add factor x bars asked for up to the end of `until`, from the launch on if there is one."""
    if not shop.launches:
        row.constant += factor * sum(asked[: until + 1])
        return
    launched, _ = shop.launches[0]
    ends = [*launched.days[1:], shop.days]
    for first, end, step in zip(launched.days, ends, launched.steps, strict=True):
        row.plus(step, factor * sum(asked[first : min(end, until + 1)]))


def _add_launch_stock(model: LinearModel, shop: Shop) -> None:
    """available(t) - sent(t) >= quantity x (launched on t): before it the shop sold nothing."""
    for launched, quantity in shop.launches:
        for day in launched.days:
            row = Linear()
            shop.bars.available(row, day, -1)
            shop.bars.sent(row, day)
            row.rise(launched, day, quantity)
            model.at_most(row, 0, f"launch stock of {shop.product}")
