"""Plans drawn from a seed: mostly sensible days, whatever that does to stock and resources."""

from random import Random

from planner.plan import Batch, Plan, PreparationLot, Promise, Purchase, PurchaseLine
from planner.replay import earliest_promises
from planner.workshop import Workshop


def random_plan(seed: int, workshop: Workshop) -> Plan:
    """About 30 batches, with lots of preparations, orders and settled promises."""
    draw = Random(f"{seed}/plan")
    batches = [_batch(draw, workshop) for _ in range(30)]
    made = Plan(
        batches=tuple(batch for batch in batches if batch is not None) + _underway(workshop),
        preparations=tuple(_preparation(draw, workshop) for _ in workshop.preparations),
        purchases=tuple(_purchase(draw, workshop) for _ in range(25)),
    )
    return Plan(
        batches=made.batches,
        preparations=made.preparations,
        purchases=made.purchases,
        promises=earliest_promises(workshop, made),
    )


def _first_working(workshop: Workshop, day: int) -> int | None:
    return next((d for d in workshop.working_days if d >= day), None)


def _batch(draw: Random, workshop: Workshop) -> Batch | None:
    """A batch that sets and cures as it should; None if the plan ends before that."""
    product = draw.choice(list(workshop.products.values()))
    pour = draw.choice(workshop.working_days)
    unmould = _first_working(workshop, pour + product.set_days)
    if unmould is None:
        return None
    pack = _first_working(workshop, unmould + product.cure_days + draw.randrange(3))
    if pack is None:
        return None
    bars = draw.choice(product.sizes)
    return Batch(pour=pour, product=product.id, bars=bars, unmould=unmould, pack=pack)


def _underway(workshop: Workshop) -> tuple[Batch, ...]:
    return tuple(
        Batch(
            pour=record.pour,
            product=record.product,
            bars=record.bars,
            unmould=record.unmould,
            pack=_first_working(
                workshop, record.unmould + workshop.products[record.product].cure_days
            ),
            lot=record.lot,
        )
        for record in workshop.underway
    )


def _preparation(draw: Random, workshop: Workshop) -> PreparationLot:
    name = draw.choice(list(workshop.preparations))
    return PreparationLot(make=draw.choice(workshop.working_days), preparation=name)


def _purchase(draw: Random, workshop: Workshop) -> Purchase:
    orderable = [offer for offer in workshop.offers.values() if offer.deliveries]
    offer = draw.choice(orderable)
    line = PurchaseLine(offer=offer.id, packs=draw.randrange(1, 4))
    day = draw.choice(offer.deliveries).order
    return Purchase(order=day, supplier=offer.supplier, lines=(line,))


def wild_plan(seed: int, workshop: Workshop) -> Plan:
    """A plan that makes no sense: unknown names, odd days, sizes and packs."""
    draw = Random(f"{seed}/wild")

    def day() -> int:
        return draw.choice((draw.randrange(-3, workshop.days + 3), -(10**9), 10**9))

    def name(known: list[str]) -> str:
        return draw.choice([*known, "nobody", ""])

    products, demand = list(workshop.products), [row.id for row in workshop.demand]
    launches = [row.launch for row in workshop.demand]
    lots = [batch.lot for batch in workshop.underway]
    return Plan(
        batches=tuple(
            Batch(
                pour=day(),
                product=name(products),
                bars=draw.choice((-5, 0, 1, 96)),
                unmould=day(),
                pack=draw.choice((None, day())),
                lot=draw.choice(("", "", name(lots))),
            )
            for _ in range(40)
        ),
        preparations=tuple(
            PreparationLot(make=day(), preparation=name(list(workshop.preparations)))
            for _ in range(20)
        ),
        purchases=tuple(
            Purchase(
                order=day(),
                supplier=name(list(workshop.suppliers)),
                lines=tuple(
                    PurchaseLine(offer=name(list(workshop.offers)), packs=draw.randrange(-2, 3))
                    for _ in range(draw.randrange(4))
                ),
            )
            for _ in range(20)
        ),
        promises=tuple(Promise(demand=name([*demand, *launches]), day=day()) for _ in range(30)),
    )
