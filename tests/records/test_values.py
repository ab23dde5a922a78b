"""What items are worth."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from planner.tables.rows import (
    OfferRow,
)
from tests.checks.good import GOOD, added
from tests.records.built import built


def test_values_by_hand() -> None:
    """Thousandths of a cent per 1,000 smallest units or bars."""
    values = built().values
    # Wax: from 4 drums on 180.00 for 25,000,000 mg.
    assert values["wax"] == 18_000 * 1000 * 1000 // 25_000_000 == 720
    # Glycerin: 26.00 for 3,968,254 thousandths of a ml.
    assert values["glycerin"] == round(Fraction(2600 * 1_000_000, 3_968_254)) == 655
    # Petals: 15.00 for 453,592 mg. Boxes: 230.00 for 500.
    assert values["petals"] == round(Fraction(1500 * 1_000_000, 453_592)) == 3307
    assert values["box"] == 46_000_000
    assert values["gloves"] == 0, "nobody offers them"


def test_value_of_preparations_by_hand() -> None:
    values = built().values
    # Glycerite: 900,000 mg of glycerin = 714,286 thousandths of a ml, and 100,000 mg of petals;
    # 800,000 mg of it can be used.
    glycerite = Fraction(714_286 * 655 + 100_000 * 3307, 1000)
    assert values["glycerite"] == round(glycerite * 1000 / 800_000) == 998
    # Toner: 550,000 mg of glycerite give 500,000 thousandths of a ml.
    assert values["toner"] == round(Fraction(550_000 * 998, 500_000)) == 1098


def test_the_order_of_preparations_does_not_matter() -> None:
    tables = replace(GOOD, preparations=tuple(reversed(GOOD.preparations)))
    assert built(tables).values == built().values


def test_value_of_products_by_hand() -> None:
    # Mint, 96 bars: 8,032,654 mg, 90.5 % wax, 9.5 % glycerite, 93 boxes; 91 bars can be sold.
    mass = 8_032_654
    wax, glycerite = -(-mass * 905 // 1000), -(-mass * 95 // 1000)
    cost = Fraction(wax * 720 + glycerite * 998 + 93 * 46_000_000, 1000)
    assert built().values["mint"] == round(cost * 1000 / 91)


def test_the_cheapest_offer_gives_the_value() -> None:
    cheap = OfferRow(
        supplier="Print",
        material="wax",
        pack_size=Decimal(1),
        pack_unit="kg",
        price=Decimal("7.10"),
    )
    assert built(added("offers", cheap)).values["wax"] == 710
