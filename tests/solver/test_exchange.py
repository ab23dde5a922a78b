"""Plans as assignments and back: nothing the model can hold is lost on the way."""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.draft.draft import draft
from planner.plan import Plan, PreparationLot, Promise
from planner.solver.exchange import decisions_of, plan_of, rises_of
from planner.solver.linear import LinearModel
from planner.solver.variables import Variables
from planner.workshop import DemandKind, Part, Workshop
from tests.replay.plans import SHOP_OFFER, batch, buying, curing, plan, preparing, underway
from tests.replay.test_preparing import TEA
from tests.solver.rows import settled
from tests.solver.solving import bar, every_day
from tests.workshop_parts import demand_row
from tests.workshops import random_workshop, tiny

ROWS = (
    demand_row(bar(), DemandKind.ORDER, 10, 0, id="order"),
    demand_row(bar(), DemandKind.LAUNCH, 50, 0, id="row", launch="new"),
)


def workshop_of(**changes: object) -> Workshop:
    """An order and a launch of bars of half tea; base can be bought; a batch is under way."""
    halves = (Part(item="base", share=Fraction(1, 2)), Part(item="tea", share=Fraction(1, 2)))
    fields: dict[str, object] = {
        "preparations": {"tea": TEA},
        "products": {"bar": bar(formula=halves)},
        "offers": {SHOP_OFFER: tiny().offers[SHOP_OFFER]},
        "underway": (curing(),),
        "demand": ROWS,
    }
    return tiny(**{**fields, **changes})


def variables_of(workshop: Workshop, with_purchases: bool = True) -> Variables:
    return Variables(workshop, LinearModel(workshop.days), with_purchases)


def there_and_back(workshop: Workshop, made: Plan, with_purchases: bool = True) -> Plan:
    variables = variables_of(workshop, with_purchases)
    return plan_of(variables, decisions_of(variables, made).__getitem__)


WHOLE = Plan(
    batches=(underway(3), batch(0, 1, 7), batch(2, 3, 8), batch(2, 3, 9)),
    preparations=preparing(0, 0, 4).preparations,
    purchases=(*buying(packs=2, order=1).purchases, *buying(order=7).purchases),
    promises=(Promise(demand="new", day=12), Promise(demand="order", day=8)),
)


def test_a_whole_plan_comes_back_as_it_was() -> None:
    assert there_and_back(workshop_of(), WHOLE) == WHOLE


def test_an_empty_plan_comes_back_empty() -> None:
    assert there_and_back(workshop_of(underway=()), Plan()) == Plan()


def test_without_purchases_they_alone_are_lost() -> None:
    assert there_and_back(workshop_of(), WHOLE, False) == replace(WHOLE, purchases=())


@pytest.mark.parametrize("pack", [3, 29, None])
def test_a_batch_under_way_is_packed_or_stays(pack: int | None) -> None:
    found = there_and_back(workshop_of(), Plan(batches=(underway(pack),)))
    assert found.batches == (underway(pack),)


def test_of_two_alike_under_way_one_may_stay() -> None:
    twins = (curing(), replace(curing(), lot="twin"))
    made = Plan(batches=(underway(3), replace(underway(None), lot="twin")))
    found = there_and_back(workshop_of(underway=twins), made)
    assert found.batches == (replace(underway(None), lot="twin"), underway(3))


def test_a_batch_under_way_that_the_plan_leaves_out_stays() -> None:
    assert there_and_back(workshop_of(), Plan()).batches == (underway(None),)


def test_the_batch_poured_first_is_packed_first() -> None:
    crossed = plan(batch(0, 1, 14), batch(1, 2, 8))
    found = there_and_back(workshop_of(underway=()), crossed)
    assert found.batches == (batch(0, 1, 8), batch(1, 2, 14))


def test_the_unmould_day_follows_from_the_pour_day() -> None:
    """Poured on 4, a Friday: out of the mould on Monday."""
    found = there_and_back(workshop_of(underway=()), plan(batch(4, 5, 14)))
    assert found.batches == (batch(4, 7, 14),)


def test_lines_of_one_order_come_back_as_one() -> None:
    base = tiny().offers[SHOP_OFFER]
    small = replace(base, id="shop/base/half", amount=500_000)
    workshop = workshop_of(offers={base.id: base, small.id: small}, underway=())
    one = buying(packs=2, order=1).purchases[0]
    other = buying(packs=3, order=1, offer=small.id).purchases[0]
    both = Plan(purchases=(replace(one, lines=(*one.lines, *other.lines)),))
    assert there_and_back(workshop, both) == both
    assert there_and_back(workshop, Plan(purchases=(one, other))) == both


def test_what_the_model_has_no_variable_for_is_passed_over() -> None:
    """A size and a product that are not poured, and names that are gone."""
    odd = Plan(
        batches=(batch(bars=9), replace(batch(), product="soap")),
        preparations=(PreparationLot(make=0, preparation="soup"),),
        purchases=buying(offer="nobody's", supplier="nobody").purchases,
        promises=(Promise(demand="gone", day=3),),
    )
    assert there_and_back(workshop_of(underway=()), odd) == Plan()


def test_what_is_done_on_a_day_off_counts_from_the_next_working_day_on() -> None:
    """Poured on 5, a Saturday."""
    found = there_and_back(workshop_of(underway=()), plan(batch(5, 7, 14)))
    assert found.batches == (batch(7, 8, 14),)


def test_counts_are_cumulative() -> None:
    variables = variables_of(workshop_of())
    values = decisions_of(variables, WHOLE)
    poured = variables.poured["bar", 10]
    counts = {day: values[step.index] for day, step in zip(poured.days, poured.steps, strict=True)}
    assert [counts[day] for day in (0, 1, 2, 3, 23)] == [1, 1, 3, 3, 3]
    bought = variables.bought[SHOP_OFFER]
    packs = {day: values[step.index] for day, step in zip(bought.days, bought.steps, strict=True)}
    assert [packs[day] for day in (0, 1, 4, 7)] == [0, 2, 2, 3]


def test_rises_name_every_staircase_but_those_of_demand_and_of_what_is_under_way() -> None:
    variables = variables_of(workshop_of())
    found = {staircase.name: dict(rises) for staircase, rises in rises_of(variables, WHOLE)}
    assert found == {
        "poured bar x 10": {0: 1, 2: 2},
        "packed bar x 10": {7: 1, 8: 1, 9: 1},
        "made tea": {0: 2, 4: 1},
        f"bought {SHOP_OFFER}": {1: 2, 7: 1},
    }


@pytest.mark.parametrize("seed", range(3))
def test_drafts_come_back_but_for_crossed_packing(seed: int) -> None:
    workshop = random_workshop(seed, products=2, days=50, bottleneck="moulds")
    made = settled(workshop, draft(workshop))
    found = there_and_back(workshop, made)
    assert there_and_back(workshop, found) == found
    assert len(found.batches) == len(made.batches)
    assert (found.preparations, found.promises) == (made.preparations, made.promises)
    assert found.purchases == made.purchases


def test_every_day_of_work_has_its_step() -> None:
    workshop = every_day(demand=ROWS)
    assert variables_of(workshop).poured["bar", 10].days == tuple(range(14))
