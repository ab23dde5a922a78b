"""Records of what is made, of what, and with which equipment."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from planner.tables.rows import (
    MaterialRow,
)
from planner.tables.values import (
    MaterialKind,
)
from planner.workshop import (
    Mould,
    Packaging,
    Part,
    Place,
    Tray,
    Unit,
    Vessel,
)
from tests.checks.good import added, changed
from tests.records.built import built


def test_materials() -> None:
    glycerin = built().materials["glycerin"]
    assert (glycerin.kind, glycerin.unit) == ("ingredient", Unit.MILLILITRE)
    assert glycerin.density == Fraction(126, 100)
    assert glycerin.safety_stock == 500_000, "thousandths of a ml"
    assert glycerin.receive_days == 0
    assert built().materials["wax"].receive_days == 1, "as in the table workshop"
    slow = changed("workshop", 0, receive_days=3)
    assert built(slow).materials["wax"].receive_days == 3


def test_preparations() -> None:
    glycerite = built().preparations["glycerite"]
    assert glycerite.charge == 1_000_000
    assert glycerite.yields == Fraction(4, 5)
    assert glycerite.formula == (
        Part(item="glycerin", share=Fraction(9, 10)),
        Part(item="petals", share=Fraction(1, 10)),
    )
    assert (glycerite.vessel, glycerite.vessel_minutes) == ("pot", 30)
    toner = built().preparations["toner"]
    assert (toner.vessel, toner.vessel_minutes, toner.shelf_life_days) == (None, 0, None)
    assert toner.density == Fraction(11, 10)


def test_products() -> None:
    mint = built().products["mint"]
    assert (mint.pour_mg, mint.net_mg) == (82_000, 75_000)
    assert (mint.price, mint.wholesale_price) == (1250, 625)
    assert mint.sizes == (48, 96)
    assert (mint.loss, mint.reject, mint.keep_bars) == (Fraction(1, 50), Fraction(3, 100), 2)
    assert mint.pack_minutes_per_bar == Fraction(3, 2)
    assert mint.packaging == (Packaging(material="box", per_bar=Fraction(1)),)
    assert (mint.place, mint.importance) == ("fridge", Fraction(1))
    rose = built().products["rose"]
    assert rose.packaging == (Packaging(material="box", per_bar=Fraction(1, 2)),)
    assert (rose.place, rose.wholesale_price, rose.shelf_life_days) == (None, None, None)


def test_packaging_kept_in_g_counts_in_milligrams() -> None:
    film = MaterialRow(material="film", kind=MaterialKind.PACKAGING, unit=Unit.GRAM)
    tables = changed(
        "packaging", 0, replace(added("materials", film), in_progress=()), material="film"
    )
    tables = changed("packaging", 0, tables, quantity_per_bar=Decimal("1.5"))
    assert built(tables).products["mint"].packaging[0].per_bar == 1500


def test_equipment() -> None:
    workshop = built()
    assert workshop.moulds["six"] == Mould(id="six", count=4, cavities=6, turns_per_day=2)
    assert workshop.vessels["pot"] == Vessel(
        id="pot", count=1, capacity_mg=8_200_000, minutes_per_day=400
    )
    assert workshop.places == {"fridge": Place(id="fridge", moulds=8)}
    assert workshop.trays == {"rack": Tray(id="rack", count=12)}
