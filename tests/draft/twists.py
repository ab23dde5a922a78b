"""Random workshops with every rule in play at once: short lives, few of everything, odd offers."""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from random import Random

from planner.workshop import Budget, Demand, DemandKind, Offer, Product, Supplier, Workshop
from tests.workshop_parts import demand_row, values_of
from tests.workshops import Bottleneck, random_workshop

BOTTLENECKS: tuple[Bottleneck, ...] = ("none", "trays", "moulds", "hands", "drum")


def twisted(seed: int) -> Workshop:
    """A small random workshop, changed at random in several of the ways below."""
    draw = Random(f"{seed}/twists")
    workshop = random_workshop(
        seed=seed,
        products=draw.randrange(1, 6),
        days=draw.choice((45, 60, 90)),
        bottleneck=draw.choice(BOTTLENECKS),
    )
    for twist in draw.sample(TWISTS, draw.randrange(2, 9)):
        workshop = twist(draw, workshop)
        if twist in HARSH:  # batches under way could not have been poured, or do not fit
            workshop = replace(workshop, underway=())
    return replace(workshop, values=values_of(workshop))


def _each_product(workshop: Workshop, change: Callable[[Product], dict[str, object]]) -> Workshop:
    products = {
        product.id: replace(product, **change(product))  # type: ignore[arg-type]
        for product in workshop.products.values()
    }
    return replace(workshop, products=products)


def _each_offer(workshop: Workshop, change: Callable[[Offer], dict[str, object]]) -> Workshop:
    offers = {
        offer.id: replace(offer, **change(offer))  # type: ignore[arg-type]
        for offer in workshop.offers.values()
    }
    return replace(workshop, offers=offers)


def one_batch_a_day(draw: Random, workshop: Workshop) -> Workshop:
    return _each_product(workshop, lambda _: {"max_batches_per_day": draw.choice((None, 1, 2))})


def quick_bars(draw: Random, workshop: Workshop) -> Workshop:
    def change(product: Product) -> dict[str, object]:
        if draw.random() < 0.5:
            return {}
        return {"set_days": draw.choice((0, 0, 1, 3)), "cure_days": draw.choice((0, 0, 1, 4))}

    return _each_product(workshop, change)


def bars_that_expire(draw: Random, workshop: Workshop) -> Workshop:
    def change(product: Product) -> dict[str, object]:
        life = product.set_days + product.cure_days + draw.randrange(4, 40)
        return {"shelf_life_days": life}

    return _each_product(workshop, change)


