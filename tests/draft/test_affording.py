from dataclasses import replace

from planner.draft.draft import draft
from planner.plan import Plan
from planner.replay import replay
from planner.workshop import Budget, DemandKind, Workshop
from tests.draft.pieces import with_bar
from tests.workshop_parts import demand_row
from tests.workshops import random_workshop, tiny


def within(workshop: Workshop, amount: int) -> Plan:
    """A plan with so much to spend in all; it must keep every rule."""
    budget = Budget(month="all", first=-100, last=200, amount=amount)
    limited = workshop.changed(budgets=(budget,))
    plan = draft(limited)
    assert not replay(limited, plan).broken
    return plan


def test_money_goes_to_the_batches_that_spare_most_loss() -> None:
    bar = tiny().products["bar"]
    dear = replace(bar, id="dear", price=3000)
    workshop = with_bar().changed(
        products={"bar": bar, "dear": dear},
        lots=(),
        demand=(
            demand_row(bar, DemandKind.ORDER, 10, 20),
            demand_row(dear, DemandKind.ORDER, 10, 22),
        ),
    )

    def poured(amount: int) -> list[str]:
        return [batch.product for batch in within(workshop, amount).batches]

    # a batch of either takes 1 kg of base for 10.00
    assert poured(2000) == ["bar", "dear"]
    assert poured(1999) == ["dear"]
    assert poured(999) == []


def test_a_tight_budget_loses_more_but_breaks_nothing() -> None:
    workshop = random_workshop(seed=1, products=3, days=75)
    losses = [
        replay(workshop, within(workshop, amount)).money.service
        for amount in (10_000_000, 60_000, 20_000)
    ]
    assert losses == sorted(losses)
    assert losses[0] < losses[-1]
