"""Textbook lot sizing, put to the planner as buying.

How a textbook case becomes a workshop
- A textbook period is a day; every day is worked. Period t (from 1) is day t - 1.
- A unit is one bar of 100 g, made of one pack of 100 g of base, with nothing lost.
- The setup cost of a period is the freight of a supplier who delivers on that one day only.
  A capacity of a period is the most packs he sells in an order.
- The holding cost comes from the cost of capital: a pack costs 365 and capital 100 % a year, so
  that a unit held at the end of a day costs exactly 1; with h times 100 % it costs h.
- Demand of period t is an order for the bars. What is usable on day t - 1 can be poured and
  packed that day, but bars leave on the next day at the earliest: so the order is due on day t.

What the money goal adds to the textbook's cost
- Every unit is held one night more than in the book, the night between packing and leaving:
  h x demand in all, whatever the plan.
- The price of what was bought, of which nothing is left: price x demand in all. The goal counts
  purchases less what is left of them, so what was sold stays in it at its cost.
So textbook cost = money goal - (h + price) x demand in all.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from itertools import accumulate
from random import Random

import pytest

from planner.account import Account
from planner.draft.draft import draft
from planner.plan import Plan, Purchase, PurchaseLine, Stage, Status
from planner.planning import make_plan
from planner.replay import replay
from planner.settings import Settings
from planner.solver.stages import Limits, Stages
from planner.workshop import (
    Costs,
    Delivery,
    DemandKind,
    Mould,
    Offer,
    PriceStep,
    Supplier,
    Tray,
    Workshop,
)
from tests.workshop_parts import demand_row
from tests.workshops import tiny

PRICE = 365
UNIT_MG = 100_000
SMALL = Settings(work=5, seconds=60)
LIMITS = Limits(work=5, seconds=60, seed=1, workers=1)


@dataclass(frozen=True, kw_only=True)
class Case:
    """A lot-sizing problem in the textbook's terms, and the textbook's least cost.

    `demand`, `setups` and `capacities` by period; `holding` per unit held at a period's end.
    Batches of the workshop hold `bars`: a number that divides all demand, to keep plans short.
    """

    demand: tuple[int, ...]
    setups: tuple[int, ...]
    holding: Fraction = Fraction(1)
    capacities: tuple[int, ...] | None = None
    bars: int = 1
    least: Fraction = Fraction(0)

    @property
    def total(self) -> int:
        """Units asked for in all periods."""
        return sum(self.demand)


# Hopp and Spearman, Factory Physics, section 2.3.3.
HOPP_AND_SPEARMAN = Case(
    demand=(20, 50, 10, 50, 50, 10, 20, 40, 20, 30),
    setups=(100,) * 10,
    bars=10,
    least=Fraction(580),
)

# Wagner and Whitin 1958, "Dynamic Version of the Economic Lot Size Model", Management Science 5.
WAGNER_AND_WHITIN = Case(
    demand=(69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56),
    setups=(85, 102, 102, 101, 98, 114, 105, 86, 119, 110, 98, 114),
    least=Fraction(864),
)

# Nahmias, Production and Operations Analysis, capacitated lot sizing; the data are published, the
# optimum is from memory.
NAHMIAS_CAPACITATED = Case(
    demand=(100, 79, 230, 105, 3, 10, 99, 126, 40),
    setups=(450,) * 9,
    holding=Fraction(2),
    capacities=(120, 200, 200, 400, 300, 50, 120, 50, 30),
    least=Fraction(3638),
)

CASES = {
    "Hopp and Spearman, Factory Physics, 2.3.3": HOPP_AND_SPEARMAN,
    "Wagner and Whitin 1958": WAGNER_AND_WHITIN,
    "Nahmias, capacitated (optimum from memory)": NAHMIAS_CAPACITATED,
    # Nahmias, Production and Operations Analysis: the data are published, the optimum is from
    # memory. Two plans reach it, so only the cost is compared.
    "Nahmias, machine casings (optimum from memory)": Case(
        demand=(18, 30, 42, 5, 20),
        setups=(80,) * 5,
        holding=Fraction(2),
        least=Fraction(310),
    ),
    # Nahmias, Production and Operations Analysis, Wagner-Whitin example; from memory.
    "Nahmias, four periods (from memory)": Case(
        demand=(52, 87, 23, 56), setups=(75,) * 4, least=Fraction(248)
    ),
    # Silver, Pyke and Peterson, Inventory Management and Production Planning; from memory.
    "Silver, Pyke and Peterson (from memory)": Case(
        demand=(10, 62, 12, 130, 154, 129, 88, 52, 124, 160, 238, 41),
        setups=(54,) * 12,
        holding=Fraction(2, 5),
        least=Fraction(5012, 10),
    ),
    # Snyder and Shen, Fundamentals of Supply Chain Theory, second edition, example 3.9.
    "Snyder and Shen, example 3.9": Case(
        demand=(90, 120, 80, 70),
        setups=(500,) * 4,
        holding=Fraction(2),
        bars=10,
        least=Fraction(1380),
    ),
    # Snyder and Shen, the same book, problems 3.27 and 3.29.
    "Snyder and Shen, problem 3.27": Case(
        demand=(150, 100, 80, 200),
        setups=(120,) * 4,
        holding=Fraction(4, 5),
        bars=10,
        least=Fraction(424),
    ),
    "Snyder and Shen, problem 3.29": Case(
        demand=(730, 580, 445, 650, 880),
        setups=(100,) * 5,
        holding=Fraction(1, 10),
        bars=5,
        least=Fraction(423),
    ),
}


# Batches of one bar make long plans: the demand of this one has no common divisor.
LONG = "Silver, Pyke and Peterson (from memory)"
ALL = [
    pytest.param(case, id=name, marks=[pytest.mark.slow] if name == LONG else [])
    for name, case in CASES.items()
]


def workshop_of(case: Case) -> Workshop:
    """The case as a workshop; only buying costs anything, and nothing else is scarce."""
    days = len(case.demand) + 1
    bar = replace(
        tiny().products["bar"],
        pour_mg=UNIT_MG,
        sizes=(case.bars,),
        set_days=0,
        cure_days=0,
        vessel_minutes=0,
        make_minutes=0,
        unmould_minutes=0,
        pack_minutes_per_bar=Fraction(0),
    )
    orders = [
        demand_row(bar, DemandKind.ORDER, quantity, period)
        for period, quantity in enumerate(case.demand, start=1)
    ]
    return tiny(
        days=days,
        minutes=(480,) * days,
        costs=Costs(capital=case.holding),
        products={"bar": bar},
        moulds={"block": Mould(id="block", count=1000, cavities=10)},
        trays={"tray": Tray(id="tray", count=1000)},
        suppliers={
            supplier_of(day): Supplier(id=supplier_of(day), freight=setup)
            for day, setup in enumerate(case.setups)
        },
        offers={offer.id: offer for offer in _offers(case)},
        lots=(),
        demand=tuple(orders),
    )


def supplier_of(day: int) -> str:
    return f"supplier of day {day:02d}"


def _offers(case: Case) -> list[Offer]:
    """One offer for each day; bought and usable on that day only."""
    return [
        Offer(
            id=f"base of day {day:02d}",
            supplier=supplier_of(day),
            material="base",
            amount=UNIT_MG,
            pack_size="100",
            pack_unit="g",
            steps=(PriceStep(packs=1, price=PRICE),),
            deliveries=(Delivery(order=day, arrive=day, usable=day),),
            max_packs=None if case.capacities is None else case.capacities[day],
        )
        for day in range(len(case.demand))
    ]


@cache
def planned(case: Case) -> tuple[Plan, Account]:
    """The plan of a case and its account, certified by the replay."""
    plan, account = make_plan(workshop_of(case), SMALL)
    assert account.certified, account.broken
    return plan, account


def textbook_cost(case: Case, money: int) -> Fraction:
    """The textbook's cost from the money goal (in thousandths); see the top of the file."""
    return Fraction(money, 1000) - (case.holding + PRICE) * case.total


