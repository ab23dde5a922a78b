"""The money goal: what a plan costs beyond what is left of it, in thousandths of a minor unit.

Everything bought either is left, or became bars that were sold, or was lost on the way. So
purchases + opening value - left value
  = (price - value) of what was bought + value lost in making + value of bars gone + waste.
"""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import floor

from planner.needs import worth_having
from planner.recipes import recipe_of
from planner.solver.linear import Linear, LinearModel, Staircase
from planner.solver.rules.purchases import Costs
from planner.solver.rules.shop import Served
from planner.solver.rules.stocks import Supply, Uses
from planner.solver.variables import Variables
from planner.workshop import DemandKind, Material, Preparation


class MoneyGoal:
    """Builds the money goal as one sum.

    Waste, too much, and safety stocks count for the `followed` items, all of them if not told.
    """

    def __init__(
        self,
        model: LinearModel,
        variables: Variables,
        supply: Supply,
        costs: Costs,
        served: dict[str, Served],
        followed: Sequence[Material | Preparation] | None = None,
    ) -> None:
        self.model = model
        self.variables = variables
        self.workshop = variables.workshop
        self.supply = supply
        self.costs = costs
        self.served = served
        self.uses = Uses(variables)
        everything: Sequence[Material | Preparation] = [
            *self.workshop.materials.values(),
            *self.workshop.preparations.values(),
        ]
        self.followed = everything if followed is None else followed
        self.daily = self.workshop.costs.capital / 365
        self.enough = worth_having(self.workshop)

    def add(self) -> Linear:
        """Purchases, freight, losses, bars gone, waste, capital, safety stock, clean-downs."""
        goal = Linear()
        self._purchases(goal)
        self._batches(goal)
        self._bars_gone(goal)
        self._waste(goal)
        self._not_worth_having(goal)
        self._standing_capital(goal)
        self._safety(goal)
        return goal

    def value(self, item: str, amount: int) -> int:
        """Value of an amount of an item, or of bars of a product, in thousandths."""
        return round(Fraction(amount * self.workshop.values.get(item, 0), 1000))

    def held(self, value: int, day: int) -> int:
        """Capital cost of a value held at the ends of `day` and all later days of the plan."""
        return round(value * self.daily * max(0, self.workshop.days - max(day, 0)))

    def _purchases(self, goal: Linear) -> None:
        for key, goods in self.costs.goods.items():
            goal.add(goods, 1000).add(self.costs.freight[key], 1000)
        for offer in self.workshop.offers.values():
            bought = self.variables.bought.get(offer.id)
            if bought is None:
                continue
            value = self.value(offer.material, offer.amount)
            goal.plus(bought.last, -value)
            life = offer.shelf_life_days
            for delivery in offer.deliveries:
                held = self.held(value, delivery.usable)
                if life is not None:
                    held -= self._held_no_more(offer.material, value, delivery.arrive + life)
                goal.rise(bought, delivery.order, held)

    def _batches(self, goal: Linear) -> None:
        """Clean-down when poured; what was taken and is not worth its bars is lost at packing.

        Of a batch under way that could be packed and never is, the parts are lost.
        """
        for key, recipe in self.variables.recipes.items():
            packed = self.variables.packed[key]
            goal.plus(self.variables.poured[key].last, 1000 * self.workshop.costs.clean_down)
            lost = self._lost_in_making(recipe.parts, recipe.packaging, key[0], recipe.good)
            goal.plus(packed.last, lost)
            for day in packed.days:
                goal.rise(packed, day, -self.held(lost, day))
        for batch in self.workshop.underway:
            finished = self.variables.finished[batch.lot]
            recipe = recipe_of(self.workshop, batch.product, batch.bars)
            if finished.last is not None:
                parts = sum(self.value(item, amount) for item, amount in recipe.parts.items())
                goal.plus(finished.last, -parts).constant += parts
            lost = self._lost_in_making(recipe.parts, recipe.packaging, batch.product, recipe.good)
            goal.plus(finished.last, lost)
            for day in finished.days:
                goal.rise(finished, day, -self.held(lost, day))
        for preparation, lot in self.variables.lot_recipes.items():
            made = self.variables.made[preparation]
            record = self.workshop.preparations[preparation]
            life = record.shelf_life_days
            parts = sum(self.value(item, amount) for item, amount in lot.parts.items())
            worth = self.value(preparation, lot.amount)
            goal.plus(made.last, parts - worth)
            for day in made.days:
                held = self.held(worth, day + record.ready_days) - self.held(parts, day)
                if life is not None:
                    held -= self._held_no_more(preparation, worth, day + life)
                goal.rise(made, day, held)

    def _held_no_more(self, item: str, value: int, use_by: int) -> int:
        """Capital that ends with the use-by date of what nothing can use; waste counts the rest."""
        return 0 if item in self.uses.takers else self.held(value, use_by + 1)

    def _lost_in_making(
        self, parts: Mapping[str, int], packaging: Mapping[str, int], product: str, good: int
    ) -> int:
        taken = [*parts.items(), *packaging.items()]
        return sum(self.value(item, amount) for item, amount in taken) - self.value(product, good)

    def _bars_gone(self, goal: Linear) -> None:
        """Bars sold and sent leave at their value.

        Their capital ends on the day they leave. Bars that the shop could not sell are counted as
        if they had left too: that keeps the sum below the true cost, so bounds stay valid.
        """
        for product, served in self.served.items():
            worth = self.value(product, 1)
            goal.constant += worth * sum(served.asked)
            goal.add(served.lost_bars, -worth)
            for day, asked in enumerate(served.asked):
                goal.constant -= self.held(worth * asked, day)
        for demand in self.workshop.demand:
            if demand.kind is DemandKind.ORDER:
                worth = self.value(demand.product, demand.quantity)
                sent = self.variables.sent[demand.id]
                goal.plus(sent.last, worth)
                for day in sent.days:
                    goal.rise(sent, day, -self.held(worth, day))

    def _waste(self, goal: Linear) -> None:
        """What passes its date is lost at its value, less the capital it no longer ties up."""
        for record in self.followed:
            parts = record.unit.parts
            for number, wasted in enumerate(self.supply.wasted.get(record.id, ())):
                amount = Linear(1 - parts).plus(wasted.last, 1)
                worth = self.lost_with_date(record, wasted)
                self._charge(goal, f"waste {record.id} {number}", amount, parts, worth)
            expired = self._never_taken(record).add(Linear(1 - parts))
            worth = self.value(record.id, parts)
            self._charge(goal, f"waste {record.id}", expired, parts, worth)

    def _never_taken(self, record: Material | Preparation) -> Linear:
        """What passes its date of an item that nothing uses, and so has no waste of its own."""
        expired = Linear()
        if record.id not in self.uses.takers:
            for source in self.supply.sources[record.id]:
                source.expired(expired, self.workshop.days - 2)
        return expired

    def lost_with_date(self, record: Material | Preparation, wasted: Staircase) -> int:
        """What is lost with each whole unit of an item that passes its date."""
        saved = 1 - self.daily * (self.workshop.days - wasted.days[0] - 1)
        return floor(self.value(record.id, record.unit.parts) * max(Fraction(0), saved))

    def _not_worth_having(self, goal: Linear) -> None:
        """Of a material, what the plan has and does not waste counts only up to what is enough."""
        for record in self.followed:
            if record.id not in self.enough:
                continue
            parts = record.unit.parts
            extra = Linear(1 - parts - self.enough[record.id] + self.never_usable(record.id))
            for source in self.supply.sources[record.id]:
                source.usable(extra, self.workshop.days - 1)
            for wasted in self.supply.wasted.get(record.id, ()):
                extra.plus(wasted.last, -1)
            extra.add(self._never_taken(record), -1)
            self._charge(goal, f"too much {record.id}", extra, parts, self.value(record.id, parts))

    def stock(self, item: str, day: int) -> int:
        """What can be used by the end of a day without ordering anything, whatever spoils."""
        lots = [lot for lot in self.workshop.lots if lot.item == item and lot.is_usable]
        amounts = [lot.amount for lot in lots if lot.usable <= day]
        receipts = [r for r in self.workshop.receipts if r.material == item and r.usable <= day]
        return sum(amounts) + sum(receipt.amount for receipt in receipts)

    def never_usable(self, item: str) -> int:
        """What is there or on order and released only after the plan."""
        days = self.workshop.days
        late = (lot.amount for lot in self.workshop.lots if lot.item == item and lot.usable >= days)
        receipts = self.workshop.receipts
        orders = (r.amount for r in receipts if r.material == item and r.usable >= days)
        return sum(late) + sum(orders)

    def _charge(self, goal: Linear, name: str, amount: Linear, step: int, worth: int) -> None:
        """Add worth x the number of whole steps in an amount, rounded down."""
        if worth <= 0:
            return
        if not amount.variables:
            goal.constant += worth * max(0, -(-amount.constant // step))
            return
        steps = self.model.variable(
            name, 10**9, lambda values: max(0, -(-amount.value(values) // step))
        )
        self.model.at_most(Linear().add(amount).plus(steps, -step), 0, name)
        goal.plus(steps, worth)

    def _standing_capital(self, goal: Linear) -> None:
        """Capital in what lies there from the start, arrives on order, or is under way: fixed."""
        for lot in self.workshop.lots:
            if lot.is_usable:
                worth = self.value(lot.item, lot.amount)
                goal.constant += self.held(worth, lot.usable)
                if lot.use_by is not None:
                    goal.constant -= self._held_no_more(lot.item, worth, lot.use_by)
        for receipt in self.workshop.receipts:
            worth = self.value(receipt.material, receipt.amount)
            goal.constant += self.held(worth, receipt.usable)
        for batch in self.workshop.underway:
            recipe = recipe_of(self.workshop, batch.product, batch.bars)
            worth = sum(self.value(item, amount) for item, amount in recipe.parts.items())
            goal.constant += self.held(worth, 0)

    def _safety(self, goal: Linear) -> None:
        """Each day below its safety stock costs a share of what is missing, in steps of 1 %."""
        for record in self.followed:
            item, wish = record.id, record.safety_stock
            if not wish:
                continue
            step = max(1, wish // 100)
            for first, end in self._segments(item):
                usable = Linear()
                for source in self.supply.sources[item]:
                    source.usable(usable, first)
                missing = Linear(wish - step + 1).add(usable, -1)
                self.uses.add(missing, item, first)
                for wasted in self.supply.wasted.get(item, ()):
                    missing.step(wasted, first - 1, 1)
                worth = floor(self.value(item, step) * self.workshop.costs.safety * (end - first))
                self._charge(goal, f"below safety {item}[{first}]", missing, step, worth)

    def _segments(self, item: str) -> list[tuple[int, int]]:
        """Spans of days (first, end) within which nothing of the item can come or go."""
        days = {0, *self.uses.days(item)}
        for source in self.supply.sources[item]:
            days |= {day for day in source.usable_days if day < self.workshop.days}
            days |= {day + 1 for day in source.expiry_days if day + 1 < self.workshop.days}
        ordered = sorted(days)
        return list(zip(ordered, [*ordered[1:], self.workshop.days], strict=True))
