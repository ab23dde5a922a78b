"""Label weight against poured weight."""

from decimal import Decimal

import pytest

from planner.checks.net_weight import check_bar_weight, check_net_weight, tolerable_error
from tests.checks.good import GOOD, changed, errors, only, warnings


# Directive 76/211/EEC, Annex I, 2.4: nominal mass in g -> tolerable negative error in g.
@pytest.mark.parametrize(
    ("net", "short"),
    [
        ("20", "1.8"),
        ("40", "3.6"),
        ("50", "4.5"),
        ("55", "4.5"),
        ("100", "4.5"),
        ("110", "5.0"),
        ("120", "5.4"),
        ("150", "6.8"),
        ("200", "9"),
        ("300", "9"),
        ("400", "12"),
        ("500", "15"),
        ("1000", "15"),
    ],
)
def test_tolerable_errors_of_directive_76_211_eec(net: str, short: str) -> None:
    """Percentages are rounded up to a tenth of a gram (from memory)."""
    assert tolerable_error(Decimal(net)) == Decimal(short)


# Directive 76/211/EEC, Annex I, 2.4: neighbouring bands meet.
@pytest.mark.parametrize("edge", ["50", "100", "200", "300", "500"])
def test_tolerable_errors_do_not_jump(edge: str) -> None:
    below, at = tolerable_error(Decimal(edge) - Decimal("0.001")), tolerable_error(Decimal(edge))
    assert below is not None
    assert at is not None
    assert abs(at - below) <= Decimal("0.1")


@pytest.mark.parametrize("net", ["4.9", "1000.1"])
def test_no_tolerable_error_outside_the_table(net: str) -> None:
    assert tolerable_error(Decimal(net)) is None


def test_a_label_heavier_than_the_bar() -> None:
    assert errors(check_net_weight, changed("products", 0, net_g=Decimal("82.01"))) == [
        ("products", 2, "net_g")
    ]


def test_a_label_that_leaves_no_room_for_drying() -> None:
    # 98 % of 82 g is 80.36 g.
    assert warnings(check_net_weight, changed("products", 0, net_g=Decimal("80.36"))) == []
    tight = changed("products", 0, net_g=Decimal("80.37"))
    assert warnings(check_net_weight, tight) == [("products", 2, "net_g")]
    assert "4.5 g short" in only(check_net_weight, tight).expected
    equal = changed("products", 0, net_g=Decimal(82))
    assert warnings(check_net_weight, equal) == [("products", 2, "net_g")]


@pytest.mark.parametrize(
    ("pour", "odd"), [("5", 0), ("500", 0), ("4.9", 1), ("0.082", 1), ("501", 1)]
)
def test_bars_of_an_odd_weight(pour: str, odd: int) -> None:
    tables = changed("products", 0, pour_g=Decimal(pour), net_g=Decimal("0.05"))
    assert warnings(check_bar_weight, tables) == [("products", 2, "pour_g")] * odd
    assert warnings(check_bar_weight, GOOD) == []
