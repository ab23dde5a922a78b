"""Names that lead nowhere, stand twice, or mean two things."""

from collections.abc import Iterator, Mapping
from functools import cache

from planner.checks.faults import closest, error, quoted, warning
from planner.findings import Finding
from planner.records.calendar import WORKSHOP
from planner.records.lookup import Records
from planner.tables.columns import Column
from planner.tables.rows import Row, Tables
from planner.tables.schema import all_tables

ITEM_TABLES = ("materials", "preparations", "products")
"""Tables whose names share one space: stock, formulas and demand tell them apart by name alone."""


def check_references(records: Records) -> Iterator[Finding]:
    """Every name that a row takes from another table must stand there."""
    for table in all_tables().values():
        for column in table.columns:
            known = [name for refers in column.refers for name in _names(records.tables, refers)]
            for row in _rows(records.tables, table.name) if column.refers else ():
                name = getattr(row, column.name)
                if name is not None and name not in known:
                    yield _unknown_name(records.tables, table.name, column, row)


def _unknown_name(tables: Tables, table: str, column: Column, row: Row) -> Finding:
    name = getattr(row, column.name)
    where = " or ".join(column.refers)
    elsewhere = [other for other in _named_tables() if name in _names(tables, other)]
    like = closest(name, [other for refers in column.refers for other in _names(tables, refers)])
    return error(
        table,
        row,
        column.name,
        found=quoted(name) + (f", which is in {elsewhere[0]}" if elsewhere else ""),
        expected=f"a name in {where}",
        action=f"write {quoted(like)}, or add {quoted(name)} to {where}"
        if like
        else f"correct the name, or add {quoted(name)} to {where}",
    )


def check_repeated_rows(records: Records) -> Iterator[Finding]:
    """Rows of a table with the same key would be two answers to one question."""
    for table in all_tables().values():
        first: dict[tuple[object, ...], Row] = {}
        for row in _rows(records.tables, table.name) if table.key else ():
            cells = tuple(getattr(row, column.name) for column in table.key)
            earlier = first.setdefault(cells, row)
            if earlier is not row:
                written = ", ".join(str(cell) for cell in cells if cell is not None)
                yield error(
                    table.name,
                    row,
                    table.key[0].name,
                    found=f"{quoted(written)} again, as in row {earlier.row}",
                    expected="one row for each " + " + ".join(column.name for column in table.key),
                    action="keep one of the two rows, or give one another name",
                )


def check_item_names(records: Records) -> Iterator[Finding]:
    """A material, a preparation and a product may not share a name."""
    owner: dict[str, str] = {}
    for table in ITEM_TABLES:
        for row in _rows(records.tables, table):
            name = getattr(row, _key_column(table))
            earlier = owner.setdefault(name, table)
            if earlier != table:
                yield error(
                    table,
                    row,
                    _key_column(table),
                    found=f"{quoted(name)}, which is in {earlier} too",
                    expected="different names for materials, preparations and products",
                    action=f"rename one of them wherever it is used, for example "
                    f"{quoted(name + '-2')}",
                )


def check_alike_names(records: Records) -> Iterator[Finding]:
    """Names that differ only in capitals or spaces are one thing written in two ways."""
    for table in _named_tables():
        seen: dict[str, str] = {}
        for row in _rows(records.tables, table):
            name = getattr(row, _key_column(table))
            earlier = seen.setdefault("".join(name.casefold().split()), name)
            if earlier != name:
                yield warning(
                    table,
                    row,
                    _key_column(table),
                    found=f"{quoted(name)} and {quoted(earlier)}",
                    expected="names that differ by more than capitals and spaces",
                    action="write both alike if they are the same; else rename one",
                )


def check_closure_names(records: Records) -> Iterator[Finding]:
    """A closure names the workshop, a person or a supplier."""
    tables = records.tables
    known = [WORKSHOP, *_people(tables), *_names(tables, "suppliers")]
    for row in tables.closures:
        if row.who not in known:
            like = closest(row.who, known)
            yield error(
                "closures",
                row,
                "who",
                found=quoted(row.who),
                expected=f'"{WORKSHOP}", a person in hands or extra_days, or a supplier',
                action=f"write {quoted(like)}" if like else "correct the name",
            )
        elif row.who in _people(tables) and row.who in _names(tables, "suppliers"):
            yield warning(
                "closures",
                row,
                "who",
                found=f"{quoted(row.who)}, a person and a supplier",
                expected="a name that means one of them; this closes both",
                action="rename the person or the supplier",
            )


