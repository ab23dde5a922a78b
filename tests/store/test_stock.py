import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.store import Store, open_store
from planner.tables.rows import StockRow
from planner.tables.values import StockStatus
from planner.workshop import Unit
from tests.store.samples import DAY, TABLES, filled, with_stock

LATER = date(2026, 9, 7)
FLAKES = StockRow(item="flakes", lot="F-1", quantity=Decimal("9.60"), unit="kg")
BARS = StockRow(item="oat bar", lot="O-1", quantity=Decimal(40))


def movements(store: Store) -> list[tuple[object, ...]]:
    """Day, item, lot, quantity, unit, kind and note of each movement, as they were added."""
    return list(
        store._database.execute(
            "SELECT day, item, lot, quantity, unit, kind, note FROM movements ORDER BY id"
        )
    )


@pytest.fixture
def store(tmp_path: Path):  # type: ignore[no-untyped-def]
    with open_store(tmp_path / "workshop.db", create=True) as opened:
        yield opened


def test_stock_enters_as_opening_movements(store: Store) -> None:
    assert store.load(with_stock(FLAKES, BARS), DAY).movements == 2
    assert movements(store) == [
        ("2026-08-31", "flakes", "F-1", "9.60", "kg", "opening", ""),
        ("2026-08-31", "oat bar", "O-1", "40", "ea", "opening", ""),
    ]


def test_a_second_count_adds_the_difference_only(store: Store) -> None:
    store.load(with_stock(FLAKES, BARS), DAY)
    counted = replace(FLAKES, quantity=Decimal("7.35"))
    assert store.load(with_stock(counted, BARS), LATER).movements == 1
    assert movements(store)[2:] == [("2026-09-07", "flakes", "F-1", "-2.25", "kg", "recount", "")]
    assert store.tables().stock == (counted, BARS)


def test_a_lot_no_longer_listed_goes_to_nothing_and_may_come_back(store: Store) -> None:
    store.load(with_stock(FLAKES, BARS), DAY)
    assert store.load(with_stock(BARS), LATER).movements == 1
    assert store.tables().stock == (BARS,)
    assert store.load(with_stock(BARS), LATER).movements == 0
    assert store.load(with_stock(FLAKES, BARS), LATER).movements == 1
    assert store.tables().stock == (FLAKES, BARS)
    assert [row[3:] for row in movements(store) if row[1] == "flakes"] == [
        ("9.60", "kg", "opening", ""),
        ("-9.60", "kg", "recount", "no longer in the table of stock"),
        ("9.60", "kg", "recount", ""),
    ]


def test_a_lot_of_an_item_that_is_gone_stays_known(store: Store) -> None:
    store.load(with_stock(FLAKES, BARS), DAY)
    without = replace(
        with_stock(FLAKES),
        products=TABLES.products[:1],
        batch_sizes=TABLES.batch_sizes[:1],
        formulas=TABLES.formulas[:2],
        demand=TABLES.demand[:1],
        sales=(),
    )
    store.load(without, LATER)
    assert store.tables() == without
    lots = list(store._database.execute("SELECT item, lot FROM lots ORDER BY item"))
    assert lots == [("flakes", "F-1"), ("oat bar", "O-1")]


def test_a_lot_counted_in_another_unit_leaves_the_first_one(store: Store) -> None:
    store.load(with_stock(FLAKES), DAY)
    counted = replace(FLAKES, quantity=Decimal(9600), unit="g")
    assert store.load(with_stock(counted), LATER).movements == 2
    assert [row[3:6] for row in movements(store)] == [
        ("9.60", "kg", "opening"),
        ("-9.60", "kg", "recount"),
        ("9600", "g", "recount"),
    ]
    assert store.tables().stock == (counted,)


def test_a_blank_unit_is_the_items_own_also_when_that_changes(store: Store) -> None:
    plain = StockRow(item="flakes", lot="F-2", quantity=Decimal(5))
    store.load(with_stock(plain), DAY)
    in_ml = replace(TABLES.materials[1], unit=Unit.MILLILITRE, density_g_per_ml=Decimal(1))
    changed = replace(
        with_stock(plain), materials=(TABLES.materials[0], in_ml, TABLES.materials[2])
    )
    assert store.load(changed, LATER).movements == 2
    assert [row[3:6] for row in movements(store)] == [
        ("5", "g", "opening"),
        ("-5", "g", "recount"),
        ("5", "ml", "recount"),
    ]
    assert store.tables() == changed


