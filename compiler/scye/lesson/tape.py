"""How the figures of a lesson are read: to an eighth or a sixteenth, to a tenth of a cm, or to whole mm."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from scye.ir.lesson import Figure, LessonUnits
from scye.ir.people import DisplayUnit
from scye.units.quantity import Kind
from scye.units.tape import parse_quantity, show_length, show_value

_TAPES: dict[LessonUnits, tuple[DisplayUnit, Fraction, str]] = {
    "in": ("in", Fraction(1, 8), "to the nearest 1/8 in"),
    "in8": ("in", Fraction(1, 8), "to the nearest 1/8 in"),
    "in16": ("in", Fraction(1, 16), "to the nearest 1/16 in"),
    "cm": ("cm", Fraction(1, 10), "to the nearest tenth of a centimetre"),
    "mm": ("mm", Fraction(1), "to the nearest whole millimetre"),
}


@dataclass(frozen=True, slots=True)
class Tape:
    """A unit and the step to which it is read."""

    unit: DisplayUnit
    step: Fraction
    said: str

    def length(self, mm: float) -> Figure:
        text = show_length(mm, self.unit, self.step)
        return Figure(text, mm, read_back(text))

    def figure(self, value: float, kind: Kind) -> Figure:
        """An amount of any kind; its printed value is what a reader makes of the text."""
        if kind is Kind.LENGTH:
            return self.length(value)
        if kind is Kind.ANGLE:
            text = show_value(value, "rad", self.unit)
            return Figure(text, value, read_back(text))
        if kind is Kind.PERCENT:
            return Figure(f"{value * 100:.4g}%", value, value)
        if kind is Kind.AREA:
            return Figure(show_value(value, "mm2", self.unit), value, value)
        return Figure(share_words(value), value, value)


def tape_of(units: LessonUnits) -> Tape:
    return Tape(*_TAPES[units])


def read_back(text: str) -> float:
    """What a figure on the page comes to: mm or radians."""
    quantity = parse_quantity(text)
    return math.nan if quantity is None else quantity.inside


def share_words(value: float) -> str:
    """A plain number: a simple fraction where it is one, else a decimal."""
    near = Fraction(value).limit_denominator(16) if math.isfinite(value) else Fraction(0)
    if near.denominator > 1 and abs(float(near) - value) < 1e-9:
        whole, over = divmod(abs(near.numerator), near.denominator)
        sign = "-" if value < 0 else ""
        return f"{sign}{whole} {over}/{near.denominator}" if whole else f"{sign}{over}/{near.denominator}"
    return show_value(value, "", "mm")
