from planner.draft.shelves import Shelf
from tests.draft.pieces import span


def test_uses_take_the_lot_that_expires_first_until_one_falls_short() -> None:
    shelf = Shelf("base", {1: 4, 3: 4, 6: 4}, [span(0, 9, 5), span(0, 3, 4)], 10)
    short = shelf.run()
    assert short is not None
    # day 1 empties the lot of day 3, day 3 takes 4 of the other, day 6 finds 1
    assert (short.day, short.missing, short.hard) == (6, 3, True)
    shelf.add(span(6, 9, 3))
    assert shelf.run() is None
    assert shelf.left_to_spoil() == 0


def test_what_expires_unused_is_counted() -> None:
    shelf = Shelf("base", {5: 1}, [span(0, 3, 4), span(0, 9, 5)], 10)
    assert shelf.run() is None
    assert shelf.left_to_spoil() == 4


def test_safety_stock_is_a_wish_that_reports_what_is_missing_to_it() -> None:
    shelf = Shelf("base", {1: 4, 3: 4}, [span(0, 9, 10)], 10, safety_stock=5)
    short = shelf.run(wish=5)
    assert short is not None
    assert (short.day, short.missing, short.hard) == (3, 3, False)
    assert shelf.run(wish=5) is None


def test_wanted_is_what_uses_take_beyond_the_lots_there_are_by_then() -> None:
    shelf = Shelf("base", {1: 4, 3: 4, 6: 4}, [span(0, 9, 2), span(5, 9, 1)], 10)
    short = shelf.run()
    assert short is not None
    assert short.missing == 2
    assert [shelf.wanted(day) for day in (1, 3, 6, 9)] == [2, 6, 9, 9]


def test_what_is_worth_having_and_not_used_is_worth_keeping() -> None:
    shelf = Shelf("base", {1: 4, 3: 4}, [span(0, 9, 30)], 10, worth_having=21)
    assert shelf.run() is None
    assert shelf.worth_keeping() == 13
    assert shelf.worthless() == 30 - 8 - 13
    assert shelf.surplus(0) == 0
    assert Shelf("base", {1: 4}, [], 10, worth_having=8).surplus(4) == 4
    assert Shelf("base", {1: 4}, [], 10, worth_having=3).worth_keeping() == 0


def test_uses_before_can_leave_their_lot_to_a_use_that_nothing_else_serves() -> None:
    # day 2 took the lot that day 8 needs; an order for day 2 would help
    shelf = Shelf("base", {2: 5, 8: 5}, [span(0, 9, 5)], 10)
    short = shelf.run()
    assert short is not None
    assert short.day == 8
    assert shelf.exchangeable(8) == [8, 2]
    shelf.add_anew([span(0, 4, 5)])
    assert shelf.run() is None
