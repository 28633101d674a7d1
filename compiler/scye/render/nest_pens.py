"""How the sizes of a nest are told apart: by line pattern, by colour, and by weight for the base size.

Neighbouring sizes differ in both pattern and colour. The colours are those of Okabe and Ito's palette that
stand out on white (Color Universal Design, 2008), told apart by those who don't see red or green; in
black and white the patterns do by themselves. The base size is solid, black and heavier.
"""

from __future__ import annotations

from dataclasses import dataclass

from scye.render.pens import Nib

COLOURS: tuple[str, ...] = ("#0072b2", "#d55e00", "#007a5a", "#a64d79", "#5b4b00")
# Dashes and gaps in mm.
PATTERNS: tuple[tuple[float, ...], ...] = (
    (8.0, 2.0),
    (2.0, 1.5),
    (8.0, 1.5, 1.5, 1.5),
    (1.0, 1.3),
    (4.0, 3.0),
    (12.0, 1.5, 0.6, 1.5, 0.6, 1.5),
    (5.0, 1.2, 5.0, 1.2, 0.6, 1.2),
)
BASE = Nib(0.7)
WIDTH = 0.4


@dataclass(frozen=True, slots=True)
class SizePen:
    """How the lines of one size are drawn."""

    nib: Nib
    colour: str

    @property
    def cutting(self) -> Nib:
        """Cutting lines are drawn thinner, in the same pattern."""
        return Nib(self.nib.width * 0.6, self.nib.dash)


def size_pens(count: int, base: int) -> tuple[SizePen, ...]:
    """A pen for each of `count` sizes. Up to 35 sizes beside the base no two are alike."""
    others = iter(range(count))
    return tuple(SizePen(BASE, "#000000") if i == base else _pen(next(others)) for i in range(count))


def _pen(k: int) -> SizePen:
    return SizePen(Nib(WIDTH, PATTERNS[k % len(PATTERNS)]), COLOURS[k % len(COLOURS)])
