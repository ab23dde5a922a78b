"""The replay as a whole: it never gives up, loses nothing, and its account agrees with itself."""

from collections import defaultdict
from collections.abc import Iterable
from fractions import Fraction

import pytest

from planner.account import Account, Rule
from planner.plan import Plan
from planner.replay import replay
from planner.workshop import DemandKind, Workshop
from tests.replay.random_plans import random_plan, wild_plan
from tests.workshops import random_workshop, tiny

SEEDS = range(6)


def plans(seed: int) -> tuple[Workshop, tuple[Account, Account]]:
    """A random workshop with the accounts of a sensible and of a senseless plan."""
    workshop = random_workshop(seed, days=60)
    wanted = random_plan(seed, workshop), wild_plan(seed, workshop)
    return workshop, (replay(workshop, wanted[0]), replay(workshop, wanted[1]))


def test_doing_nothing_breaks_no_rule() -> None:
    account = replay(tiny(), Plan())
    assert account.certified
    assert account.service[0].lost == 16


@pytest.mark.parametrize("seed", range(30))
def test_no_plan_is_too_odd(seed: int) -> None:
    workshop = random_workshop(seed % 3, days=45, products=3)
    account = replay(workshop, wild_plan(seed, workshop))
    assert {Rule.UNKNOWN, Rule.WORKING_DAY} <= {b.rule for b in account.broken}


def test_the_same_plan_gives_the_same_account() -> None:
    workshop = random_workshop(1, days=60)
    wanted = random_plan(1, workshop)
    shuffled = Plan(
        batches=wanted.batches[::-1],
        preparations=wanted.preparations[::-1],
        purchases=wanted.purchases[::-1],
        promises=wanted.promises,
    )
    assert replay(workshop, wanted) == replay(workshop, shuffled)


@pytest.mark.parametrize("seed", SEEDS)
def test_nothing_appears_and_nothing_is_lost(seed: int) -> None:
    """opening + arrived - used - wasted = on hand, each taken from another part of the account."""
    workshop, accounts = plans(seed)
    for account in accounts:
        arrivals = _arrivals(workshop, account)
        for item, flow in account.flows.items():
            on_hand = sum(
                lot.amount for lot in workshop.lots if lot.item == item and lot.usable <= 0
            )
            pegged = _by_day((p.day, p.amount) for p in account.pegs if p.item == item)
            wasted = _by_day((w.day, w.amount) for w in account.waste if w.item == item)
            for day in range(workshop.days):
                assert flow.arrived[day] == arrivals[item, day]
                assert flow.used[day] == pegged[day]
                assert flow.wasted[day] == wasted[day]
                on_hand += flow.arrived[day] - flow.used[day] - flow.wasted[day]
                assert flow.on_hand[day] == on_hand >= 0


def _by_day(amounts: Iterable[tuple[int, int]]) -> defaultdict[int, int]:
    days: defaultdict[int, int] = defaultdict(int)
    for day, amount in amounts:
        days[day] += amount
    return days


def _arrivals(workshop: Workshop, account: Account) -> defaultdict[tuple[str, int], int]:
    """What comes of each item on each day, from the workshop's and the account's records."""
    found: defaultdict[tuple[str, int], int] = defaultdict(int)
    for lot in workshop.lots:
        if lot.usable > 0:
            found[lot.item, lot.usable] += lot.amount
    for receipt in workshop.receipts:
        found[receipt.material, receipt.usable] += receipt.amount
    for line in (line for order in account.purchases for line in order.lines):
        found[line.material, line.usable] += line.amount
    for made in account.preparations:
        found[made.preparation, made.ready] += made.amount
    for batch in account.batches:
        if batch.pack is not None and batch.pack >= 0:
            found[batch.product, batch.pack + 1] += batch.good
    return found


@pytest.mark.parametrize("seed", SEEDS)
def test_no_lot_gives_more_than_it_holds_or_outside_its_days(seed: int) -> None:
    workshop, accounts = plans(seed)
    for account in accounts:
        lots = _lots(workshop, account)
        taken: defaultdict[tuple[str, str], int] = defaultdict(int)
        for peg in account.pegs:
            _, usable, use_by = lots[peg.item, peg.lot]
            assert usable <= peg.day
            assert use_by is None or peg.day <= use_by
            taken[peg.item, peg.lot] += peg.amount
        for waste in account.waste:
            taken[waste.item, waste.lot] += waste.amount
        assert all(amount <= lots[name][0] for name, amount in taken.items())


