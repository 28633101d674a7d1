"""Figures for buying: as the tape is read, and rounded up where only whole units are sold."""

from __future__ import annotations

import math
from fractions import Fraction

from scye.ir.people import DisplayUnit
from scye.units.tape import on_the_tape, show_length, unit_of

# Strips and laces are bought by the whole unit, a square of cloth by the half inch.
WHOLE: dict[DisplayUnit, Fraction] = {"in": Fraction(1), "cm": Fraction(1), "mm": Fraction(10)}
HALF: dict[DisplayUnit, Fraction] = {"in": Fraction(1, 2), "cm": Fraction(1), "mm": Fraction(10)}
# Of a step: what a sum of lengths may miss by without a further step being bought for it.
SLACK = 1e-4
YARD, METRE = 914.4, 1000.0


def to_tape(mm: float, unit: DisplayUnit) -> float:
    """A length (mm) to the nearest mark of the tape."""
    return on_the_tape(mm, unit)


def rounded_up(mm: float, unit: DisplayUnit, step: Fraction) -> float:
    size = float(step * unit_of(unit).size)
    return math.ceil(mm / size - SLACK) * size


def by_the_reel(mm: float, unit: DisplayUnit) -> str:
    """A long length up to the whole unit, and as it is sold: `242 in (6.7 yd)`, `615 cm (6.2 m)`."""
    up = rounded_up(mm, unit, WHOLE[unit])
    sold = f"{up / YARD:.1f} yd" if unit == "in" else f"{up / METRE:.1f} m"
    return f"{show_length(up, unit, WHOLE[unit])} ({sold})"


def spare_for(count: int) -> int:
    """One in ten, at least one."""
    return max(1, -(-count // 10))
