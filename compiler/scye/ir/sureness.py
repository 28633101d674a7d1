"""How sure a pattern is: error bars of measures carried to what is finished, and rules beside the tape."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal


@dataclass(frozen=True, slots=True)
class ErrorBar:
    """What one measure may be out by: `bar` in mm, or radians by `unit` (`mm`, `rad`).

    It is the tolerance of the catalogue, doubled where the measure was taken once or it isn't said how often.
    """

    measure: str
    title: str
    unit: str
    bar: float
    times: int | None


@dataclass(frozen=True, slots=True)
class Part:
    """What the error bar of one measure does to a figure, in the figure's own unit.

    `slope` is the figure's change for a change of one (mm or radian) of the measure. Where a rounding or a
    comparison lies between (`stepped`) there is no slope worth telling: `moves` is then the most that the
    figure goes either way when the measure goes to the ends of its bar.
    """

    measure: str
    slope: float
    moves: float
    stepped: bool


@dataclass(frozen=True, slots=True)
class Doubt:
    """By how much a figure may be `out` (mm, radians or a number by `unit`), and what makes it so.

    The parts are independent errors, so they are combined as the root of the sum of their squares; the
    greatest comes first.
    """

    what: Literal["amount", "seam", "proof"]
    name: str
    unit: str
    out: float
    parts: tuple[Part, ...]
    text: str = ""

    def saying(self, text: str) -> Doubt:
        return replace(self, text=text)


@dataclass(frozen=True, slots=True)
class PieceDoubt:
    """What matters for a piece's edges: each measure's share (0-1) of their variance, greatest first."""

    piece: str
    title: str
    shares: tuple[tuple[str, float], ...]
    text: str


@dataclass(frozen=True, slots=True)
class HowSure:
    bars: tuple[ErrorBar, ...]
    doubts: tuple[Doubt, ...]
    pieces: tuple[PieceDoubt, ...]


@dataclass(frozen=True, slots=True)
class Beside:
    """What the recipe's rule gives for a measure beside what was measured, which is used (mm or radians).

    `far` says that they lie further apart than three times what the tape may be out.
    """

    measure: str
    title: str
    unit: str
    rule: float
    tape: float
    bar: float
    far: bool
    text: str
