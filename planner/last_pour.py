"""The last day on which a product can be poured to be ready by a date."""

from planner.workshop import Product, Workshop


def last_pour_day(workshop: Workshop, product: Product, day: int) -> int | None:
    """The last working day to pour so that the bars are packed before `day`.

    unmould = first working day >= pour + set_days; pack = first working day >= unmould +
    cure_days; pack < day, because bars can leave from the day after packing on. None if no
    working day of the plan is early enough. Capacity and stock are not looked at.
    """
    for pour in reversed(workshop.working_days):
        unmould = workshop.first_working_day(pour + product.set_days)
        if unmould is None:
            continue
        pack = workshop.first_working_day(unmould + product.cure_days)
        if pack is not None and pack < day:
            return pour
    return None