def test_what_is_said_of_a_lot_follows_the_last_table(store: Store) -> None:
    store.load(with_stock(FLAKES), DAY)
    blocked = replace(
        FLAKES, status=StockStatus.BLOCKED, use_by=date(2027, 1, 31), supplier_lot="77"
    )
    assert store.load(with_stock(blocked), LATER).movements == 0
    assert store.tables().stock == (blocked,)


COUNTS = st.lists(
    st.dictionaries(
        st.sampled_from(["F-1", "F-2", "F-3"]),
        st.tuples(
            st.decimals(min_value=0, max_value=999_999_999, allow_nan=False, places=None),
            st.sampled_from(["kg", "g", "oz", None]),
        ),
    ),
    min_size=1,
    max_size=4,
)


@pytest.mark.slow
@settings(max_examples=25, deadline=None)
@given(counts=COUNTS)
def test_on_hand_is_always_what_was_counted_last(
    counts: list[dict[str, tuple[Decimal, str | None]]],
) -> None:
    with TemporaryDirectory() as folder, open_store(Path(folder, "w.db"), create=True) as store:
        for count in counts:
            rows = tuple(
                StockRow(item="flakes", lot=lot, quantity=quantity, unit=unit)
                for lot, (quantity, unit) in count.items()
            )
            store.load(with_stock(*rows), DAY)
            assert store.tables().stock == rows
            before = movements(store)
            assert store.load(with_stock(*rows), LATER).movements == 0
            assert movements(store) == before


@pytest.mark.slow
@pytest.mark.parametrize(
    "attack",
    [
        "UPDATE movements SET quantity = '10'",
        "UPDATE movements SET note = 'hm' WHERE id = 1",
        "DELETE FROM movements",
        "DELETE FROM movements WHERE id = 2",
        "INSERT OR REPLACE INTO movements SELECT * FROM movements WHERE id = 1",
        "REPLACE INTO movements SELECT id, day, item, lot, '1', unit, kind, note, recorded "
        "FROM movements",
        "DELETE FROM lots",
        "UPDATE lots SET lot = 'other'",
    ],
)
def test_movements_and_their_lots_are_never_changed_or_removed(tmp_path: Path, attack: str) -> None:
    path = filled(tmp_path / "workshop.db")
    with closing(sqlite3.connect(path)) as connection:  # any program, with its own settings
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("DELETE FROM stock")  # what lists the lots may go, what they hold not
        with pytest.raises(sqlite3.IntegrityError, match=r"movement is never|FOREIGN KEY"):
            connection.execute(attack)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("day", "2026-02-30"),
        ("day", "yesterday"),
        ("lot", "F-9"),
        ("quantity", "0"),
        ("quantity", "0.00"),
        ("quantity", "1e3"),
        ("quantity", "1,5"),
        ("quantity", "--1"),
        ("quantity", ""),
        ("quantity", None),
        ("unit", ""),
        ("unit", None),
        ("kind", "theft"),
        ("recorded", "2026-08-31"),
        ("recorded", "2026-08-31 07:15:00"),
    ],
)
def test_a_movement_that_makes_no_sense_is_refused(
    tmp_path: Path, column: str, value: str | None
) -> None:
    good = {
        "day": "2026-09-01",
        "item": "flakes",
        "lot": "F-1",
        "quantity": "-0.25",
        "unit": "kg",
        "kind": "recount",
        "note": "",
        "recorded": "2026-09-01T07:15:00Z",
    }
    insert = (
        f"INSERT INTO movements ({', '.join(good)}) "
        f"VALUES ({', '.join(':' + name for name in good)})"
    )
    with closing(sqlite3.connect(filled(tmp_path / "workshop.db"))) as connection:
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute(insert, good)
        with pytest.raises(sqlite3.IntegrityError):
            connection.execute(insert, good | {column: value})
