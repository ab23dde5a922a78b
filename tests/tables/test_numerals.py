"""Numbers as people write them: what is read, and what is refused rather than guessed."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.tables.numerals import NumeralError, read_numeral


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("12", "12"),
        ("-3", "-3"),
        ("\N{MINUS SIGN}3", "-3"),
        ("+2.50", "2.50"),
        (".5", "0.5"),
        ("1.250", "1.250"),
        ("0.30000000000000004", "0.30000000000000004"),
    ],
)
def test_plain_numbers_are_read_exactly(text: str, value: str) -> None:
    numeral = read_numeral(text)
    assert str(numeral.value) == value
    assert not numeral.had_comma


@pytest.mark.parametrize(
    ("text", "value"), [("2,5", "2.5"), ("0,125", "0.125"), ("1234,500", "1234.5"), (",5", "0.5")]
)
def test_a_decimal_comma_is_read_and_told(text: str, value: str) -> None:
    numeral = read_numeral(text)
    assert numeral.value == Decimal(value)
    assert numeral.had_comma


@pytest.mark.parametrize("text", ["1,250", "-12,000", "999,999"])
def test_a_comma_before_three_digits_is_not_guessed(text: str) -> None:
    with pytest.raises(NumeralError, match="thousands and decimals cannot be told apart"):
        read_numeral(text)


def test_both_readings_are_offered() -> None:
    with pytest.raises(NumeralError, match=r"write 1250 or 1\.2500:"):
        read_numeral("1,250")


def test_a_point_before_three_digits_is_not_guessed_where_commas_are_usual() -> None:
    with pytest.raises(NumeralError, match=r"write 1250 or 1\.2500:"):
        read_numeral("1.250", commas_expected=True)
    assert read_numeral("0.250", commas_expected=True).value == Decimal("0.25")
    assert read_numeral("1.25", commas_expected=True).value == Decimal("1.25")


@pytest.mark.parametrize(
    "text",
    ["1,234,567", "1.234,5", "1,234.5", "12 500", "12\N{NO-BREAK SPACE}500", "1'000", "1_000"],
)
def test_thousands_separators_are_refused(text: str) -> None:
    with pytest.raises(NumeralError, match="write it without thousands separators"):
        read_numeral(text)


@pytest.mark.parametrize("text", ["1E+05", "1.5e-3"])
def test_exponents_are_refused(text: str) -> None:
    with pytest.raises(NumeralError, match="write the number out in full"):
        read_numeral(text)


@pytest.mark.parametrize("text", ["5 %", "12.50 EUR", "\N{EURO SIGN}12", "2.5kg"])
def test_signs_and_units_in_the_cell_are_refused(text: str) -> None:
    with pytest.raises(NumeralError, match="write the number alone"):
        read_numeral(text)


@pytest.mark.parametrize(
    "text", ["ten", "1-2", "--", ".", "NaN", "inf", "\N{ARABIC-INDIC DIGIT ONE}"]
)
def test_what_is_no_number_is_refused(text: str) -> None:
    with pytest.raises(NumeralError, match="write digits, with a point before decimals"):
        read_numeral(text)


@given(st.decimals(allow_nan=False, allow_infinity=False, places=5, min_value=-(10**9)))
@settings(max_examples=50, deadline=None)
def test_every_number_written_plainly_is_read_again(value: Decimal) -> None:
    assert read_numeral(format(value, "f")).value == value
