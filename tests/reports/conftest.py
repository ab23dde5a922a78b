"""The small workshop of `shop` with its plan carried out, ready for every report."""

import pytest

from planner.causes import shortfalls
from planner.replay import replay
from reports.view import View
from tests.reports import shop


@pytest.fixture(scope="session")
def view() -> View:
    """The hand-made plan, certified."""
    workshop, plan = shop.shop(), shop.plan()
    account = replay(workshop, plan)
    assert account.certified
    return View(
        workshop=workshop,
        plan=plan,
        account=account,
        shortfalls=shortfalls(workshop, plan, account),
    )