def bought(plan: Plan, case: Case) -> list[int]:
    """Packs bought in each period."""
    packs = [0] * len(case.demand)
    for purchase in plan.purchases:
        packs[purchase.order] += sum(line.packs for line in purchase.lines)
    return packs


def money_stage(plan: Plan) -> Stage:
    return next(stage for stage in plan.stages if stage.goal == "money")


def all_orders_leave_in_time(account: Account) -> bool:
    return all(row.met == row.due for row in account.service)


def lot_for_lot(workshop: Workshop, case: Case) -> Plan:
    """Each period's demand bought, poured and packed in that period."""
    just_in_time = draft(workshop)
    purchases = [
        Purchase(
            order=day,
            supplier=supplier_of(day),
            lines=(PurchaseLine(offer=f"base of day {day:02d}", packs=quantity),),
        )
        for day, quantity in enumerate(case.demand)
    ]
    days = [day for day, asked in enumerate(case.demand) for _ in range(asked // case.bars)]
    batches = [
        replace(batch, pour=day, unmould=day, pack=day)
        for batch, day in zip(just_in_time.batches, days, strict=True)
    ]
    return replace(just_in_time, batches=tuple(batches), purchases=tuple(purchases))


@pytest.mark.slow
@pytest.mark.parametrize("case", ALL)
def test_the_least_cost_is_found_and_proven(case: Case) -> None:
    plan, account = planned(case)
    money = money_stage(plan)
    assert all_orders_leave_in_time(account)
    assert textbook_cost(case, account.money.money) == case.least
    assert money.bound <= money.value
    assert textbook_cost(case, money.bound) == case.least
    assert money.status is Status.OPTIMAL


@pytest.mark.parametrize("case", ALL)
def test_freight_and_capital_are_the_two_halves_of_the_cost(case: Case) -> None:
    plan, account = planned(case)
    setups = sum(case.setups[day] for day, packs in enumerate(bought(plan, case)) if packs)
    stock = [
        come - gone
        for come, gone in zip(accumulate(bought(plan, case)), accumulate(case.demand), strict=True)
    ]
    assert account.money.freight == 1000 * setups
    assert account.money.capital == 1000 * case.holding * (sum(stock) + case.total)
    assert account.money.left_value == 0
    assert account.money.purchases == 1000 * PRICE * case.total


# Hopp and Spearman, Factory Physics, 2.3.3: 80, 130 and 90. No other plan is optimal (counted).
def test_the_plan_of_hopp_and_spearman() -> None:
    plan, _ = planned(HOPP_AND_SPEARMAN)
    assert bought(plan, HOPP_AND_SPEARMAN) == [80, 0, 0, 130, 0, 0, 0, 90, 0, 0]


# Wagner and Whitin 1958, their twelve months: the plan from memory. No other is optimal (counted).
def test_the_plan_of_wagner_and_whitin() -> None:
    plan, _ = planned(WAGNER_AND_WHITIN)
    assert bought(plan, WAGNER_AND_WHITIN) == [98, 0, 97, 0, 121, 0, 0, 112, 0, 67, 135, 0]


@pytest.mark.slow
# Hopp and Spearman, Factory Physics, 2.3.3: Z* of the first n weeks; from memory.
@pytest.mark.parametrize(
    ("weeks", "least"),
    [(1, 100), (2, 150), (3, 170), (4, 270), (5, 320), (6, 340), (7, 400), (8, 480), (9, 520)],
)
def test_the_least_cost_of_the_first_weeks(weeks: int, least: int) -> None:
    whole = HOPP_AND_SPEARMAN
    case = replace(whole, demand=whole.demand[:weeks], setups=whole.setups[:weeks])
    plan, account = planned(case)
    assert textbook_cost(case, account.money.money) == least
    assert money_stage(plan).status is Status.OPTIMAL


# Hopp and Spearman, Factory Physics, 2.3.3: lot for lot costs 1000.
def test_lot_for_lot_costs_what_the_book_says() -> None:
    workshop = workshop_of(HOPP_AND_SPEARMAN)
    account = replay(workshop, lot_for_lot(workshop, HOPP_AND_SPEARMAN))
    assert account.certified, account.broken
    assert textbook_cost(HOPP_AND_SPEARMAN, account.money.money) == 1000


@pytest.mark.slow
@pytest.mark.parametrize("case", [HOPP_AND_SPEARMAN, WAGNER_AND_WHITIN], ids=["HS", "WW"])
def test_the_money_stage_leaves_a_dear_plan_by_itself(case: Case) -> None:
    workshop = workshop_of(case)
    start = lot_for_lot(workshop, case)
    answer = Stages(workshop).money(start, LIMITS)
    account = replay(workshop, answer.plan)
    assert textbook_cost(case, replay(workshop, start).money.money) == sum(case.setups)
    assert account.certified, account.broken
    assert textbook_cost(case, account.money.money) == case.least
    assert answer.stage.value == answer.stage.bound == account.money.money


def wagner_whitin(demand: Sequence[int], setups: Sequence[int], holding: int) -> int:
    """Least cost by the recursion of Wagner and Whitin 1958, over the last period bought in.

    F(t) = min over j <= t of F(j - 1) + setup(j) + holding x sum of (k - j) x demand(k), k = j..t
    """
    least = [0]
    for end in range(len(demand)):
        least.append(
            min(
                least[first]
                + setups[first]
                + holding * sum((k - first) * demand[k] for k in range(first, end + 1))
                for first in range(end + 1)
            )
        )
    return least[-1]


# Wagner and Whitin 1958: their recursion on their own example.
def test_the_recursion_is_written_down_rightly() -> None:
    case = WAGNER_AND_WHITIN
    assert wagner_whitin(case.demand, case.setups, 1) == 864


@pytest.mark.slow
# Wagner and Whitin 1958: their recursion on cases drawn at random.
@pytest.mark.parametrize("seed", range(8))
def test_no_random_case_costs_more_than_by_recursion(seed: int) -> None:
    draw = Random(seed)
    periods = draw.randrange(4, 11)
    demand = tuple(draw.randrange(1, 30) for _ in range(periods))
    setups = tuple(draw.randrange(10, 120) for _ in range(periods))
    holding = draw.randrange(1, 4)
    case = Case(demand=demand, setups=setups, holding=Fraction(holding))
    plan, account = planned(case)
    least = wagner_whitin(demand, setups, holding)
    assert textbook_cost(case, account.money.money) == least
    assert textbook_cost(case, money_stage(plan).bound) == least


# Textbook rule of capacitated lot sizing: all demand can be met in time if and only if in every
# period the capacity so far is at least the demand so far; from memory.
@pytest.mark.parametrize(("less", "in_time"), [(0, True), (1, False)])
def test_capacity_so_far_must_reach_demand_so_far(less: int, in_time: bool) -> None:
    case = Case(demand=(5, 9, 4), setups=(10,) * 3, capacities=(10, 4 - less, 8))
    workshop = workshop_of(case)
    answer = Stages(workshop).service_with_purchases(Plan(), LIMITS)
    account = replay(workshop, answer.plan)
    assert account.certified, account.broken
    assert answer.stage.status is Status.OPTIMAL
    assert all_orders_leave_in_time(account) is in_time
