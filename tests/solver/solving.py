"""Small solves for tests: one worker, a fixed seed, the optimum proven or the test fails."""

from dataclasses import replace

from planner.account import Account
from planner.draft.draft import draft
from planner.plan import Plan, Status
from planner.replay import replay
from planner.solver.stages import Answer, Limits, Stages
from planner.workshop import Product, Workshop
from tests.solver.rows import refused_by, settled
from tests.workshop_parts import values_of
from tests.workshops import tiny

LIMITS = Limits(work=10, seconds=60, seed=1, workers=1)

LATE_DAY = 200_000
"""A day's lateness of an order for ten bars of 10.00: 2 % of 100.00, in thousandths of a cent."""

BAR = 1_000_000
"""A bar of 10.00 that the shop could not sell."""


def every_day(**changes: object) -> Workshop:
    """The tiny workshop with work on all of its 20 days and base for ten batches."""
    lot = replace(tiny().lots[0], amount=10_000_000)
    days = 20
    fields: dict[str, object] = {
        "days": days,
        "minutes": (480,) * days,
        "lots": (lot,),
        "offers": {},
        "demand": (),
    }
    return valued(tiny(**{**fields, **changes}))


def bar(**changes: object) -> Product:
    """The tiny workshop's product, changed."""
    return replace(tiny().products["bar"], **changes)  # type: ignore[arg-type]


def valued(workshop: Workshop) -> Workshop:
    """The workshop with the values that follow from its offers."""
    return replace(workshop, values=values_of(workshop))


def _proven(workshop: Workshop, answer: Answer) -> Account:
    account = replay(workshop, settled(workshop, answer.plan))
    assert account.certified, account.broken
    assert answer.stage.status is Status.OPTIMAL
    return account


def least_loss(workshop: Workshop) -> int:
    """The proven service optimum, which the replay of its plan confirms."""
    answer = Stages(workshop).service_with_purchases(settled(workshop, draft(workshop)), LIMITS)
    account = _proven(workshop, answer)
    assert account.money.service == answer.stage.value == answer.stage.bound
    return answer.stage.value


def least_cost(workshop: Workshop) -> Account:
    """The account of a plan of proven least money among those that lose least."""
    stages = Stages(workshop)
    start = stages.service_with_purchases(settled(workshop, draft(workshop)), LIMITS).plan
    answer = stages.money(settled(workshop, start), LIMITS)
    account = _proven(workshop, answer)
    assert abs(account.money.money - answer.stage.value) <= rounding(workshop)
    return account


def rounding(workshop: Workshop) -> int:
    """Thousandths that rounding each coefficient of the money goal can come to here."""
    return 10 * workshop.days


def allows(workshop: Workshop, plan: Plan) -> bool:
    """True if the model allows a plan just as it stands, its promises settled."""
    return refusals(workshop, plan) == set()


def refusals(workshop: Workshop, plan: Plan) -> set[str]:
    """What refuses a plan: the names of rows and variables, without their days."""
    rows = refused_by(workshop, settled(workshop, plan))
    return {row.split("[")[0] for row in rows}
