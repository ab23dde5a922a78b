"""Numbers as people and spreadsheets write them.

A decimal comma is read, and said to have been read. What can mean two numbers is refused: "1,250"
is one and a quarter to one reader and a thousand two hundred and fifty to another.
"""

import re
from dataclasses import dataclass
from decimal import Decimal

_PLAIN = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)")
_COMMA = re.compile(r"[+-]?[0-9]*,[0-9]+")
_ONE_GROUP = re.compile(r"[+-]?[1-9][0-9]{0,2}[.,][0-9]{3}")
_GROUPED = re.compile(r"[+-]?[0-9]{1,3}(?:[\s'\u2019_.,][0-9]{3})+(?:[.,][0-9]*)?")
_EXPONENT = re.compile(r"[+-]?[0-9.,]+[eE][+-]?[0-9]+")
_WITH_WORDS = re.compile(r"[^0-9+\-.,]*[+-]?[0-9][0-9.,]*\s*[^0-9+\-.,]*")


class NumeralError(ValueError):
    """A text that cannot be read as one number; the message says what to do."""


@dataclass(frozen=True)
class Numeral:
    """A number that was read, and whether it was written with a decimal comma."""

    value: Decimal
    had_comma: bool = False


def read_numeral(text: str, commas_expected: bool = False) -> Numeral:
    """The number in `text`, exactly as written.

    `commas_expected`: the file comes from a place where decimals are written with a comma, so
    that "1.250" may mean 1250 there and is refused as well. Raises NumeralError.
    """
    text = text.replace("\N{MINUS SIGN}", "-")  # word processors put it in
    if _is_ambiguous(text, commas_expected):
        ways = f"{re.sub('[.,]', '', text)} or {text.replace(',', '.')}0"
        raise NumeralError(f"write {ways}: thousands and decimals cannot be told apart here")
    if _PLAIN.fullmatch(text):
        return Numeral(Decimal(text))
    if _COMMA.fullmatch(text):
        return Numeral(Decimal(text.replace(",", ".")), had_comma=True)
    raise NumeralError(_advice(text))


def _is_ambiguous(text: str, commas_expected: bool) -> bool:
    return bool(_ONE_GROUP.fullmatch(text)) and ("," in text or commas_expected)


def _advice(text: str) -> str:
    """What to do about a text that is no number."""
    if _GROUPED.fullmatch(text):
        return "write it without thousands separators, with a point before decimals"
    if _EXPONENT.fullmatch(text):
        return "write the number out in full"
    if _WITH_WORDS.fullmatch(text):
        return "write the number alone, without a unit or sign of money or percent"
    return "write digits, with a point before decimals: 12.5"
