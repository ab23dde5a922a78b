"""More on an order than is needed at once, to reach a supplier's minimum or free freight."""

from collections.abc import Mapping
from dataclasses import dataclass

from planner.draft.offers import unit_price
from planner.draft.orders import Key, Market, OrderBook
from planner.draft.packs import Line
from planner.draft.shelves import Shelf
from planner.workshop import Delivery, Offer


@dataclass(frozen=True, kw_only=True)
class Addition:
    """Packs added to an order, by which its goods are `worth` so much more, in minor units.

    `cost` is their price less what they are good for, in thousandths of a minor unit.
    """

    offer: Offer
    packs: int
    worth: int
    cost: float


def cheapest_addition(
    book: OrderBook, shelves: Mapping[str, Shelf], key: Key, target: int
) -> Addition | None:
    """The cheapest single addition that brings an order's goods to a value in minor units.

    If none can alone, the one that brings it nearest; None if nothing can be added.
    """
    missing = target - book.goods(key)
    additions = [
        _addition(
            book.market, shelves.get(offer.material), book.line(offer, key[0]), delivery, missing
        )
        for offer, delivery in _on_offer(book.market, key)
        if book.takes(offer, key[0])
    ]
    reaching = [addition for addition in additions if addition.worth >= missing]
    if reaching:
        return min(reaching, key=lambda addition: addition.cost)
    growing = [addition for addition in additions if addition.worth > 0]
    return max(growing, key=lambda addition: addition.worth, default=None)


def _on_offer(market: Market, key: Key) -> list[tuple[Offer, Delivery]]:
    order, supplier = key
    return [
        (offer, delivery)
        for offer in market.workshop.offers.values()
        if offer.supplier == supplier
        and (delivery := market.by_order[offer.id].get(order)) is not None
    ]


def _addition(
    market: Market, shelf: Shelf | None, line: Line, delivery: Delivery, missing: int
) -> Addition:
    packs = packs_worth(line, missing)
    offer = line.offer
    amount = packs * offer.amount
    good_for = 0.0
    if shelf is not None:
        useful = max(0, min(amount, shelf.wanted(market.last(offer, delivery))))
        good_for = useful * market.value(offer.material) * (1 - market.holding(delivery.usable))
        kept = min(amount - useful, shelf.surplus(useful))
        good_for += kept * market.credit(offer, delivery)
    price = line.price(packs)
    return Addition(offer=offer, packs=packs, worth=price, cost=1000 * price - good_for)


def packs_worth(line: Line, missing: int) -> int:
    """The fewest packs that add a value to a line; if none do, those that add most.

    A line can lose value on reaching a price step, so every stretch between steps is looked at.
    """
    starts = [line.least, *(step.packs - line.ordered for step in line.offer.steps)]
    starts = sorted(dict.fromkeys(start for start in starts if start >= line.least))
    ends = [start - 1 for start in starts[1:]]
    tried: list[int] = []
    for start, end in zip(starts, [*ends, None], strict=True):
        each = unit_price(line.offer.steps, line.ordered + start)
        lacking = max(0, missing - line.price(start))
        packs = start + -(-lacking // max(1, each))
        tried.append(packs if end is None else min(end, packs))
    allowed = [packs for packs in tried if line.allowed(packs) == packs]
    if line.most is not None and line.allowed(line.most):
        allowed.append(line.most)
    enough = [packs for packs in allowed if line.price(packs) >= missing]
    if enough:
        return min(enough)
    return max(allowed, key=line.price, default=0)
