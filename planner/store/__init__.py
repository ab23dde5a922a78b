"""One file per workshop, in SQLite: tables, stock movements and plans.

Open it with `open_store`; everything else is reached through the `Store` that it returns. Nothing
outside this package knows SQLite.
"""

from planner.store.digest import digest_of
from planner.store.plans import PlanRecord, StaleReason, is_stale, stale_reasons
from planner.store.store import LoadReport, Store, open_store

__all__ = [
    "LoadReport",
    "PlanRecord",
    "StaleReason",
    "Store",
    "digest_of",
    "is_stale",
    "open_store",
    "stale_reasons",
]
