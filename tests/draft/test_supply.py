from collections import Counter

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.draft.daysets import days_with
from planner.draft.offers import Span
from planner.draft.supply import BOUNDLESS, Store, increments, pantry_of
from planner.workshop import Lot, Receipt
from tests.draft.pieces import offer, selling, serves, span
from tests.workshops import tiny

DAYS = 8
SPANS = st.lists(
    st.tuples(st.integers(0, DAYS - 1), st.integers(0, DAYS - 1), st.integers(1, 6)), max_size=4
)
USES = st.dictionaries(st.integers(0, DAYS - 1), st.integers(1, 4), max_size=4)


def store(spans: list[Span], days: int = DAYS) -> Store:
    return Store(days, spans, np.zeros(days, np.bool_))


def test_a_later_use_leaves_only_what_it_does_not_need() -> None:
    shelf = store([span(0, 7, 10), span(5, 7, 10)])
    shelf.use(6, 12)
    # the lot of day 5 serves 10 of the 12; day 0 may have all but 2 of the first lot
    assert shelf.room().tolist() == [8] * 8


def test_room_counts_only_lots_that_are_usable_and_not_expired() -> None:
    assert store([span(2, 4, 7)]).room().tolist() == [0, 0, 7, 7, 7, 0, 0, 0]


def test_a_day_on_which_anything_can_be_bought_has_boundless_room() -> None:
    shelf = Store(4, [], np.array([False, False, True, True]))
    assert not shelf.use(3, 1000)
    assert shelf.room().tolist() == [0, 0, BOUNDLESS, BOUNDLESS]


@settings(max_examples=50, deadline=None)
@given(SPANS, USES)
def test_room_is_the_most_that_first_expired_first_used_can_still_serve(
    drawn: list[tuple[int, int, int]], uses: dict[int, int]
) -> None:
    spans = [span(min(a, b), max(a, b), amount) for a, b, amount in drawn]
    if not serves(DAYS, spans, uses):
        uses = {}
    shelf = store(spans)
    for day, amount in uses.items():
        shelf.use(day, amount)
    for day, room in enumerate(shelf.room().tolist()):
        more = {**uses, day: uses.get(day, 0) + room}
        assert serves(DAYS, spans, more)
        assert not serves(DAYS, spans, {**more, day: more[day] + 1})


@settings(max_examples=30, deadline=None)
@given(SPANS, USES)
def test_room_is_negative_exactly_where_uses_fail(
    drawn: list[tuple[int, int, int]], uses: dict[int, int]
) -> None:
    spans = [span(min(a, b), max(a, b), amount) for a, b, amount in drawn]
    shelf = store(spans)
    for day, amount in uses.items():
        shelf.use(day, amount)
    assert bool((shelf.room() < 0).any()) is not serves(DAYS, spans, uses)


def test_a_lot_taken_away_again_leaves_no_trace() -> None:
    shelf = store([span(0, 7, 3)])
    before = shelf.room().tolist()
    shelf.add(span(2, 5, 9))
    assert shelf.room().tolist() != before
    shelf.remove(span(2, 5, 9))
    assert shelf.room().tolist() == before
    assert shelf.balance() == 3


def test_a_copy_changes_by_itself() -> None:
    shelf = store([span(0, 7, 3)])
    twin = shelf.copy()
    twin.use(0, 2)
    twin.add(span(0, 7, 1))
    assert shelf.room().tolist() == [3] * 8
    assert twin.room().tolist() == [2] * 8


def test_pantry_holds_stock_receipts_and_orders_that_can_still_be_placed() -> None:
    workshop = tiny(
        lots=(Lot(item="base", lot="a", amount=5, use_by=1),),
        receipts=(
            Receipt(
                reference="r",
                supplier="shop",
                material="base",
                amount=7,
                expected=0,
                arrive=0,
                usable=1,
            ),
        ),
    )
    rooms = pantry_of(workshop).room(0).tolist()
    # an order of day 0 is usable on day 2; from then on there is no limit
    assert rooms == [5, 12, *[BOUNDLESS] * 28]


def test_packs_with_a_limit_add_up_over_order_days() -> None:
    few = offer("few", 100, 500, max_packs=2)
    rooms = pantry_of(selling(few)).room(0).tolist()
    assert rooms[:5] == [0, 0, 200, 400, 600]


def test_increments_undo_a_running_total() -> None:
    assert increments(np.cumsum([3, 0, -1, 4])).tolist() == [3, 0, -1, 4]


@given(
    steps=st.lists(
        st.tuples(
            st.sampled_from(("use", "add", "remove")), st.integers(0, 29), st.integers(-9, 9)
        ),
        max_size=12,
    )
)
def test_what_the_pantry_remembers_is_what_its_stores_say(
    steps: list[tuple[str, int, int]],
) -> None:
    """After each use, each lot more and each lot less; also for a copy that goes on by itself.

    No more is given back on a day than was used on it.
    """
    few = offer("few", 100, 500, max_packs=1)
    pantry = pantry_of(selling(few))
    used: Counter[int] = Counter()
    added: list[Span] = []
    for step, day, amount in steps:
        twin = pantry.copy()
        twin.use(0, 3, 1)
        if step == "use":
            amount = max(amount, -used[day])
            used[day] += amount
            pantry.use(0, day, 10 * amount)
        elif step == "add":
            added.append(span(day, 29, abs(amount)))
            pantry.add(0, added[-1])
        elif added:
            pantry.remove(0, added.pop())
        for each in (pantry, twin):
            room = each.stores[0].room()
            for wanted in (-5, 0, 1, 60):
                assert each.enough(0, wanted) == days_with(room >= wanted)
            assert each.serves_all(0) is bool((room >= 0).all())
            assert [each.serves(0, d) for d in range(30)] == (room >= 0).tolist()
            assert each.room(0).tolist() == room.tolist()
