"""An account with one batch more, from books of ten days made by hand."""

from planner.account import Flow, Load
from planner.causes.adding import Arrival, Need, Pour, Taking, Use, with_batch
from planner.recipes import recipe_of
from tests.accounts import account, purchase
from tests.workshops import tiny


def load(kind: str, name: str, *used: int) -> Load:
    return Load(kind=kind, name=name, unit="x", used=used, capacity=(10,) * len(used))


def poured(taking: Taking) -> Pour:
    return Pour(recipe=recipe_of(tiny(), "bar", 10), pour=1, unmould=2, pack=4, taking=taking)


def flow_with(flow: Flow, *uses: Use, arrivals: tuple[Arrival, ...] = ()) -> Flow:
    """The flow of base once a batch takes some of it."""
    facts = account(flows={"base": flow})
    return with_batch(facts, poured(Taking(uses=uses)), Taking(arrivals=arrivals)).flows["base"]


def test_what_a_batch_holds_is_in_use_on_its_days() -> None:
    facts = account(loads=(load("tray", "rack", 1, 1, 1, 1), load("tray", "shelf", 0, 0, 0, 0)))
    needs = (Need("tray", "rack", range(1, 3), 2), Need("tray", "rack", range(2, 4), 3))
    rack, shelf = with_batch(facts, poured(Taking(needs=needs)), Taking()).loads
    assert rack.used == (1, 3, 6, 4)
    assert rack.capacity == (10, 10, 10, 10)
    assert shelf.used == (0, 0, 0, 0)


def test_what_is_taken_is_missing_from_then_on() -> None:
    flow = Flow(arrived=(0,) * 4, used=(0, 2, 0, 0), wasted=(0,) * 4, on_hand=(9, 7, 7, 7))
    less = flow_with(flow, Use("base", 3, 1))
    assert (less.used, less.on_hand) == ((0, 5, 0, 0), (9, 4, 4, 4))


def test_what_would_spoil_is_taken_first() -> None:
    flow = Flow(arrived=(0,) * 4, used=(0,) * 4, wasted=(0, 1, 2, 4), on_hand=(8, 7, 5, 1))
    less = flow_with(flow, Use("base", 3, 1))
    # what spoils on the day itself is no help; on day 2 the taken 3 are 2 that would have spoiled
    assert less.wasted == (0, 1, 0, 3)
    assert less.on_hand == (8, 4, 4, 1)


def test_what_is_got_for_it_arrives_before_it_is_taken() -> None:
    flow = Flow(arrived=(0,) * 4, used=(0,) * 4, wasted=(0,) * 4, on_hand=(0, 0, 0, 0))
    more = flow_with(flow, Use("base", 3, 2), arrivals=(Arrival("base", 5, 1),))
    assert (more.arrived, more.used) == ((0, 5, 0, 0), (0, 0, 3, 0))
    assert more.on_hand == (0, 5, 2, 2)


def test_the_batch_and_its_orders_are_counted() -> None:
    facts = account(purchases=(purchase(0),))
    added = with_batch(facts, poured(Taking()), Taking(purchases=(purchase(3),)))
    assert [(each.product, each.pour, each.good) for each in added.batches] == [("bar", 1, 10)]
    assert not added.batches[0].in_progress
    assert [each.order for each in added.purchases] == [0, 3]
