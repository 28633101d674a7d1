"""Kinds of quantity and their units. Inside the compiler lengths are mm, angles radians, areas mm2."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction


class Kind(Enum):
    """What a thing in a recipe is. The value is the word the maker reads."""

    NUMBER = "number"
    LENGTH = "length"
    AREA = "area"
    ANGLE = "angle"
    PERCENT = "percentage"
    DIRECTION = "direction"
    POINT = "point"
    LINE = "line"
    PANEL_LINE = "panel line"
    DART = "dart"
    PIECE = "piece"
    CHOICE = "choice of words"
    YESNO = "yes or no"
    TEXT = "text"
    DRAFT = "draft"
    DRAWN = "method drawn"
    LIST = "list"

    # A kind is itself alone; that is sooner known than by its word, and asked for by the thousand.
    __hash__ = object.__hash__


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit as a maker writes it; `size` is how many inside units (mm, radians, 1) it is."""

    symbol: str
    kind: Kind
    size: float
    exact: Fraction | None


MM = Unit("mm", Kind.LENGTH, 1.0, Fraction(1))
CM = Unit("cm", Kind.LENGTH, 10.0, Fraction(10))
METRE = Unit("m", Kind.LENGTH, 1000.0, Fraction(1000))
# 1 in = 25.4 mm exactly (international inch, 1959).
INCH = Unit("in", Kind.LENGTH, 25.4, Fraction(254, 10))
YARD = Unit("yd", Kind.LENGTH, 914.4, Fraction(9144, 10))
DEGREE = Unit("deg", Kind.ANGLE, math.pi / 180, None)
PER_CENT = Unit("%", Kind.PERCENT, 0.01, Fraction(1, 100))

UNITS: dict[str, Unit] = {u.symbol: u for u in (MM, CM, METRE, INCH, YARD, DEGREE, PER_CENT)}


@dataclass(frozen=True, slots=True)
class Quantity:
    """An amount as it was written: `1 1/2 in` keeps both its fraction and its unit for printing."""

    value: Fraction
    unit: Unit | None

    @property
    def kind(self) -> Kind:
        return self.unit.kind if self.unit else Kind.NUMBER

    @property
    def inside(self) -> float:
        """The value in inside units: mm, radians, or a plain number (percentages as 0-1)."""
        if self.unit is None:
            return float(self.value)
        if self.unit.exact is not None:
            return float(self.value * self.unit.exact)
        return float(self.value) * self.unit.size
