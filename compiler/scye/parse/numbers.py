"""Written amounts: their one pattern, shared by the grammar and the formatter, and their exact value."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache

from scye.units.quantity import UNITS, Quantity

VULGAR = {
    "½": Fraction(1, 2),
    "¼": Fraction(1, 4),
    "¾": Fraction(3, 4),
    "⅛": Fraction(1, 8),
    "⅜": Fraction(3, 8),
    "⅝": Fraction(5, 8),
    "⅞": Fraction(7, 8),
}
_VULGAR = "[" + "".join(VULGAR) + "]"
# `in` is no unit in `share 4 in proportion 1, 2`.
UNIT = r"(?:%|(?:mm|cm|m|in(?![ \t]+proportion)|yd|deg)(?!\w))"
NUMBER = (
    r"(?:[0-9]+[ \t]+[0-9]+\/[0-9]+|[0-9]+\/[0-9]+"
    rf"|[0-9]+(?:\.[0-9]+)?(?:[ \t]*{_VULGAR})?|{_VULGAR})"
)
AMOUNT = rf"{NUMBER}(?:[ \t]*{UNIT})?"

# Longer runs of figures than this are not turned into numbers at all.
MOST_FIGURES = 15
LARGEST = 1_000_000_000

_SPLIT = re.compile(rf"(?P<number>{NUMBER})[ \t]*(?P<unit>[a-z%]*)")


def split_amount(text: str) -> tuple[str, str]:
    """The number and the unit of a written amount; the unit may be empty."""
    found = _SPLIT.fullmatch(text)
    assert found is not None, f"not an amount: {text!r}"
    return found["number"], found["unit"]


def number_value(text: str) -> Fraction:
    """The exact value of `3`, `4.5`, `3/8`, `1 3/8`, `1⅜`. Raises ZeroDivisionError over nought."""
    if text[-1] in VULGAR:
        whole = text[:-1].strip()
        return (Fraction(whole) if whole else Fraction(0)) + VULGAR[text[-1]]
    return sum((Fraction(part) for part in text.split()), Fraction(0))


@lru_cache(maxsize=1024)
def quantity(text: str) -> Quantity:
    """The quantity of a written amount that has been found well formed."""
    number, unit = split_amount(text)
    return Quantity(number_value(number), UNITS[unit] if unit else None)
