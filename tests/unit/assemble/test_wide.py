"""Allowances too wide to be meant, and what may have been meant."""

from __future__ import annotations

from fractions import Fraction

import pytest
from by_hand import piece

from scye.assemble.wide import settled_too_wide
from scye.ir.plan import AllowPlan
from scye.ir.syntax import Amount
from scye.source import Source, Span
from scye.units.quantity import UNITS, Quantity

SPAN = Span(Source("by hand", "allow"), 0, 5)


def told(figure: str, symbol: str) -> list[tuple[str, str]]:
    """What is said of an allowance, and what to try."""
    width = Amount(SPAN, Quantity(Fraction(figure), UNITS[symbol]))
    allow = AllowPlan("side", 0, None, None, False, "", SPAN, width, width.quantity.inside)
    return [(d.width, d.attempt()) for d in settled_too_wide([piece("front", (), allowances=(allow,))])]


@pytest.mark.parametrize(
    ("figure", "symbol", "attempt"),
    [
        ("38", "in", "was it 3/8 in or 38 mm?"),
        ("34", "in", "was it 3/4 in or 34 mm?"),
        ("58", "in", "was it 5/8 in or 58 mm?"),
        ("112", "in", "was it 1 1/2 in?"),
        ("138", "in", "was it 1 3/8 in?"),
        ("716", "in", "was it 7/16 in?"),
        ("15", "in", "was it 15 mm?"),
        ("99", "in", "look at the figure again"),
        ("38", "cm", "was it 38 mm?"),
        ("380", "mm", "look at the figure again"),
    ],
)
def test_what_may_have_been_meant(figure: str, symbol: str, attempt: str) -> None:
    assert told(figure, symbol) == [(f"{figure} {symbol}", attempt)]


@pytest.mark.parametrize(("figure", "symbol"), [("12", "in"), ("30", "cm"), ("300", "mm"), ("3/8", "in")])
def test_the_deepest_hem_passes(figure: str, symbol: str) -> None:
    assert told(figure, symbol) == []
