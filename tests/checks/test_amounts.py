"""Amounts whose unit does not fit, and money finer than the smallest coin."""

from decimal import Decimal

import pytest

from planner.checks.amounts import check_amounts, check_money, check_yields
from planner.workshop import Unit
from tests.checks.good import GOOD, changed, errors, only, warnings


@pytest.mark.parametrize("unit", ["g", "kg", "oz", "lb", "ml", "l", "fl oz US"])
def test_units_of_what_has_a_density(unit: str) -> None:
    assert errors(check_amounts, changed("offers", 2, pack_unit=unit)) == []


@pytest.mark.parametrize(
    ("table", "index", "column", "unit"),
    [
        ("offers", 0, "pack_unit", "ea"),
        ("offers", 0, "pack_unit", "ml"),  # wax has no density
        ("offers", 0, "pack_unit", "fl oz"),  # US or imperial?
        ("offers", 4, "pack_unit", "kg"),  # boxes
        ("stock", 0, "unit", "l"),
        ("stock", 3, "unit", "g"),
        ("open_orders", 0, "unit", "ea"),
    ],
)
def test_units_that_do_not_fit(table: str, index: int, column: str, unit: str) -> None:
    tables = changed(table, index, **{column: unit})
    assert errors(check_amounts, tables) == [(table, index + 2, column)]


def test_bars_are_pieces() -> None:
    assert errors(check_amounts, changed("stock", 2, unit="ea")) == []
    assert errors(check_amounts, changed("stock", 2, unit="kg")) == [("stock", 4, "unit")]


def test_pieces_are_whole() -> None:
    half = Decimal("10.5")
    assert errors(check_amounts, changed("stock", 3, quantity=half)) == [("stock", 5, "quantity")]
    assert errors(check_amounts, changed("stock", 3, quantity=half, unit="ea")) == [
        ("stock", 5, "quantity")
    ]
    assert errors(check_amounts, changed("offers", 4, pack_size=half)) == [
        ("offers", 6, "pack_size")
    ]
    assert errors(check_amounts, changed("materials", 3, safety_stock=half)) == [
        ("materials", 5, "safety_stock")
    ]
    assert errors(check_amounts, changed("stock", 3, quantity=Decimal("10.0"))) == []


def test_amounts_too_small_to_count() -> None:
    # 0.0005 g is half a milligram and counts as one; anything less counts as none.
    assert errors(check_amounts, changed("preparations", 0, batch_size=Decimal("0.0005"))) == []
    assert errors(check_amounts, changed("preparations", 0, batch_size=Decimal("0.0004"))) == [
        ("preparations", 2, "batch_size")
    ]
    assert errors(check_amounts, changed("offers", 0, pack_size=Decimal("0.0000001"))) == [
        ("offers", 2, "pack_size")
    ]
    assert errors(check_amounts, changed("in_progress", 2, quantity=Decimal("0.0001"))) == [
        ("in_progress", 4, "quantity")
    ]


def test_nothing_in_stock_is_an_amount() -> None:
    assert errors(check_amounts, changed("stock", 0, quantity=Decimal(0))) == []


def test_a_missing_density_is_told() -> None:
    tables = changed("offers", 0, pack_unit="ml")
    assert "density_g_per_ml" in only(check_amounts, tables).action


def test_something_of_a_preparation_can_be_used() -> None:
    tiny = changed("preparations", 0, batch_size=Decimal("0.002"))
    assert errors(check_yields, changed("preparations", 0, tiny, yield_percent=Decimal(50))) == []
    assert errors(check_yields, changed("preparations", 0, tiny, yield_percent=Decimal(49))) == [
        ("preparations", 2, "yield_percent")
    ]
    pieces = changed("preparations", 0, batch_size=Decimal(1), unit=Unit.PIECE)
    assert errors(check_yields, pieces) == [("preparations", 2, "yield_percent")]


@pytest.mark.parametrize(
    ("table", "index", "column"),
    [
        ("workshop", 0, "clean_down"),
        ("products", 0, "price"),
        ("products", 0, "wholesale_price"),
        ("suppliers", 0, "freight"),
        ("suppliers", 0, "free_freight_from"),
        ("suppliers", 0, "minimum_order"),
        ("offers", 0, "price"),
        ("budget", 0, "amount"),
        ("cash", 0, "amount"),
    ],
)
def test_money_finer_than_a_cent(table: str, index: int, column: str) -> None:
    finer = changed(table, index, **{column: Decimal("0.035")})
    assert warnings(check_money, finer) == [(table, index + 2, column)]
    assert "counts as 0.04" in only(check_money, finer).expected
    assert warnings(check_money, changed(table, index, **{column: Decimal("0.030")})) == []


@pytest.mark.parametrize(("currency", "odd"), [("EUR", 0), ("JPY", 1), ("KWD", 0)])
def test_decimals_of_a_currency(currency: str, odd: int) -> None:
    """ISO 4217: a yen has no parts, a dinar of Kuwait has 1,000 (from memory)."""
    tables = changed("workshop", 0, currency=currency)
    assert (("products", 2, "price") in warnings(check_money, tables)) is bool(odd)
    assert warnings(check_money, GOOD) == []