def turns(draw: Random, workshop: Workshop) -> Workshop:
    moulds = {
        name: replace(mould, turns_per_day=draw.choice((1, 2, 3)), count=max(1, mould.count // 2))
        for name, mould in workshop.moulds.items()
    }
    places = {
        name: replace(place, turns_per_day=draw.choice((1, 2)))
        for name, place in workshop.places.items()
    }
    return replace(workshop, moulds=moulds, places=places)


def few_packs(draw: Random, workshop: Workshop) -> Workshop:
    def change(offer: Offer) -> dict[str, object]:
        if draw.random() < 0.5:
            return {}
        return {"max_packs": offer.min_packs + draw.randrange(0, 3)}

    return _each_offer(workshop, change)


def packs_that_expire(draw: Random, workshop: Workshop) -> Workshop:
    return _each_offer(
        workshop,
        lambda offer: {} if draw.random() < 0.6 else {"shelf_life_days": draw.randrange(5, 40)},
    )


def seasons(draw: Random, workshop: Workshop) -> Workshop:
    def change(offer: Offer) -> dict[str, object]:
        if draw.random() < 0.6:
            return {}
        first = draw.randrange(workshop.days)
        kept = [day for day in offer.deliveries if first <= day.order < first + 20]
        return {"deliveries": tuple(kept)}

    return _each_offer(workshop, change)


def minimum_orders(draw: Random, workshop: Workshop) -> Workshop:
    def change(supplier: Supplier) -> Supplier:
        return replace(
            supplier,
            minimum_order=draw.choice((None, 3000, 20_000, 100_000)),
            free_freight_from=draw.choice((None, 10_000, 50_000)),
            freight=draw.choice((0, 900, 5000)),
            pay_days=draw.choice((0, 14, 45)),
        )

    suppliers = {name: change(supplier) for name, supplier in workshop.suppliers.items()}
    return replace(workshop, suppliers=suppliers)


def tight_budgets(draw: Random, workshop: Workshop) -> Workshop:
    budgets = tuple(
        Budget(
            month=f"month {month}",
            first=30 * month,
            last=30 * month + 29,
            amount=draw.choice((5000, 30_000, 60_000, 200_000)),
        )
        for month in range(-1, 4)
        if draw.random() < 0.8
    )
    return replace(workshop, budgets=budgets)


def little_in_stock(draw: Random, workshop: Workshop) -> Workshop:
    lots = [
        replace(lot, use_by=draw.choice((lot.use_by, None, draw.randrange(3, workshop.days))))
        for lot in workshop.lots
        if draw.random() < 0.8
    ]
    return replace(workshop, lots=tuple(lots))


def brief_preparations(draw: Random, workshop: Workshop) -> Workshop:
    preparations = {
        name: replace(
            preparation,
            ready_days=draw.choice((0, 1, 5)),
            shelf_life_days=preparation.ready_days + draw.randrange(6, 20),
            charge=preparation.charge // draw.choice((1, 3)),
        )
        for name, preparation in workshop.preparations.items()
    }
    return replace(workshop, preparations=preparations)


def many_orders(draw: Random, workshop: Workshop) -> Workshop:
    rows: dict[str, Demand] = {}
    for product in workshop.products.values():
        for _ in range(draw.randrange(4)):
            day = draw.randrange(-5, workshop.days)
            row = demand_row(product, DemandKind.ORDER, draw.randrange(5, 150), day)
            rows[row.id] = row
        if draw.random() < 0.3:
            row = demand_row(
                product, DemandKind.LAUNCH, draw.randrange(20, 200), draw.randrange(20), launch="l"
            )
            rows[row.id] = row
    known = {row.id for row in workshop.demand}
    new = [row for name, row in rows.items() if name not in known]
    return replace(workshop, demand=(*workshop.demand, *new))


def few_trays_and_hands(draw: Random, workshop: Workshop) -> Workshop:
    largest = max(
        -(-bars // product.bars_per_tray)
        for product in workshop.products.values()
        for bars in product.sizes
    )
    trays = {
        name: replace(tray, count=largest * draw.choice((1, 2)))
        for name, tray in workshop.trays.items()
    }
    minutes = tuple(minutes * draw.choice((6, 8, 10)) // 10 for minutes in workshop.minutes)
    return replace(workshop, trays=trays, minutes=minutes)


def nested_preparation(draw: Random, workshop: Workshop) -> Workshop:
    """A third level: a preparation made of the infusion, used in place of it by one product."""
    infusion = workshop.preparations.get("infusion")
    if infusion is None:
        return workshop
    part = replace(infusion.formula[0], item="infusion", share=Fraction(1))
    strained = replace(
        infusion, id="strained", ready_days=1, shelf_life_days=30, formula=(part,), make_minutes=20
    )
    products = dict(workshop.products)
    for name, product in products.items():
        formula = tuple(
            replace(line, item="strained") if line.item == "infusion" else line
            for line in product.formula
        )
        products[name] = replace(product, formula=formula)
        if formula != product.formula:
            break
    preparations = {**workshop.preparations, "strained": strained}
    return replace(workshop, preparations=preparations, products=products)


TWISTS: tuple[Callable[[Random, Workshop], Workshop], ...] = (
    one_batch_a_day,
    quick_bars,
    bars_that_expire,
    turns,
    few_packs,
    packs_that_expire,
    seasons,
    minimum_orders,
    tight_budgets,
    little_in_stock,
    brief_preparations,
    many_orders,
    few_trays_and_hands,
    nested_preparation,
)

HARSH = (quick_bars, turns, few_trays_and_hands)
