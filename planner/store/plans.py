"""Plans as they are kept: what was decided, from which tables, and by which solver.

A plan is kept as JSON beside the digest of the tables it was made from, so that a plan that no
longer belongs to its tables is recognised. Kept plans are history: none is changed or removed.
"""

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Any

from sqlite_utils import Database

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
from planner.store.moments import from_text, now, to_text

Setting = str | int | float | bool | None


@dataclass(frozen=True, kw_only=True)
class PlanRecord:
    """A kept plan and where it comes from.

    number          counts the kept plans of one workshop file, later ones higher
    created         when it was kept, in UTC, to the second
    first_day       the date of the plan's day 0
    digest          the digest of the tables it was made from
    solver_version  the versions of the solvers that made it
    seed, settings  what the solver was told
    certified       its replay found no broken rule
    """

    number: int
    created: datetime
    first_day: date
    digest: str
    solver_version: str
    seed: int
    settings: Mapping[str, Setting]
    certified: bool
    plan: Plan


class StaleReason(StrEnum):
    """Why a kept plan is no longer the plan to work by."""

    TABLES_CHANGED = "the tables have changed since it was made"
    DAY_PASSED = "its first day has passed"


def stale_reasons(record: PlanRecord, digest: str, today: date) -> tuple[StaleReason, ...]:
    """Every reason for which the plan is stale, given the tables' present digest and the day."""
    reasons = []
    if record.digest != digest:
        reasons.append(StaleReason.TABLES_CHANGED)
    if record.first_day < today:
        reasons.append(StaleReason.DAY_PASSED)
    return tuple(reasons)


def is_stale(record: PlanRecord, digest: str, today: date) -> bool:
    """True if the tables are others than the plan was made from, or its first day has passed."""
    return bool(stale_reasons(record, digest, today))


def plan_to_text(plan: Plan) -> str:
    """The plan as JSON text; `plan_from_text` restores it exactly."""
    return json.dumps(asdict(plan), separators=(",", ":"), allow_nan=False)


def plan_from_text(text: str) -> Plan:
    """The plan that `plan_to_text` wrote. Raises StoreError for any other text."""
    try:
        return _plan(json.loads(text))
    except (ValueError, TypeError, KeyError) as error:
        raise StoreError(f"The kept plan cannot be read ({error}). Make a new one.") from error


def _plan(content: dict[str, Any]) -> Plan:
    return Plan(
        batches=tuple(Batch(**each) for each in content["batches"]),
        preparations=tuple(PreparationLot(**each) for each in content["preparations"]),
        purchases=tuple(_purchase(each) for each in content["purchases"]),
        promises=tuple(Promise(**each) for each in content["promises"]),
        stages=tuple(_stage(each) for each in content["stages"]),
    )


def _purchase(content: dict[str, Any]) -> Purchase:
    lines = tuple(PurchaseLine(**line) for line in content["lines"])
    return Purchase(**{**content, "lines": lines})


def _stage(content: dict[str, Any]) -> Stage:
    return Stage(**{**content, "status": Status(content["status"])})


def keep_plan(
    database: Database,
    plan: Plan,
    *,
    first_day: date,
    digest: str,
    solver_version: str,
    seed: int,
    settings: Mapping[str, Setting],
    certified: bool,
) -> PlanRecord:
    """Add the plan to the kept plans. Raises PlanBroken unless it is certified."""
    if not certified:
        raise PlanBroken("The plan broke a rule in its replay, so it is not kept.")
    cells = {
        "created": to_text(now()),
        "first_day": first_day.isoformat(),
        "digest": digest,
        "solver_version": solver_version,
        "seed": seed,
        "settings": json.dumps(dict(settings), sort_keys=True, allow_nan=False),
        "certified": int(certified),
        "plan": plan_to_text(plan),
    }
    number = database.table("plans").insert(cells).last_pk
    return _record({"id": number, **cells})


def latest_plan(database: Database) -> PlanRecord | None:
    """The plan that was kept last; None if there is none."""
    rows = database.query("SELECT * FROM plans ORDER BY id DESC LIMIT 1")
    return next((_record(row) for row in rows), None)


def _record(cells: Mapping[str, Any]) -> PlanRecord:
    return PlanRecord(
        number=cells["id"],
        created=from_text(cells["created"]),
        first_day=date.fromisoformat(cells["first_day"]),
        digest=cells["digest"],
        solver_version=cells["solver_version"],
        seed=cells["seed"],
        settings=json.loads(cells["settings"]),
        certified=bool(cells["certified"]),
        plan=plan_from_text(cells["plan"]),
    )
