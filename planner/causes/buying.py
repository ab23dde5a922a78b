"""Whether more of a material could be bought in time, and afforded."""

from collections import Counter
from functools import cache
from typing import NamedTuple

from planner.account import Account, LineFacts, PurchaseFacts
from planner.causes.records import Block, Cause
from planner.wording import amount_words, day_words, money_words
from planner.workshop import Budget, Delivery, Offer, Workshop


class Choice(NamedTuple):
    """An offer, ordered on one of its days."""

    offer: Offer
    delivery: Delivery


class Buying:
    """The ways to buy more than the plan does."""

    def __init__(self, workshop: Workshop, account: Account) -> None:
        self._workshop = workshop
        self._purchases = account.purchases
        self._choices = cache(self._choices_of)
        self._order_days = {(order.order, order.supplier) for order in account.purchases}
        self._spent = {budget.month: self._spent_in(budget) for budget in workshop.budgets}
        self._packs: Counter[tuple[str, int]] = Counter()
        for order in account.purchases:
            for line in order.lines:
                self._packs[line.offer, order.order] += line.packs

    def soonest(self, material: str) -> int | None:
        """The first day from which newly ordered material can be used; None if none can be."""
        return min((choice.delivery.usable for choice in self._choices(material)), default=None)

    def block(self, material: str, amount: int, by: int) -> Block | None:
        """What stands in the way of having `amount` more of a material from day `by` on."""
        in_time = [choice for choice in self._choices(material) if _is_usable(choice, by)]
        if not in_time:
            return self._too_late(material, amount, by)
        if sum(self._most(choice, amount) for choice in in_time) < amount:
            words = amount_words(self._workshop, material, amount)
            return Block(Cause.MATERIAL, f"{words} of {material} more than can come in time")
        return self._budget_block(material, amount, in_time)

    def orders(self, material: str, amount: int, by: int) -> tuple[PurchaseFacts, ...]:
        """Orders of `amount` more of a material, or of as much as can be had, from day `by` on.

        What the budgets allow comes first, then what costs least, then the earliest order,
        so that what is left of a pack is there for other batches.
        """
        in_time = [choice for choice in self._choices(material) if _is_usable(choice, by)]
        found, left = [], amount
        for choice in sorted(in_time, key=lambda choice: self._thrift(choice, amount)):
            packs = _packs_of(choice.offer, self._most(choice, left))
            if left > 0 and packs > 0:
                found.append(self._order(choice, packs))
                left -= packs * choice.offer.amount
        return tuple(found)

    def _thrift(self, choice: Choice, amount: int) -> tuple[int, int, int]:
        missing, _ = self._missing_money(choice, amount)
        return missing, self._cost(choice, amount), choice.delivery.order

    def _order(self, choice: Choice, packs: int) -> PurchaseFacts:
        offer, delivery = choice
        amount = packs * offer.amount
        cost, goods = self._cost(choice, amount), _price(offer, packs)
        line = LineFacts(
            offer=offer.id,
            material=offer.material,
            packs=packs,
            amount=amount,
            cost=goods,
            arrive=delivery.arrive,
            usable=delivery.usable,
            use_by=None,
            lot="",
        )
        return PurchaseFacts(
            order=delivery.order,
            supplier=offer.supplier,
            lines=(line,),
            freight=cost - goods,
            cost=cost,
            pay=self._pay_day(choice),
        )

    def _pay_day(self, choice: Choice) -> int:
        return choice.delivery.order + self._workshop.suppliers[choice.offer.supplier].pay_days

    def _choices_of(self, material: str) -> list[Choice]:
        """Every way to order a material."""
        return [
            Choice(offer, delivery)
            for offer in self._workshop.offers.values()
            if offer.material == material
            for delivery in offer.deliveries
        ]

    def _too_late(self, material: str, amount: int, by: int) -> Block:
        words = amount_words(self._workshop, material, amount)
        need = f"{words} of {material} more by {day_words(self._workshop, by)}"
        soonest = self.soonest(material)
        if soonest is None:
            return Block(Cause.MATERIAL, f"{need}, and none can be bought within the plan")
        usable = day_words(self._workshop, soonest)
        return Block(Cause.LEAD_TIME, f"{need}; ordered now it is usable from {usable} on")

    def _most(self, choice: Choice, wanted: int) -> int:
        """How much more of an offer can be ordered on its day, as far as it is wanted."""
        offer, delivery = choice
        if offer.max_packs is None:
            return wanted
        return max(0, offer.max_packs - self._packs[offer.id, delivery.order]) * offer.amount

    def _budget_block(self, material: str, amount: int, in_time: list[Choice]) -> Block | None:
        """The budget stands in the way if it does so for every order that would be in time."""
        lacking = []
        for choice in in_time:
            lacking.append(self._missing_money(choice, amount))
            if lacking[-1][0] == 0:
                return None
        missing, month = min(lacking)
        words = amount_words(self._workshop, material, amount)
        money = money_words(self._workshop, missing)
        need = f"{words} of {material} more, for which the budget of {month} is {money} too small"
        return Block(Cause.BUDGET, need)

    def _missing_money(self, choice: Choice, amount: int) -> tuple[int, str]:
        """Minor units that the budget of the pay month lacks for `amount` more, and the month."""
        pay = self._pay_day(choice)
        limits = [b for b in self._workshop.budgets if b.first <= pay <= b.last]
        if not limits:
            return 0, ""
        cost = self._cost(choice, amount)
        return max((max(0, self._spent[b.month] + cost - b.amount), b.month) for b in limits)

    def _spent_in(self, budget: Budget) -> int:
        """What leaves in a month for the plan's purchases."""
        return sum(o.cost for o in self._purchases if budget.first <= o.pay <= budget.last)

    def _cost(self, choice: Choice, amount: int) -> int:
        """Goods, and freight if the plan orders nothing else from the supplier on that day."""
        offer, delivery = choice
        supplier = self._workshop.suppliers[offer.supplier]
        goods = _price(offer, _packs_of(offer, amount))
        ordered = (delivery.order, supplier.id) in self._order_days
        free = supplier.free_freight_from is not None and goods >= supplier.free_freight_from
        return goods if ordered or free else goods + supplier.freight


def _price(offer: Offer, packs: int) -> int:
    """Minor units for packs, all at the price of the highest step reached."""
    prices = [step.price for step in offer.steps if step.packs <= packs]
    return packs * (prices[-1] if prices else offer.steps[0].price)


def _packs_of(offer: Offer, amount: int) -> int:
    """Packs that hold an amount, and no fewer than an order must have; none for nothing."""
    return max(offer.min_packs, -(-amount // offer.amount)) if amount > 0 else 0


def _is_usable(choice: Choice, day: int) -> bool:
    """True if a delivery can be used on a day."""
    life = choice.offer.shelf_life_days
    kept = life is None or choice.delivery.arrive + life >= day
    return choice.delivery.usable <= day and kept
