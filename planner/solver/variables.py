"""The decisions of the model, all as staircases, and the recipes they stand for.

poured[p, b]   batches of b bars of product p poured up to a day
packed[p, b]   the same, packed: the k-th poured is the k-th packed
finished[lot]  1 from the day a batch under way is packed; no steps if it cures beyond the plan
made[q]        lots of preparation q made up to a day
sent[order]    1 from the day an order leaves
launched[n]    1 from the day launch n happens
bought[offer]  packs ordered up to an order day, only where purchases are decided
"""

from dataclasses import dataclass

from planner.plan import Plan
from planner.recipes import LotRecipe, Recipe
from planner.solver.ceilings import Ceilings, SizeKey
from planner.solver.linear import LinearModel, Staircase
from planner.solver.timeline import Timeline
from planner.workshop import Demand, DemandKind, Offer, Product, Underway, Workshop


@dataclass(frozen=True)
class Launch:
    """The demand rows launched together, and the day before which they are not."""

    name: str
    rows: tuple[Demand, ...]
    day: int


class Variables:
    """Makes every decision variable of a workshop's plan; a `stored` plan fits in as it is."""

    def __init__(
        self,
        workshop: Workshop,
        model: LinearModel,
        with_purchases: bool,
        stored: Plan | None = None,
    ) -> None:
        self.workshop = workshop
        self.model = model
        self.timeline = Timeline(workshop)
        self.ceilings = Ceilings(workshop, stored)
        self.recipes: dict[SizeKey, Recipe] = {}
        self.lot_recipes: dict[str, LotRecipe] = {}
        self.poured: dict[SizeKey, Staircase] = {}
        self.packed: dict[SizeKey, Staircase] = {}
        self.finished: dict[str, Staircase] = {}
        self.made: dict[str, Staircase] = {}
        self.sent: dict[str, Staircase] = {}
        self.launched: dict[str, Staircase] = {}
        self.bought: dict[str, Staircase] = {}
        self.launches = launches_of(workshop)
        for product in workshop.products.values():
            self._batches(product)
        for batch in workshop.underway:
            self._finished(batch)
        for preparation in workshop.preparations:
            self._made(preparation)
        self._leaving()
        if with_purchases:
            for offer in workshop.offers.values():
                self._bought(offer)

    def sizes(self, product: str) -> list[SizeKey]:
        """The keys of a product's batch sizes that can be poured at all."""
        return [key for key in self.poured if key[0] == product]

    def _batches(self, product: Product) -> None:
        pour_days = self.timeline.pour_days(product)
        if not pour_days:
            return
        pack_days = [d for d in self.timeline.working if self.timeline.last_cured(product)[d] >= 0]
        for bars in product.sizes:
            key = (product.id, bars)
            daily = self.ceilings.daily(key)
            final = self.ceilings.poured(key)
            if daily == 0 or final == 0:
                continue
            name = f"{product.id} x {bars}"
            uppers = [daily * (position + 1) for position in range(len(pour_days))]
            self.recipes[key] = self.ceilings.recipes[key]
            self.poured[key] = self.model.staircase(f"poured {name}", pour_days, uppers, final)
            self.packed[key] = self.model.staircase(
                f"packed {name}",
                pack_days,
                [final] * len(pack_days),
                final,
            )

    def _finished(self, batch: Underway) -> None:
        product = self.workshop.products[batch.product]
        first = self.timeline.next_working(batch.unmould + product.cure_days)
        days = [day for day in self.timeline.working if first is not None and day >= first]
        self.finished[batch.lot] = self.model.staircase(
            f"finished {batch.lot}", days, [1] * len(days)
        )

    def _made(self, preparation_id: str) -> None:
        preparation = self.workshop.preparations[preparation_id]
        recipe = self.ceilings.lot_recipes[preparation_id]
        days = [d for d in self.timeline.working if d + preparation.ready_days < self.workshop.days]
        final = self.ceilings.lots(preparation_id)
        if not days or recipe.amount == 0 or final == 0 or not preparation.formula:
            return
        self.lot_recipes[preparation_id] = recipe
        self.made[preparation_id] = self.model.staircase(
            f"made {preparation_id}", days, [final] * len(days)
        )

    def _leaving(self) -> None:
        for demand in self.workshop.demand:
            if demand.kind is DemandKind.ORDER:
                days = self._leaving_days(demand.day, [demand.product])
                self.sent[demand.id] = self.model.staircase(
                    f"sent {demand.id}", days, [1] * len(days)
                )
        for launch in self.launches.values():
            days = self._leaving_days(launch.day, [row.product for row in launch.rows])
            self.launched[launch.name] = self.model.staircase(
                f"launched {launch.name}", days, [1] * len(days)
            )

    def _leaving_days(self, due: int, products: list[str]) -> list[int]:
        """Days on which bars can first suffice: the due day, and whenever some come or are freed.

        Bars come on the day after a working day or when a lot is released. Where orders and a
        launch share a product, a launch that happens frees what an order waited for: any day.
        """
        first = max(due, 0)
        rows = [d for d in self.workshop.demand if d.product in products]
        if len({d.kind for d in rows} & {DemandKind.ORDER, DemandKind.LAUNCH}) == 2:
            return list(range(first, self.workshop.days))
        days = {day + 1 for day in self.timeline.working}
        days |= {lot.usable for lot in self.workshop.lots if lot.item in products}
        return [first, *sorted(day for day in days if first < day < self.workshop.days)]

    def offers_of(self, material: str) -> list[Offer]:
        """The offers of a material of which packs can be ordered."""
        offers = self.workshop.offers.values()
        return [offer for offer in offers if offer.material == material and offer.id in self.bought]

    def _bought(self, offer: Offer) -> None:
        days = [delivery.order for delivery in offer.deliveries]
        if days:
            most = self.ceilings.packs(offer)
            self.bought[offer.id] = self.model.staircase(
                f"bought {offer.id}", days, [most] * len(days)
            )


def launches_of(workshop: Workshop) -> dict[str, Launch]:
    """Launch name -> its rows and the latest of their days."""
    rows: dict[str, list[Demand]] = {}
    for demand in workshop.demand:
        if demand.kind is DemandKind.LAUNCH:
            rows.setdefault(demand.launch, []).append(demand)
    return {
        name: Launch(name, tuple(members), max(row.day for row in members))
        for name, members in rows.items()
    }
