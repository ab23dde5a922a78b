"""Whether the rows of all tables fit together.

Each check is a function from the records to what it finds; all run, however much the others find,
so that every fault is told at once. A check passes over what another one reports: names that are
not known, cells that cannot be counted.
"""

from collections.abc import Callable, Iterator
from dataclasses import fields

from planner.checks import (
    amounts,
    batches,
    demand,
    formulas,
    names,
    net_weight,
    offers,
    packing,
    products,
    stock,
    under_way,
    workshop,
)
from planner.findings import Finding
from planner.records.lookup import Records

Check = Callable[[Records], Iterator[Finding]]

CHECKS_OF_ROWS: tuple[Check, ...] = (
    names.check_item_names,
    names.check_alike_names,
    names.check_reserved_names,
    names.check_lots,
    names.check_promise_names,
    workshop.check_country,
    workshop.check_closures,
    workshop.check_budget,
    workshop.check_cash,
    workshop.check_sales,
    amounts.check_amounts,
    amounts.check_yields,
    amounts.check_money,
    formulas.check_parts_can_be_weighed,
    formulas.check_densities,
    formulas.check_kinds_of_parts,
    formulas.check_circles,
    products.check_shelf_life_of_products,
    products.check_prices,
    products.check_importance,
    products.check_percentages,
    products.check_preparation_vessels,
    net_weight.check_net_weight,
    net_weight.check_bar_weight,
    batches.check_vessels_there,
    batches.check_vessel_capacity,
    batches.check_vessel_minutes,
    batches.check_moulds,
    batches.check_places,
    batches.check_trays,
    batches.check_good_bars,
    offers.check_supplier_terms,
    offers.check_offer_lead_days,
    offers.check_offer_windows,
    offers.check_offer_rows_agree,
    offers.check_price_steps,
    offers.check_unit_prices,
    stock.check_stock_dates,
    stock.check_use_by,
    stock.check_use_by_given,
    under_way.check_under_way_fields,
    under_way.check_under_way_dates,
    under_way.check_under_way_life,
    demand.check_demand_fields,
    demand.check_past_demand,
    demand.check_demand_quantities,
    demand.check_launch_days,
    demand.check_launch_products,
)
"""What these find holds whatever other rows there are."""

CHECKS_OF_THE_WHOLE: tuple[Check, ...] = (
    names.check_references,
    names.check_repeated_rows,
    names.check_closure_names,
    names.check_extra_day_people,
    names.check_unused_items,
    names.check_unwanted_products,
    workshop.check_one_workshop,
    workshop.check_hands,
    workshop.check_frozen_days,
    formulas.check_formula_sums,
    formulas.check_formulas_given,
    formulas.check_products_are_packed,
    products.check_cure_fits_plan,
    products.check_preparation_life,
    products.check_hands_for_preparations,
    batches.check_batch_sizes_given,
    batches.check_hands_for_batches,
    offers.check_pack_bounds,
    offers.check_offers_can_be_used,
    offers.check_shelf_life_of_offers,
    offers.check_minimum_orders,
    offers.check_materials_can_be_had,
    stock.check_open_order_dates,
    under_way.check_equipment_under_way,
    under_way.check_unmoulding_under_way,
    packing.check_packing_under_way,
    packing.check_packaging_under_way,
    demand.check_demand_days,
    demand.check_retail_before_launch,
)
"""What these find could be due to a row that is missing."""


def findings_of(records: Records, *, complete: bool = True) -> tuple[Finding, ...]:
    """What the checks find, table by table and row by row.

    Tables are not `complete` if rows were left out because their cells cannot be read; then only
    those checks run that missing rows cannot mislead.
    """
    checks = (*CHECKS_OF_ROWS, *(CHECKS_OF_THE_WHOLE if complete else ()))
    tables = [field.name for field in fields(records.tables)]
    found = [finding for check in checks for finding in check(records)]
    return tuple(sorted(found, key=lambda one: (tables.index(one.table), one)))
