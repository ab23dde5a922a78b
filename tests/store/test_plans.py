import sqlite3
from contextlib import closing
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.errors import PlanBroken, StoreError
from planner.plan import (
    Batch,
    Plan,
    PreparationLot,
    Promise,
    Purchase,
    PurchaseLine,
    Stage,
    Status,
)
from planner.store import PlanRecord, StaleReason, Store, is_stale, open_store, stale_reasons
from planner.store.plans import plan_from_text, plan_to_text
from tests.store.samples import DAY, filled

DIGEST = "0123456789abcdef" * 4
PLAN = Plan(
    batches=(
        Batch(pour=-3, product="kelp bar", bars=48, unmould=-2, pack=None, lot="K-1"),
        Batch(pour=4, product="oat bar", bars=96, unmould=4, pack=9),
    ),
    preparations=(PreparationLot(make=2, preparation="kelp glycerite"),),
    purchases=(
        Purchase(
            order=1,
            supplier="Ferrane",
            lines=(PurchaseLine(offer="flakes 25 kg", packs=2), PurchaseLine(offer="x", packs=1)),
        ),
    ),
    promises=(Promise(demand="kelp line", day=42),),
    stages=(
        Stage(goal="service", value=777, bound=209, seconds=0.1 + 0.2, status=Status.FEASIBLE),
    ),
)


@pytest.fixture
def store(tmp_path: Path):  # type: ignore[no-untyped-def]
    with open_store(filled(tmp_path / "workshop.db")) as opened:
        yield opened


def save(store: Store, plan: Plan = PLAN, certified: bool = True) -> PlanRecord:
    return store.save_plan(
        plan,
        first_day=DAY,
        digest=DIGEST,
        solver_version="9.15.6755",
        seed=7,
        settings={"workers": 1, "seconds": 30.5, "mode": "repeat", "limit": None, "calm": True},
        certified=certified,
    )


def test_no_plan_is_kept_at_first(store: Store) -> None:
    assert store.latest_plan() is None


def test_a_kept_plan_comes_back_with_all_that_it_was_made_from(store: Store) -> None:
    before = datetime.now(UTC).replace(microsecond=0)
    saved = save(store)
    assert before <= saved.created <= datetime.now(UTC)
    with open_store(store.path) as reopened:
        read = reopened.latest_plan()
    assert read == saved
    assert read == PlanRecord(
        number=1,
        created=saved.created,
        first_day=DAY,
        digest=DIGEST,
        solver_version="9.15.6755",
        seed=7,
        settings={"workers": 1, "seconds": 30.5, "mode": "repeat", "limit": None, "calm": True},
        certified=True,
        plan=PLAN,
    )
    assert read.plan.batches[0].in_progress
    assert read.plan.status is Status.FEASIBLE
    assert read.plan.stages[0].status is Status.FEASIBLE


def test_the_latest_plan_is_the_one_kept_last(store: Store) -> None:
    save(store)
    second = save(store, Plan())
    assert store.latest_plan() == second
    assert second.number == 2


def test_a_load_leaves_the_kept_plans(store: Store) -> None:
    saved = save(store)
    store.load(store.tables(), DAY)
    assert store.latest_plan() == saved


def test_a_plan_that_broke_a_rule_is_not_kept(store: Store) -> None:
    with pytest.raises(PlanBroken, match="not kept"):
        save(store, certified=False)
    assert store.latest_plan() is None


@settings(max_examples=50, deadline=None)
@given(
    plan=st.builds(
        Plan,
        stages=st.lists(
            st.builds(Stage, seconds=st.floats(min_value=0, allow_infinity=False, allow_nan=False)),
            max_size=3,
        ).map(tuple),
    )
)
def test_every_plan_is_restored_exactly(plan: Plan) -> None:
    assert plan_from_text(plan_to_text(plan)) == plan


@pytest.mark.parametrize("text", ["", "{}", "[]", '{"batches": [{"bars": 1}]}', "null"])
def test_text_that_is_no_plan_is_refused(text: str) -> None:
    with pytest.raises(StoreError, match=r"cannot be read .* Make a new one"):
        plan_from_text(text)


@pytest.mark.parametrize(
    ("digest", "today", "reasons"),
    [
        (DIGEST, DAY, ()),
        (DIGEST, date(2026, 8, 30), ()),  # a plan made for tomorrow
        (DIGEST, date(2026, 9, 1), (StaleReason.DAY_PASSED,)),
        ("f" * 64, DAY, (StaleReason.TABLES_CHANGED,)),
        ("f" * 64, date(2026, 9, 1), (StaleReason.TABLES_CHANGED, StaleReason.DAY_PASSED)),
    ],
)
def test_a_plan_is_stale_once_its_tables_or_its_day_have_gone(
    store: Store, digest: str, today: date, reasons: tuple[StaleReason, ...]
) -> None:
    record = save(store)
    assert stale_reasons(record, digest, today) == reasons
    assert is_stale(record, digest, today) == bool(reasons)


@pytest.mark.parametrize(
    "attack",
    [
        "UPDATE plans SET seed = 8",
        "DELETE FROM plans",
        "INSERT OR REPLACE INTO plans SELECT * FROM plans",
    ],
)
def test_kept_plans_are_never_changed_or_removed(store: Store, attack: str) -> None:
    save(store)
    with (
        closing(sqlite3.connect(store.path)) as connection,
        pytest.raises(sqlite3.IntegrityError, match="a kept plan is never"),
    ):
        connection.execute(attack)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("created", "yesterday"),
        ("first_day", "2026-13-01"),
        ("digest", "0" * 63),
        ("digest", "G" * 64),
        ("solver_version", ""),
        ("seed", "many"),
        ("settings", "[]"),
        ("settings", "{"),
        ("certified", 0),
        ("plan", "[]"),
        ("plan", None),
    ],
)
def test_a_record_that_makes_no_sense_is_refused(store: Store, column: str, value: object) -> None:
    save(store)
    row = next(store._database.query("SELECT * FROM plans")) | {"id": None}
    with closing(sqlite3.connect(store.path)) as connection:
        insert = f"INSERT INTO plans VALUES ({', '.join(':' + name for name in row)})"
        connection.execute(insert, row)
        with pytest.raises(sqlite3.IntegrityError):
            connection.execute(insert, row | {column: value})