def check_reserved_names(records: Records) -> Iterator[Finding]:
    """No person or supplier may be called `workshop`: a closure of it closes everything."""
    tables = records.tables
    named: tuple[tuple[str, str, tuple[Row, ...]], ...] = (
        ("hands", "person", tables.hands),
        ("extra_days", "person", tables.extra_days),
        ("suppliers", "supplier", tables.suppliers),
    )
    for table, column, rows in named:
        for row in rows:
            if getattr(row, column) == WORKSHOP:
                yield error(
                    table,
                    row,
                    column,
                    found=quoted(WORKSHOP),
                    expected="another name: this one means the whole workshop in closures",
                    action="write the person's or the supplier's own name",
                )


def check_extra_day_people(records: Records) -> Iterator[Finding]:
    """Somebody who works on an extra day only may be a guest, or a slip of the pen."""
    known = tuple(dict.fromkeys(row.person for row in records.tables.hands))
    for row in records.tables.extra_days:
        if row.person not in known:
            like = closest(row.person, known)
            yield warning(
                "extra_days",
                row,
                "person",
                found=f"{quoted(row.person)}, who has no row in hands",
                expected="a person of the table hands, or a helper of that day only",
                action=f"write {quoted(like)} if that is meant" if like else "check the name",
            )


def check_lots(records: Records) -> Iterator[Finding]:
    """A lot that is under way cannot be stock as well: it would count twice."""
    stock = {(row.item, row.lot): row for row in records.tables.stock}
    for row in records.tables.in_progress:
        item = row.product or row.preparation or ""
        if (item, row.lot) in stock:
            yield error(
                "in_progress",
                row,
                "lot",
                found=f"lot {quoted(row.lot)} of {quoted(item)}, which is in row "
                f"{stock[item, row.lot].row} of stock too",
                expected="a lot that is either under way or in stock",
                action="remove it from in_progress once it is packed; until then from stock",
            )


def check_promise_names(records: Records) -> Iterator[Finding]:
    """A plan promises orders by their row and launches by their name: these may not be equal."""
    launches = {row.launch for row in records.tables.demand if row.launch}
    for row in records.tables.demand:
        if row.kind == "order" and row.demand in launches:
            yield error(
                "demand",
                row,
                "demand",
                found=f"order {quoted(row.demand)}, which is the name of a launch too",
                expected="different names for orders and launches",
                action="rename the order or the launch",
            )


def check_unused_items(records: Records) -> Iterator[Finding]:
    """An ingredient, packaging or preparation that nothing takes is often a renamed one."""
    for material in records.tables.materials:
        if material.kind != "consumable" and material.material not in records.uses:
            yield _unused("materials", "material", material.material, material)
    for preparation in records.tables.preparations:
        if preparation.preparation not in records.uses:
            yield _unused("preparations", "preparation", preparation.preparation, preparation)


def _unused(table: str, column: str, name: str, row: Row) -> Finding:
    return warning(
        table,
        row,
        column,
        found=f"{quoted(name)}, which no formula and no packaging takes",
        expected="a use for it; it is never planned for",
        action="check its name in formulas and packaging, or remove it",
    )


def check_unwanted_products(records: Records) -> Iterator[Finding]:
    """A product without a row of demand is never poured."""
    wanted = {row.product for row in records.tables.demand}
    for row in records.tables.products:
        if row.product not in wanted:
            yield warning(
                "products",
                row,
                "product",
                found=f"{quoted(row.product)}, which no row of demand asks for",
                expected="demand; without it none is poured",
                action="add its weekly sales to demand as kind retail, or leave it if it rests",
            )


def _people(tables: Tables) -> tuple[str, ...]:
    people = [row.person for row in tables.hands] + [row.person for row in tables.extra_days]
    return tuple(dict.fromkeys(people))


def _rows(tables: Tables, table: str) -> tuple[Row, ...]:
    found: tuple[Row, ...] = getattr(tables, table)
    return found


def _names(tables: Tables, table: str) -> Mapping[str, None]:
    """The names that a table gives, in its order."""
    column = _key_column(table)
    return dict.fromkeys(getattr(row, column) for row in _rows(tables, table))


@cache
def _key_column(table: str) -> str:
    return all_tables()[table].key[0].name


@cache
def _named_tables() -> tuple[str, ...]:
    """The tables whose rows other tables refer to."""
    return tuple(
        dict.fromkeys(
            refers
            for table in all_tables().values()
            for column in table.columns
            for refers in column.refers
        )
    )
