"""An order leaves on the first day on which it can; the shop cannot hold it back."""

from collections.abc import Callable

from planner.solver.linear import Linear, LinearModel
from planner.solver.rules.shop import Shop


def add_orders_leave(
    model: LinearModel, shop: Shop, bars_for_orders: Callable[[int], Linear]
) -> None:
    """While an order waits there are fewer bars for orders than it takes.

    But for what later orders and launches may have been promised:
    bars for orders(t) <= quantity - 1 + promised later + most x sent(t).
    """
    for order in shop.bars.orders:
        sent = shop.variables.sent[order.id]
        for day in sent.days:
            row = bars_for_orders(day).step(sent, day, -shop.bars.most)
            # Orders of the day leave before a launch of the day is judged: it holds back too.
            promised_later(shop, row, day, launches_from=day, besides=order.id)
            model.at_most(row, order.quantity - 1, f"order {order.id} leaves")


def bars_that_came(shop: Shop, day: int) -> Linear:
    """available(t) - sent(t). What the shop sold counts: for an order it would have been kept."""
    row = Linear()
    shop.bars.available(row, day)
    shop.bars.sent(row, day, -1)
    return row


def promised_later(
    shop: Shop, row: Linear, day: int, launches_from: int, besides: str = ""
) -> None:
    """Take off what orders after the day, and launches from a day on, may be promised."""
    for order in shop.bars.orders:
        if order.id != besides:
            sent = shop.variables.sent[order.id]
            row.plus(sent.last, -order.quantity).step(sent, day, order.quantity)
    for launched, quantity in shop.launches:
        row.plus(launched.last, -quantity).step(launched, launches_from - 1, quantity)
