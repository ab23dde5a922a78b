"""Records of what is made, of what, and with which equipment."""

from dataclasses import replace
from fractions import Fraction

from planner.recipes import Recipe, recipe_of
from planner.records.lookup import Records
from planner.records.money import share
from planner.tables.rows import (
    MaterialRow,
    MouldRow,
    PackagingRow,
    PlaceRow,
    PreparationRow,
    ProductRow,
    TrayRow,
    VesselRow,
)
from planner.units import to_smallest
from planner.workshop import (
    Material,
    Mould,
    Packaging,
    Part,
    Place,
    Preparation,
    Product,
    Tray,
    Unit,
    Vessel,
    Workshop,
)


def material_of(records: Records, row: MaterialRow) -> Material:
    """A material; without receive_days of its own it takes the workshop's."""
    return Material(
        id=row.material,
        kind=row.kind.value,
        unit=row.unit,
        density=records.density_of(row.material),
        safety_stock=records.amount(row.material, row.safety_stock),
        receive_days=receive_days_of(records, row.material),
        caution=row.caution,
        note=row.note,
    )


def receive_days_of(records: Records, item: str) -> int:
    """Working days from an item's arrival until it is released for use."""
    row = records.materials.get(item)
    if row is None or row.receive_days is None:
        return records.workshop.receive_days
    return row.receive_days


def preparation_of(records: Records, row: PreparationRow) -> Preparation:
    """A preparation with its formula."""
    return Preparation(
        id=row.preparation,
        unit=row.unit,
        charge=records.amount(row.preparation, row.batch_size),
        make_minutes=row.make_minutes,
        ready_days=row.ready_days,
        formula=formula_of(records, row.preparation),
        density=records.density_of(row.preparation),
        yields=share(row.yield_percent),
        shelf_life_days=row.shelf_life_days,
        vessel=row.vessel,
        vessel_minutes=row.vessel_minutes if row.vessel else 0,
        safety_stock=records.amount(row.preparation, row.safety_stock),
        caution=row.caution,
    )


def formula_of(records: Records, item: str) -> tuple[Part, ...]:
    """The parts of an item's formula, each with its share of the mass."""
    return tuple(
        Part(item=row.part, share=share(row.percent)) for row in records.formulas.get(item, ())
    )


def product_of(records: Records, row: ProductRow) -> Product:
    """A product with its batch sizes, formula and packaging."""
    wholesale = row.wholesale_price
    return Product(
        id=row.product,
        line=row.line,
        pour_mg=to_smallest(row.pour_g, "g", Unit.GRAM),
        net_mg=to_smallest(row.net_g, "g", Unit.GRAM),
        price=records.money(row.price),
        wholesale_price=None if wholesale is None else records.money(wholesale),
        mould=row.mould,
        place=row.place,
        set_days=row.set_days,
        vessel=row.vessel,
        vessel_minutes=row.vessel_minutes,
        make_minutes=row.make_minutes,
        make_minutes_per_bar=Fraction(row.make_minutes_per_bar),
        unmould_minutes=row.unmould_minutes,
        pack_minutes_per_bar=Fraction(row.pack_minutes_per_bar),
        cure_days=row.cure_days,
        tray=row.tray,
        bars_per_tray=row.bars_per_tray,
        loss=share(row.loss_percent),
        reject=share(row.reject_percent),
        keep_bars=row.keep_bars,
        shelf_life_days=row.shelf_life_days,
        max_batches_per_day=row.max_batches_per_day,
        importance=Fraction(row.importance),
        sizes=records.sizes.get(row.product, ()),
        formula=formula_of(records, row.product),
        packaging=tuple(
            Packaging(material=use.material, per_bar=_per_bar(records, use))
            for use in records.packaging.get(row.product, ())
        ),
    )


def _per_bar(records: Records, use: PackagingRow) -> Fraction:
    """The amount of a packaging material for one bar, in its smallest unit, not rounded."""
    unit = records.unit_of(use.material) or Unit.PIECE
    return Fraction(use.quantity_per_bar) * unit.parts


def batch_of(records: Records, row: ProductRow, bars: int) -> Recipe | None:
    """What a batch takes of hands and equipment, its parts left out; None if its mould is unknown.

    The parts are left out so that it can be had although the formula names unknown things.
    """
    mould = records.moulds.get(row.mould)
    if mould is None:
        return None
    bare = replace(product_of(records, row), formula=(), packaging=())
    workshop = Workshop(
        name="",
        currency="",
        first_day=records.today,
        days=records.days,
        minutes=(),
        products={bare.id: bare},
        moulds={mould.mould: mould_of(mould)},
    )
    return recipe_of(workshop, bare.id, bars)


def mould_of(row: MouldRow) -> Mould:
    """A kind of mould."""
    return Mould(
        id=row.mould, count=row.count, cavities=row.cavities, turns_per_day=row.turns_per_day
    )


def vessel_of(row: VesselRow) -> Vessel:
    """A kind of vessel."""
    return Vessel(
        id=row.vessel,
        count=row.count,
        capacity_mg=to_smallest(row.capacity_g, "g", Unit.GRAM),
        minutes_per_day=row.minutes_per_day,
    )


def place_of(row: PlaceRow) -> Place:
    """A place where moulds set."""
    return Place(id=row.place, moulds=row.moulds, turns_per_day=row.turns_per_day)


def tray_of(row: TrayRow) -> Tray:
    """A kind of tray."""
    return Tray(id=row.tray, count=row.count)