def _lots(
    workshop: Workshop, account: Account
) -> dict[tuple[str, str], tuple[int, int, int | None]]:
    """(item, lot) -> amount, first and last day of use."""
    found = {(lot.item, lot.lot): (lot.amount, lot.usable, lot.use_by) for lot in workshop.lots}
    for receipt in workshop.receipts:
        found[receipt.material, receipt.reference] = (receipt.amount, receipt.usable, None)
    for line in (line for order in account.purchases for line in order.lines):
        found[line.material, line.lot] = (line.amount, line.usable, line.use_by)
    for made in account.preparations:
        found[made.preparation, made.lot] = (made.amount, made.ready, made.use_by)
    for batch in account.batches:
        life = workshop.products[batch.product].shelf_life_days
        use_by = None if life is None else batch.pour + life
        packed = workshop.days if batch.pack is None else batch.pack
        found[batch.product, batch.lot] = (batch.good, packed + 1, use_by)
    return found


@pytest.mark.parametrize("seed", SEEDS)
def test_the_goals_are_the_sums_of_their_parts(seed: int) -> None:
    workshop, accounts = plans(seed)
    for account in accounts:
        money = account.money
        parts = money.retail_lost + money.orders_late + money.launches_late + money.restock_below
        assert money.service == parts == sum(row.loss for row in account.service)
        assert money.money == (
            money.purchases
            + money.freight
            + money.opening_value
            - money.left_value
            + money.capital
            + money.safety
            + money.clean_down
        )
        paid = sum(order.cost for order in account.purchases)
        assert 1000 * paid == money.purchases + money.freight
        assert [row.demand for row in account.service] == [row.id for row in workshop.demand]


@pytest.mark.parametrize("seed", SEEDS)
def test_capital_is_what_lies_there_at_the_end_of_each_day(seed: int) -> None:
    """The same sum by another road: day by day, not item by item and batch by batch."""
    workshop, (account, _) = plans(seed)
    total = Fraction()
    for day in range(workshop.days):
        amounts = {item: flow.on_hand[day] for item, flow in account.flows.items()}
        for batch in account.batches:
            if batch.pack == day:
                amounts[batch.product] += batch.good
            elif batch.pour <= day and (batch.pack is None or day < batch.pack):
                for item, amount in batch.parts.items():
                    amounts[item] += amount
        total += sum(
            Fraction(amount * workshop.values[item], 1000) for item, amount in amounts.items()
        )
    exact = workshop.costs.capital * total / 365
    assert abs(account.money.capital - exact) <= Fraction(1, 2)


@pytest.mark.parametrize("seed", SEEDS)
def test_loads_are_told_for_every_resource_and_day(seed: int) -> None:
    workshop, accounts = plans(seed)
    tables = (workshop.vessels, workshop.moulds, workshop.places, workshop.trays)
    names = ["hands", *(name for table in tables for name in table)]
    for account in accounts:
        assert [load.name for load in account.loads] == names
        assert all(len(load.used) == len(load.capacity) == workshop.days for load in account.loads)
        over = {
            (day, load.name)
            for load in account.loads
            for day, (used, there) in enumerate(zip(load.used, load.capacity, strict=True))
            if used > there and not (load.unit == "min" and workshop.minutes[day] == 0)
        }
        told = (Rule.HANDS, Rule.VESSEL_MINUTES, Rule.MOULDS, Rule.PLACES, Rule.TRAYS)
        assert {(b.day, b.subject) for b in account.broken if b.rule in told} == over


@pytest.mark.parametrize("seed", SEEDS)
def test_late_days_and_losses_follow_from_the_day_met(seed: int) -> None:
    workshop, accounts = plans(seed)
    for account in accounts:
        for row, demand in zip(account.service, workshop.demand, strict=True):
            if row.kind in (DemandKind.RETAIL, DemandKind.RESTOCK):
                assert row.loss == demand.weight * sum(row.lost_by_day)
            elif row.met is None:
                assert row.late_days == workshop.days - demand.day
                assert row.loss == demand.weight * row.late_days + demand.unmet
            else:
                assert row.loss == demand.weight * (row.met - demand.day)
