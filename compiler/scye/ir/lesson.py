"""A lesson: the draft of one recipe as numbered steps for the drawing table, with a sample body's figures.

Lengths in mm, x right and y down. Every figure is kept as it is and as it is printed, so that a reader, or a
test, can follow the steps either way.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from scye.ir.pattern import Point, Stroke
from scye.ir.people import DisplayUnit
from scye.ir.requests import Setting

LessonUnits = Literal["in", "in8", "in16", "cm", "mm"]


@dataclass(frozen=True, slots=True)
class LessonRequest:
    """Teach a recipe on the body of `sample`; `student` is a card whose figures fill the second column.

    `units` None leaves it to the sample's card; `in` is to eighths, as drafts are taught.
    """

    recipe: Path
    sample: Path
    student: Path | None
    settings: tuple[Setting, ...]
    units: LessonUnits | None
    out: Path


@dataclass(frozen=True, slots=True)
class Figure:
    """An amount: `exact` (mm, radians or a plain number), and `printed`, what its `text` says."""

    text: str
    exact: float
    printed: float


@dataclass(frozen=True, slots=True)
class Sum:
    """A figure with how it comes about in the sample's numbers; `student` is empty if left to fill."""

    name: str
    working: str
    figure: Figure
    student: str
    sentence: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """The figures of a list, rounded together; `said` tells how, where rounding one by one would not do."""

    name: str
    sums: tuple[Sum, ...]
    total: str
    said: str


@dataclass(frozen=True, slots=True)
class CurveMark:
    """A place on a curve: so far along the straight between its ends, then so far out (to its right)."""

    along: Figure
    out: Figure
    words: str


# What a field of an act may hold: the number of a thing marked earlier, several, a figure or a word.
Field = int | tuple[int, ...] | Figure | str | tuple[CurveMark, ...] | tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class Act:
    """One thing marked, as a machine can follow it. `id` is what later acts refer to it by; `name` is empty
    for a help that the recipe does not name."""

    id: int
    name: str
    kind: Literal["point", "line", "direction"]
    do: str
    fields: tuple[tuple[str, Field], ...]


@dataclass(frozen=True, slots=True)
class SketchPoint:
    at: Point
    label: str
    new: bool


@dataclass(frozen=True, slots=True)
class Sketch:
    """The draft so far: `old` and `new` number strokes of the lesson; `box` is left, top, width, height."""

    box: tuple[float, float, float, float]
    old: tuple[int, ...]
    new: tuple[int, ...]
    points: tuple[SketchPoint, ...]
    words: str


@dataclass(frozen=True, slots=True)
class Step:
    """One statement of the recipe, one action. `details` are what the hand needs besides: curve marks."""

    number: int
    text: str
    says: str
    details: tuple[str, ...]
    sums: tuple[Sum, ...]
    makes: tuple[str, ...]
    uses: tuple[str, ...]
    acts: tuple[Act, ...]
    sketch: Sketch | None


@dataclass(frozen=True, slots=True)
class Check:
    """What is to be found at the end of a stage."""

    text: str
    expected: str
    found: str
    verdict: str


@dataclass(frozen=True, slots=True)
class Stage:
    title: str
    about: str
    steps: tuple[Step, ...]
    checks: tuple[Check, ...]


@dataclass(frozen=True, slots=True)
class TruedMark:
    """A place on a trued edge: so far right and down of where the draft begins."""

    right: Figure
    down: Figure
    words: str


@dataclass(frozen=True, slots=True)
class Trued:
    """An edge drawn again so that it runs true when the darts are closed."""

    edge: str
    marks: tuple[TruedMark, ...]


@dataclass(frozen=True, slots=True)
class CutOut:
    """A piece to cut out, its lines in order round it. `net` is its stitch line, `cutting` its outer one."""

    piece: str
    title: str
    lines: tuple[str, ...]
    boundary: tuple[str, ...]
    trued: tuple[Trued, ...]
    net: Stroke
    cutting: Stroke
    box: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Lesson:
    recipe: str
    edition: str
    headings: tuple[tuple[str, str], ...]
    sample: str
    student: str
    unit: DisplayUnit
    exactness: str
    remarks: tuple[str, ...]
    cautions: tuple[str, ...]
    measures: tuple[Sum, ...]
    choices: tuple[Sum, ...]
    sums: tuple[Sum, ...]
    rows: tuple[Row, ...]
    sum_checks: tuple[Check, ...]
    stages: tuple[Stage, ...]
    cuts: tuple[CutOut, ...]
    seams: tuple[str, ...]
    strokes: tuple[tuple[int, Stroke], ...]
