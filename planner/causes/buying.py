"""Whether more of a material could be bought in time, and afforded."""

from collections import Counter
from functools import cache
from typing import NamedTuple

from planner.account import Account
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
        pay = choice.delivery.order + self._workshop.suppliers[choice.offer.supplier].pay_days
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
        packs = max(offer.min_packs, -(-amount // offer.amount))
        prices = [step.price for step in offer.steps if step.packs <= packs]
        goods = packs * (prices[-1] if prices else offer.steps[0].price)
        ordered = (delivery.order, supplier.id) in self._order_days
        free = supplier.free_freight_from is not None and goods >= supplier.free_freight_from
        return goods if ordered or free else goods + supplier.freight


def _is_usable(choice: Choice, day: int) -> bool:
    """True if a delivery can be used on a day."""
    life = choice.offer.shelf_life_days
    kept = life is None or choice.delivery.arrive + life >= day
    return choice.delivery.usable <= day and kept
