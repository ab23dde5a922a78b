"""Cumulative amounts that become usable and that expire, source by source, and their chains."""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from planner.plan import Plan
from planner.solver.exchange import decisions_of
from planner.solver.linear import Linear, LinearModel
from planner.solver.sources import Source, bought, chains, fixed, made, nothing
from planner.solver.variables import Variables
from planner.workshop import Delivery, DemandKind, Part, Workshop
from tests.replay.plans import SHOP_OFFER, buying, preparing
from tests.replay.test_preparing import TEA
from tests.solver.solving import bar, every_day
from tests.workshop_parts import demand_row
from tests.workshops import tiny

ORDER = demand_row(bar(), DemandKind.ORDER, 10, 0)


def sums(
    add: Callable[[Linear, int], None], days: range, values: dict[int, int] | None = None
) -> list[int]:
    """A cumulative amount on some days."""
    rows = []
    for day in days:
        row = Linear()
        add(row, day)
        rows.append(row.value(values or {}))
    return rows


def test_a_lot_is_usable_from_its_day_on_and_expires_on_its_last() -> None:
    source = fixed("lot", 7, usable=2, use_by=4, last_day=9)
    assert sums(source.usable, range(5)) == [0, 0, 7, 7, 7]
    assert sums(source.expired, range(6)) == [0, 0, 0, 0, 7, 7]
    assert (source.most, source.usable_days, source.expiry_days) == (7, (2,), (4,))
    assert source.perishable


def test_a_lot_that_lasts_to_the_plans_end_never_expires() -> None:
    for use_by in (9, 20, None):
        source = fixed("lot", 7, usable=0, use_by=use_by, last_day=9)
        assert not source.perishable
        assert sums(source.expired, range(10)) == [0] * 10


def brewing(**changes: object) -> Workshop:
    """Bars of base and tea, and an order for ten of them, on twenty days with work on each."""
    tea = replace(TEA, **changes)  # type: ignore[arg-type]
    formula = (Part(item="base", share=Fraction(1, 2)), Part(item="tea", share=Fraction(1, 2)))
    return every_day(
        preparations={"tea": tea}, products={"bar": bar(formula=formula)}, demand=(ORDER,)
    )


def assigned(workshop: Workshop, plan: Plan) -> tuple[Variables, dict[int, int]]:
    variables = Variables(workshop, LinearModel(workshop.days), True)
    return variables, decisions_of(variables, plan)


def test_lots_of_a_preparation_are_usable_once_they_are_ready() -> None:
    """Made on 1 and 4, ready after two days, good to the fifth."""
    workshop = brewing(ready_days=2, shelf_life_days=5)
    variables, values = assigned(workshop, preparing(1, 4))
    source = made(variables, "tea")
    assert source is not None
    amount = variables.lot_recipes["tea"].amount
    assert sums(source.usable, range(8), values) == [n * amount for n in (0, 0, 0, 1, 1, 1, 2, 2)]
    expired = sums(source.expired, range(11), values)
    assert expired == [n * amount for n in (0, 0, 0, 0, 0, 0, 1, 1, 1, 2, 2)]
    assert source.most == amount * variables.ceilings.lots("tea")
    assert source.usable_days[0] == 2
    assert (source.expiry_days[0], source.expiry_days[-1]) == (5, 18)


def test_a_preparation_that_keeps_does_not_expire() -> None:
    variables, _ = assigned(brewing(shelf_life_days=None), preparing(1))
    source = made(variables, "tea")
    assert source is not None
    assert source.expired is nothing
    assert not source.perishable


def test_a_preparation_that_nothing_uses_is_no_source() -> None:
    unused = replace(TEA, shelf_life_days=None)
    variables, _ = assigned(every_day(preparations={"tea": unused}, demand=(ORDER,)), Plan())
    assert made(variables, "tea") is None


