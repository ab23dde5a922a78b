"""Money in the whole minor units of its currency."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from math import floor

# ISO 4217, list one, minor units other than 2 (from memory).
_OTHER_DIGITS = {
    0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
    3: "BHD IQD JOD KWD LYD OMR TND",
    4: "CLF UYW",
}
_DIGITS = {code: digits for digits, codes in _OTHER_DIGITS.items() for code in codes.split()}


def minor_digits(currency: str) -> int:
    """How many decimals a currency's amounts have; 2 unless ISO 4217 says otherwise."""
    return _DIGITS.get(currency.upper(), 2)


def minor_units(amount: Decimal, digits: int) -> int:
    """An amount of money in minor units, rounded half up."""
    return int(amount.scaleb(digits).to_integral_value(rounding=ROUND_HALF_UP))


def half_up(value: Fraction) -> int:
    """The nearest whole number, halves up."""
    return floor(value + Fraction(1, 2))


def share(percent: Decimal) -> Fraction:
    """A percentage as an exact fraction: 2.5 percent is 1/40."""
    return Fraction(percent) / 100
