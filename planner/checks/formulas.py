"""What products and preparations are made of."""

from collections.abc import Iterator
from decimal import Decimal
from graphlib import CycleError, TopologicalSorter

from planner.checks.faults import error, quoted, warning
from planner.findings import Finding
from planner.records.lookup import Records
from planner.records.supply import plain
from planner.tables.rows import MaterialRow, PreparationRow
from planner.workshop import Unit

TOLERANCE = Decimal("0.01")
WHOLE = Decimal(100)
LIGHTEST, HEAVIEST = Decimal("0.5"), Decimal(3)
"""Densities in g/ml of what goes into a bar; common practice, no source."""


def check_formula_sums(records: Records) -> Iterator[Finding]:
    """The percentages of a formula sum to 100 +- 0.01."""
    for item, rows in records.formulas.items():
        total = sum((row.percent for row in rows), Decimal(0))
        if abs(total - WHOLE) <= TOLERANCE:
            continue
        if abs(total - 1) <= TOLERANCE:
            action = "write percent, not parts of one: 12.5 for an eighth"
        elif total < WHOLE:
            action = f"add the missing {plain(WHOLE - total)} percent"
        else:
            action = f"take {plain(total - WHOLE)} percent away"
        yield error(
            "formulas",
            rows[0],
            "percent",
            found=f"the formula of {quoted(item)} sums to {plain(total)}",
            expected=f"100, at most {TOLERANCE} off",
            action=action,
        )


def check_formulas_given(records: Records) -> Iterator[Finding]:
    """A product needs a formula; a preparation without one is made of nothing."""
    for product in records.tables.products:
        if product.product not in records.formulas:
            yield error(
                "products",
                product,
                "product",
                found=f"{quoted(product.product)} without a formula",
                expected="its parts and their percentages in formulas",
                action=f"add rows with item {quoted(product.product)} to formulas",
            )
    for preparation in records.tables.preparations:
        if preparation.preparation not in records.formulas:
            yield warning(
                "preparations",
                preparation,
                "preparation",
                found=f"{quoted(preparation.preparation)} without a formula",
                expected="its parts in formulas; until then it is made of nothing",
                action=f"add rows with item {quoted(preparation.preparation)} to formulas",
            )


def check_parts_can_be_weighed(records: Records) -> Iterator[Finding]:
    """A formula is by weight: a part in ml needs a density, a part in pieces has no place in it."""
    weighed = dict.fromkeys(row.part for row in records.tables.formulas)
    for row in records.tables.materials:
        if row.material in weighed:
            yield from _cannot_be_weighed("materials", row, row.material)
    for prepared in records.tables.preparations:
        if prepared.preparation in weighed or prepared.preparation in records.formulas:
            yield from _cannot_be_weighed("preparations", prepared, prepared.preparation)


def _cannot_be_weighed(
    table: str, row: MaterialRow | PreparationRow, name: str
) -> Iterator[Finding]:
    if row.unit is Unit.PIECE:
        yield error(
            table,
            row,
            "unit",
            found=f"{quoted(name)} counted in pieces (ea) and used in a formula",
            expected="g or ml: formulas are by weight",
            action="keep it in g or ml; what comes one to a bar belongs in packaging",
        )
    if row.unit is Unit.MILLILITRE and row.density_g_per_ml is None:
        yield error(
            table,
            row,
            "density_g_per_ml",
            found=f"{quoted(name)} kept in ml and used by weight, without a density",
            expected="its density in g per ml, for example 1.26 for glycerin",
            action="write the density from its data sheet, or keep it in g",
        )


def check_densities(records: Records) -> Iterator[Finding]:
    """A density far from water's is usually one in kg per cubic metre, or a slip."""
    named: tuple[tuple[str, tuple[MaterialRow | PreparationRow, ...]], ...] = (
        ("materials", records.tables.materials),
        ("preparations", records.tables.preparations),
    )
    for table, rows in named:
        for row in rows:
            density = row.density_g_per_ml
            if density is not None and not LIGHTEST <= density <= HEAVIEST:
                yield warning(
                    table,
                    row,
                    "density_g_per_ml",
                    found=f"{plain(density)} g per ml",
                    expected=f"{LIGHTEST} to {HEAVIEST}: water is 1, oils 0.9, glycerin 1.26",
                    action="write it in g per ml: 920 kg per cubic metre is 0.92",
                )


def check_kinds_of_parts(records: Records) -> Iterator[Finding]:
    """Formulas take ingredients; packaging takes packaging."""
    for part in records.tables.formulas:
        material = records.materials.get(part.part)
        if material is not None and material.kind != "ingredient":
            yield warning(
                "formulas",
                part,
                "part",
                found=f"{quoted(part.part)}, whose kind is {material.kind.value}",
                expected="a material of kind ingredient",
                action="correct its kind in materials, or move the row to packaging",
            )
    for pack in records.tables.packaging:
        material = records.materials.get(pack.material)
        if material is not None and material.kind == "ingredient":
            yield warning(
                "packaging",
                pack,
                "material",
                found=f"{quoted(pack.material)}, whose kind is ingredient",
                expected="a material of kind packaging or consumable",
                action="correct its kind in materials, or move the row to formulas",
            )


def check_products_are_packed(records: Records) -> Iterator[Finding]:
    """A bar without a box or label is ready and cannot be sold: rarely what is meant."""
    for row in records.tables.products:
        if row.product not in records.packaging:
            yield warning(
                "products",
                row,
                "product",
                found=f"{quoted(row.product)} without packaging",
                expected="the box, band or label of each bar in packaging",
                action="add rows to packaging, or leave it if the bar is sold bare",
            )


def check_circles(records: Records) -> Iterator[Finding]:
    """No preparation may be a part of itself, directly or through others."""
    parts = {
        item: [row.part for row in rows if row.part in records.preparations]
        for item, rows in records.formulas.items()
        if item in records.preparations
    }
    try:
        TopologicalSorter(parts).prepare()
    except CycleError as circle:
        names = circle.args[1]  # each goes into the next; the last is the first again
        row = next(row for row in records.formulas[names[1]] if row.part == names[0])
        yield error(
            "formulas",
            row,
            "part",
            found="preparations in a circle: " + " into ".join(names),
            expected="parts that can be made one after the other",
            action="take one of them out of another's formula",
        )
