"""Stage 7b, the grade: one recipe's sizes side by side. Figures in mm, radians or plain numbers by unit tag.

Every size was drafted from its own measures; what is here is only read off the finished drafts. All figures
are kept as they are in each size, so a move is one subtraction and no rounding can add up from size to size.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from scye.ir.pattern import Finding, Point, Stroke
from scye.ir.people import DisplayUnit
from scye.ir.sheets import Write

Axis = Literal["", "right", "down"]


@dataclass(frozen=True, slots=True)
class GradeRow:
    """One figure in every size, NaN where a size lacks it. `axis` says which way a point is reckoned."""

    name: str
    axis: Axis
    unit: str
    values: tuple[float, ...]

    def moves(self, base: int) -> tuple[float, ...]:
        """How far each size lies from the base size."""
        return tuple(value - self.values[base] for value in self.values)

    def steps(self) -> tuple[float, ...]:
        """From each size to the next."""
        return tuple(after - before for before, after in zip(self.values, self.values[1:], strict=False))


@dataclass(frozen=True, slots=True)
class Crossing:
    """The stitch lines of one edge in two neighbouring sizes cross `times`, first `near` a point.

    `expected` where the line's ends move to opposite sides of it, so that it has to cross once.
    """

    piece: str
    edge: str
    smaller: str
    larger: str
    times: int
    near: str
    expected: bool


@dataclass(frozen=True, slots=True)
class SizeProofs:
    """How one size came out: counts of pieces drawn, seams that walk true and proofs that hold."""

    size: str
    pieces: int
    of: int
    seams_true: int
    seams: int
    proofs_true: int
    proofs: int
    cautions: int
    failures: int


@dataclass(frozen=True, slots=True)
class Grade:
    """All sizes of a run in the order of the chart; `base` is the place among them that moves are taken from.

    `measured_from` says for each draft the place from which its points are reckoned.
    """

    recipe: str
    edition: str
    chart: str
    source: str
    notes: tuple[str, ...]
    unit: DisplayUnit
    sizes: tuple[str, ...]
    base: int
    measured_from: tuple[tuple[str, str], ...]
    measures: tuple[GradeRow, ...]
    points: tuple[GradeRow, ...]
    amounts: tuple[GradeRow, ...]
    seams: tuple[GradeRow, ...]
    edges: tuple[GradeRow, ...]
    girths: tuple[GradeRow, ...]
    crossings: tuple[Crossing, ...]
    proofs: tuple[SizeProofs, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class NestLine:
    """One size of a nested piece. `marks` are its darts, and ticks across the stitch line at its notches."""

    size: int
    cutting: Stroke
    net: Stroke
    marks: tuple[Stroke, ...]


@dataclass(frozen=True, slots=True)
class AlignedPiece:
    """All sizes of one piece laid over each other: the place that they share is at (0, 0).

    `words` name that place; `grain` is the base size's.
    """

    name: str
    title: str
    number: int
    lines: tuple[NestLine, ...]
    grain: tuple[Point, Point]
    one_way: bool
    words: str


@dataclass(frozen=True, slots=True)
class SizeLabel:
    """The name of a size, and the stroke that belongs to it: a leader to its line, or a sample of it."""

    size: int
    stroke: Stroke
    words: Write


@dataclass(frozen=True, slots=True)
class NestPiece:
    """A nested piece on the sheet: `move` takes its own coordinates, which all else is in, to the sheet's.

    `marked`: the place that its sizes share lies on the piece, and is drawn.
    """

    piece: AlignedPiece
    labels: tuple[SizeLabel, ...]
    words: tuple[Write, ...]
    marked: bool
    move: Point


@dataclass(frozen=True, slots=True)
class NestPlan:
    """The nests of a run on one sheet, in mm. `corner` is the top left of the title block, whose lines are
    `words`; `key` has a sample of every size's line. A sheet that is cut up into pages has
    neither: they are on its cover."""

    recipe: str
    edition: str
    sizes: tuple[str, ...]
    base: int
    pieces: tuple[NestPiece, ...]
    width: float
    height: float
    corner: Point | None
    key: tuple[SizeLabel, ...]
    words: tuple[str, ...]
