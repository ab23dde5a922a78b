from dataclasses import replace

from planner.draft.choice import Choice, bars_by_product, drop_idle_lots, judged, without_idle
from planner.draft.ranking import due_day
from planner.draft.schedule import Pass, Start, start_of
from planner.draft.writing import lots_of
from planner.workshop import DemandKind, Lot, Workshop
from tests.draft.pieces import free_amounts, rooms, span
from tests.draft.test_preparing import preparation, workshop_with
from tests.workshop_parts import demand_row
from tests.workshops import random_workshop, tiny

BAR = tiny().products["bar"]
ORDER = demand_row(BAR, DemandKind.ORDER, 25, 28)


def one_pass(workshop: Workshop) -> tuple[Start, Choice]:
    start = start_of(workshop)
    return start, judged(start, Pass(start).run(due_day))


def test_the_bars_are_those_in_stock_and_those_of_the_batches() -> None:
    stock = Lot(item="bar", lot="old", amount=3, use_by=20)
    start, choice = one_pass(tiny(lots=(*tiny().lots, stock)))
    # packed on days 9 and 23; see the tiny plan by hand
    bars = bars_by_product(start, choice.schedule)["bar"]
    assert bars[0] == span(0, 20, 3)
    assert {one.first for one in bars[1:]} == {placed.pack + 1 for placed in choice.schedule.placed}
    assert all((one.last, one.amount) == (29, 10) for one in bars[1:])


def test_a_batch_without_which_nothing_more_is_lost_is_dropped() -> None:
    # no plan can serve the 25 bars of the order, so no batch is of use
    start, choice = one_pass(tiny(demand=(ORDER,), offers={}))
    assert choice.schedule.placed
    lean = without_idle(start, choice)
    assert lean.schedule.placed == ()
    assert lean.sold.promises[ORDER.id] is None


def test_a_batch_that_serves_is_kept() -> None:
    start, choice = one_pass(tiny())
    assert len(choice.schedule.placed) == 2
    assert without_idle(start, choice).schedule.placed == choice.schedule.placed


def test_a_dropped_batch_takes_its_preparations_with_it() -> None:
    workshop = workshop_with(preparation("oil", "plant", 3)).changed(demand=(ORDER,), offers={})
    start, choice = one_pass(workshop)
    assert lots_of(choice.schedule)
    lean = without_idle(start, choice)
    assert lean.schedule.placed == ()
    assert lots_of(lean.schedule) == ()
    kept = workshop.changed(demand=(replace(ORDER, quantity=10),))
    assert lots_of(without_idle(*one_pass(kept)).schedule)


def test_a_preparation_of_a_preparation_is_dropped_with_it() -> None:
    first = preparation("oil", "leaf", 3)
    workshop = workshop_with(first, preparation("leaf", "plant", 1)).changed(
        demand=(ORDER,), offers={}
    )
    start, choice = one_pass(workshop)
    assert [lot.preparation for lot in lots_of(choice.schedule)] == ["leaf", "oil"]
    assert lots_of(without_idle(start, choice).schedule) == ()


def test_lots_in_use_are_not_dropped() -> None:
    _, choice = one_pass(workshop_with(preparation("oil", "plant", 3)))
    lots = lots_of(choice.schedule)
    drop_idle_lots(choice.schedule)
    assert lots_of(choice.schedule) == lots != ()


def test_what_is_dropped_gives_back_all_that_it_took() -> None:
    start, choice = one_pass(tiny(demand=(ORDER,), offers={}))
    bench = without_idle(start, choice).schedule.bench
    assert free_amounts(bench) == free_amounts(start.bench)
    assert rooms(bench) == rooms(start.bench)


def test_the_schedule_itself_stays_as_it_was() -> None:
    """A search goes on from it."""
    start, choice = one_pass(tiny(demand=(ORDER,), offers={}))
    before = rooms(choice.schedule.bench)
    without_idle(start, choice)
    assert choice.schedule.placed
    assert rooms(choice.schedule.bench) == before


def test_to_drop_what_is_idle_never_loses_more() -> None:
    for seed in range(3):
        start, choice = one_pass(random_workshop(seed, products=4, days=75, bottleneck="trays"))
        assert without_idle(start, choice).sold.loss <= choice.sold.loss
