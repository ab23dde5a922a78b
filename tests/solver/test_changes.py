"""Changes against a stored plan as a sum of variables, counted as outside of the model."""

from collections import Counter
from dataclasses import replace

import pytest

from planner.draft.keeping import Kept
from planner.frozen import frozen_changes
from planner.plan import Plan
from planner.solver.changes import add_changes, add_frozen, add_moved, outweighing
from planner.solver.linear import Linear, LinearModel
from planner.solver.model import PlanModel
from planner.workshop import DemandKind, Workshop
from tests.replay.plans import SHOP_OFFER, batch, buying, plan, preparing
from tests.replay.test_preparing import TEA
from tests.solver.rows import broken_rows
from tests.solver.solving import bar
from tests.workshop_parts import demand_row
from tests.workshops import tiny

STORED = replace(
    plan(batch(0, 1, 7), batch(2, 3, 8), batch(2, 3, 9)),
    preparations=preparing(0, 3).preparations,
    purchases=buying(packs=3, order=1).purchases,
)
PLANS = {
    "the same": STORED,
    "nothing": Plan(),
    "a pour moved": replace(STORED, batches=(batch(1, 2, 7), *STORED.batches[1:])),
    "a packing moved": replace(STORED, batches=(batch(0, 1, 8), *STORED.batches[1:])),
    "a batch more": replace(STORED, batches=(*STORED.batches, batch(2, 3, 9))),
    "a lot moved": replace(STORED, preparations=preparing(0, 2).preparations),
    "fewer packs": replace(STORED, purchases=buying(packs=1, order=1).purchases),
    "more packs, later": replace(STORED, purchases=buying(packs=4, order=2).purchases),
}


def workshop_of(frozen_days: int) -> Workshop:
    workshop = tiny(
        preparations={"tea": replace(TEA, shelf_life_days=None)},
        offers={SHOP_OFFER: tiny().offers[SHOP_OFFER]},
        demand=(demand_row(bar(), DemandKind.ORDER, 100, 0),),
    )
    return replace(workshop, costs=replace(workshop.costs, frozen_days=frozen_days))


@pytest.mark.slow
@pytest.mark.parametrize("name", PLANS)
@pytest.mark.parametrize("end", [0, 1, 2, 3, 8, 9, 30])
def test_the_sum_counts_what_the_plans_differ_by(name: str, end: int) -> None:
    workshop = workshop_of(end)
    model = PlanModel(workshop, True, STORED)
    changes = add_changes(model.model, model.variables, STORED, end)
    values = model.values_of(PLANS[name])
    assert changes.value(values) == frozen_changes(workshop, STORED, PLANS[name])


@pytest.mark.parametrize("name", PLANS)
@pytest.mark.parametrize("end", [0, 1, 2, 3, 8, 30])
def test_frozen_rows_hold_just_where_nothing_is_changed(name: str, end: int) -> None:
    workshop = workshop_of(end)
    model = PlanModel(workshop, True, STORED)
    add_frozen(model.model, model.variables, STORED)
    values = model.values_of(PLANS[name])
    broken = [row for row in broken_rows(model.model, values) if row.startswith("frozen")]
    assert bool(broken) is bool(frozen_changes(workshop, STORED, PLANS[name]))


def test_kept_counts_no_more_than_is_done() -> None:
    """The variables of the sum can be set too low, never too high."""
    model = PlanModel(workshop_of(9), True, STORED)
    changes = add_changes(model.model, model.variables, STORED, 9)
    values = model.values_of(Plan())
    kept = [v for v, c in zip(changes.variables, changes.coefficients, strict=True) if c == -2]
    assert kept
    for variable in kept:
        assert values[variable.index] == 0
        assert any(
            row.startswith("kept")
            for row in broken_rows(model.model, {**values, variable.index: 1})
        )


def test_one_unit_of_the_weight_outweighs_the_whole_sum() -> None:
    """3 x 5 + 2 x 4, whatever their signs."""
    model = LinearModel(1)
    first, second = (
        model.variable(name, upper, lambda _: 0) for name, upper in (("a", 5), ("b", 4))
    )
    assert outweighing(Linear(100).plus(first, 3).plus(second, -2)) == 3 * 5 + 2 * 4 + 1


def test_what_can_no_longer_be_done_is_no_change() -> None:
    """Day 2 was closed since: its two pours are missing in every plan."""
    closed = replace(workshop_of(3), minutes=(480, 480, 0, *tiny().minutes[3:]))
    model = PlanModel(closed, True, STORED)
    changes = add_changes(model.model, model.variables, STORED, 3)
    rest = replace(STORED, batches=STORED.batches[:1])
    assert changes.value(model.values_of(rest)) == 0
    assert frozen_changes(closed, STORED, rest) == 2


MOVED = {
    "the same": 0,
    "nothing": 3,
    "a pour moved": 1,
    "a packing moved": 0,
    "a batch more": 0,
    "a lot moved": 0,
    "fewer packs": 0,
}


@pytest.mark.parametrize("name", MOVED)
def test_a_batch_not_poured_on_its_day_has_moved(name: str) -> None:
    """However it is packed, and whatever is made or bought; as the search near a plan counts."""
    workshop = workshop_of(0)
    model = PlanModel(workshop, True, STORED)
    moved = add_moved(model.model, model.variables, STORED)
    values = model.values_of(PLANS[name])
    assert moved.value(values) == MOVED[name]
    assert not [row for row in broken_rows(model.model, values) if row.startswith("kept")]
    kept = Kept(pours=Counter(("bar", 10, day) for day in (0, 2, 2)), worth=7)
    assert 7 * MOVED[name] == kept.value_of(0, PLANS[name].batches)


def test_more_poured_on_a_day_than_was_stored_makes_up_for_nothing() -> None:
    model = PlanModel(workshop_of(0), True, STORED)
    moved = add_moved(model.model, model.variables, STORED)
    twice = replace(STORED, batches=(*STORED.batches[1:], batch(2, 3, 9)))
    assert moved.value(model.values_of(twice)) == 1