def selling(**changes: object) -> Workshop:
    """Base ordered on 0 or 3, there a day later and usable on 2 or 5; 19 is the last day."""
    deliveries = (
        Delivery(order=0, arrive=1, usable=2),
        Delivery(order=3, arrive=4, usable=5),
    )
    offer = replace(tiny().offers[SHOP_OFFER], deliveries=deliveries, **changes)  # type: ignore[arg-type]
    return every_day(offers={offer.id: offer}, lots=(), demand=(ORDER,))


def test_packs_are_usable_from_their_delivery_on() -> None:
    workshop = selling()
    plan = Plan(purchases=(*buying(packs=2, order=0).purchases, *buying(order=3).purchases))
    variables, values = assigned(workshop, plan)
    source = bought(variables, workshop.offers[SHOP_OFFER])
    assert source is not None
    kilos = [amount // 1_000_000 for amount in sums(source.usable, range(7), values)]
    assert kilos == [0, 0, 2, 2, 2, 3, 3]
    assert source.usable_days == (2, 5)
    assert source.most == 1_000_000 * variables.ceilings.packs(workshop.offers[SHOP_OFFER])
    assert not source.perishable


def test_packs_keep_from_the_day_on_which_they_arrive() -> None:
    """Seven days from 1 and 4: the eighth and the eleventh are their last."""
    workshop = selling(shelf_life_days=7)
    plan = Plan(purchases=(*buying(packs=2, order=0).purchases, *buying(order=3).purchases))
    variables, values = assigned(workshop, plan)
    source = bought(variables, workshop.offers[SHOP_OFFER])
    assert source is not None
    kilos = [amount // 1_000_000 for amount in sums(source.expired, range(7, 12), values)]
    assert kilos == [0, 2, 2, 2, 3]
    assert source.expiry_days == (8, 11)
    # with a life of 15 days only the first can pass its date before the last day
    for life, days in ((14, (15, 18)), (15, (16,))):
        long = selling(shelf_life_days=life)
        variables, _ = assigned(long, Plan())
        source = bought(variables, long.offers[SHOP_OFFER])
        assert source is not None
        assert source.expiry_days == days


def test_an_offer_that_cannot_be_ordered_is_no_source() -> None:
    offer = replace(tiny().offers[SHOP_OFFER], deliveries=())
    workshop = every_day(offers={offer.id: offer}, demand=(ORDER,))
    variables, _ = assigned(workshop, Plan())
    assert bought(variables, offer) is None


def source_of(name: str, usable: tuple[int, ...], expiry: tuple[int, ...] = ()) -> Source:
    return Source(name, 1, nothing, nothing, usable, expiry)


def grouped(*sources: Source) -> list[str]:
    """The names of each chain's sources, put together."""
    return ["".join(source.name for source in chain) for chain in chains(sources)]


def test_what_never_expires_is_one_chain_whenever_it_comes() -> None:
    assert grouped(source_of("b", (5, 9)), source_of("a", (0,)), source_of("c", (2,))) == ["acb"]


def test_what_comes_later_and_expires_later_joins_the_chain() -> None:
    assert grouped(source_of("b", (3,), (8,)), source_of("a", (0,), (4,))) == ["ab"]
    assert grouped(source_of("b", (3,)), source_of("a", (0,), (4,))) == ["ab"]
    assert grouped(source_of("b", (3,), (4,)), source_of("a", (3,), (4,))) == ["ab"]


def test_what_comes_later_and_expires_sooner_is_a_chain_of_its_own() -> None:
    """A lot usable from day 3 to 4 beside one from day 0 to 8."""
    assert grouped(source_of("a", (0,), (8,)), source_of("b", (3,), (4,))) == ["b", "a"]
    assert grouped(source_of("a", (0,)), source_of("b", (3,), (4,))) == ["b", "a"]


def test_a_staircase_that_can_rise_again_takes_nothing_after_it() -> None:
    """What is made on the last of its days may not expire within the plan."""
    brewed = source_of("b", (1, 2, 3), (5, 6))
    assert grouped(brewed, source_of("c", (9,), (12,))) == ["b", "c"]
    assert grouped(brewed, source_of("c", (9,))) == ["bc"]
    assert grouped(source_of("a", (0,), (5,)), brewed) == ["ab"]
