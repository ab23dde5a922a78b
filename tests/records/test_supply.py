"""Records of what is there and what is under way."""

from datetime import date
from decimal import Decimal

from planner.tables.rows import (
    ClosureRow,
    InProgressRow,
    StockRow,
    Tables,
)
from planner.tables.values import (
    OrderStatus,
    StockStatus,
)
from planner.workshop import (
    Lot,
    Underway,
)
from tests.checks.good import GOOD, TODAY, added, changed
from tests.records.built import built


def lots(tables: Tables = GOOD) -> dict[str, Lot]:
    return {lot.lot: lot for lot in built(tables).lots}


def test_lots_on_hand() -> None:
    assert lots()["W1"] == Lot(
        item="wax",
        lot="W1",
        amount=10_000_000,
        use_by=(date(2028, 3, 1) - TODAY).days,
        supplier="Mill",
    )
    assert lots()["M1"].amount == 40, "bars"
    assert lots()["B1"].use_by is None


def test_quarantine_ends_after_its_receive_days() -> None:
    # Received on Monday, day 0; the next working day is Wednesday.
    assert lots()["P1"].usable == 2
    assert lots(changed("stock", 1, received=None))["P1"].usable == 2
    assert lots(changed("stock", 1, received=date(2026, 8, 26)))["P1"].usable == 0
    assert lots(changed("stock", 1, received=date(2026, 8, 27)))["P1"].usable == 2
    assert lots(changed("stock", 1, received=date(2010, 1, 1)))["P1"].usable == 0
    assert lots(changed("stock", 1, item="glycerin"))["P1"].usable == 0
    assert lots(changed("stock", 1, item="mint"))["P1"].usable == 2, "as in the table workshop"


def test_blocked_and_empty_lots() -> None:
    workshop = built(changed("stock", 0, status=StockStatus.BLOCKED))
    assert [lot.lot for lot in workshop.blocked] == ["W1"]
    assert [lot.lot for lot in workshop.lots] == ["P1", "M1", "B1", "G1"]
    assert "B1" not in lots(changed("stock", 3, quantity=Decimal(0)))


def test_a_lot_past_its_use_by_date_is_kept_to_be_wasted() -> None:
    assert lots(changed("stock", 0, use_by=date(2026, 8, 30)))["W1"].use_by == -1


def test_open_orders() -> None:
    (receipt,) = built().receipts
    assert receipt.amount == 25_000_000
    # Expected on Friday 4 September: arrives on Monday, released on Saturday 12 September, as
    # Wednesday 9 September is a closure.
    assert (receipt.expected, receipt.arrive, receipt.usable) == (4, 7, 12)
    assert receipt.confirmed


def test_an_overdue_order_arrives_on_the_first_day() -> None:
    tables = changed("open_orders", 0, expected=date(2026, 8, 22), status=OrderStatus.UNCONFIRMED)
    (receipt,) = built(tables).receipts
    assert (receipt.expected, receipt.arrive, receipt.usable) == (-9, 0, 2)
    assert not receipt.confirmed


def test_an_open_order_far_beyond_the_plan_has_its_days() -> None:
    (receipt,) = built(changed("open_orders", 0, expected=date(2027, 8, 31))).receipts
    assert (receipt.arrive, receipt.usable) == (366, 371), "Wednesday 1 and Monday 6 September"


def test_a_stock_row_without_a_unit_is_in_the_item_s_own() -> None:
    row = StockRow(item="toner", lot="T", quantity=Decimal("1.5"))
    assert lots(added("stock", row))["T"].amount == 1500


# Under way


def underway(tables: Tables = GOOD) -> dict[str, Underway]:
    return {one.lot: one for one in built(tables).underway}


def test_batches_under_way() -> None:
    assert underway()["M2"] == Underway(
        lot="M2", product="mint", bars=96, pour=-7, unmould=-6, in_mould=False
    )
    assert underway()["M3"] == Underway(
        lot="M3", product="mint", bars=48, pour=-1, unmould=0, in_mould=True
    )


def test_a_batch_in_its_moulds_leaves_them_on_a_working_day_that_is_not_past() -> None:
    assert underway(changed("products", 0, set_days=2))["M3"].unmould == 2, "1 is a Tuesday"
    long_ago = changed("in_progress", 1, poured=date(2026, 7, 1))
    assert underway(long_ago)["M3"].unmould == 0
    closed = ClosureRow(who="workshop", first_day=TODAY, last_day=TODAY)
    assert underway(added("closures", closed, long_ago))["M3"].unmould == 2


def test_a_batch_without_a_night_in_the_mould_is_out_of_it() -> None:
    batch = InProgressRow(lot="R1", product="rose", bars=24, poured=date(2026, 8, 29))
    assert underway(added("in_progress", batch))["R1"] == Underway(
        lot="R1", product="rose", bars=24, pour=-2, unmould=-2, in_mould=False
    )


def test_a_preparation_under_way_is_a_lot() -> None:
    assert lots()["G1"] == Lot(item="glycerite", lot="G1", amount=700_000, usable=3, use_by=189)
    ready = changed("in_progress", 2, poured=date(2026, 8, 1))
    assert lots(ready)["G1"].usable == 0
    for_ever = changed("preparations", 0, shelf_life_days=None)
    assert lots(for_ever)["G1"].use_by is None
