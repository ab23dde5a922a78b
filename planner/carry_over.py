"""A kept plan seen from another first day: what is still to come of it, in new day numbers."""

from dataclasses import replace

from planner.plan import Plan


def carried_over(plan: Plan, days: int) -> Plan:
    """The plan as it reads `days` days after its first day; negative: before it.

    Every day number falls by `days`. What then lies before day 0 has happened or was missed: the
    tables know, so it is left out, and so are the stages, which spoke of the whole plan. Batches
    under way stay until they are packed.
    """
    if days == 0:
        return plan
    return Plan(
        batches=tuple(
            replace(
                batch,
                pour=batch.pour - days,
                unmould=batch.unmould - days,
                pack=None if batch.pack is None else batch.pack - days,
            )
            for batch in plan.batches
            if (days <= batch.pour if not batch.in_progress else _to_pack(batch.pack, days))
        ),
        preparations=tuple(
            replace(lot, make=lot.make - days) for lot in plan.preparations if lot.make >= days
        ),
        purchases=tuple(
            replace(order, order=order.order - days)
            for order in plan.purchases
            if order.order >= days
        ),
        promises=tuple(
            replace(promise, day=promise.day - days)
            for promise in plan.promises
            if promise.day >= days
        ),
    )


def _to_pack(pack: int | None, days: int) -> bool:
    return pack is None or pack >= days
