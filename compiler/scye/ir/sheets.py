"""Stage 8, sheets: where each piece lies on paper, and the flat drawing operations a canvas takes.

Everything is in mm with x right and y down, on the page or sheet that is named.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from scye.ir.pattern import Pattern, Piece, Point, Stroke

Pen = Literal["cut", "stitch", "press", "grain", "notch", "level", "mark", "fine", "frame", "joint"]
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Trace:
    """Draw along a path with a pen."""

    path: Stroke
    pen: Pen


@dataclass(frozen=True, slots=True)
class Fill:
    """Fill a closed path; `tone` is 0 for black to 1 for white."""

    path: Stroke
    tone: float


@dataclass(frozen=True, slots=True)
class Write:
    """Words on one line: `at` on the baseline, `size` the em in mm, `angle` clockwise in radians."""

    at: Point
    words: str
    size: float
    angle: float = 0.0
    anchor: Anchor = "start"


@dataclass(frozen=True, slots=True)
class Begin:
    """Open a group that is moved by `move`; `name` is its identity ('' for none)."""

    name: str
    move: Point


@dataclass(frozen=True, slots=True)
class End:
    """Close the group opened last."""


Operation = Trace | Fill | Write | Begin | End


@dataclass(frozen=True, slots=True)
class Box:
    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.bottom - self.top


@dataclass(frozen=True, slots=True)
class Paper:
    """A size of paper, upright."""

    name: str
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class TextLine:
    words: str
    size: float


@dataclass(frozen=True, slots=True)
class LabelBlock:
    """The words of a piece: lines set one under another, centred on `centre` and turned by `angle`.

    `leader` runs from the block to the piece when the words stand beside a piece too small to hold them.
    """

    lines: tuple[TextLine, ...]
    centre: Point
    angle: float
    leader: Stroke | None


@dataclass(frozen=True, slots=True)
class FoldMark:
    """The bracket inside a fold edge: its `rail`, and arrows from tail to head that point at the fold."""

    rail: Stroke
    arrows: tuple[tuple[Point, Point], ...]
    words: Write


@dataclass(frozen=True, slots=True)
class Lettering:
    """All words of a piece that had to be found room for, in the piece's own coordinates."""

    label: LabelBlock
    levels: tuple[Write, ...]
    grain: Write | None
    folds: tuple[FoldMark, ...]
    drills: tuple[Write, ...]
    shown: tuple[Write, ...]


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece on a sheet: `move` takes its own coordinates to the sheet's; `box` is its room there."""

    piece: Piece
    lettering: Lettering
    move: Point
    box: Box


@dataclass(frozen=True, slots=True)
class RollPage:
    width: float
    height: float
    placed: tuple[Placed, ...]
    title: Box
    # The words of the title block, top to bottom; the first is the title.
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RollPlan:
    """Pieces on roll paper."""

    pattern: Pattern
    pages: tuple[RollPage, ...]


@dataclass(frozen=True, slots=True)
class PicturePlan:
    """All pieces in rows, in the order of their numbers."""

    pattern: Pattern
    width: float
    height: float
    placed: tuple[Placed, ...]


@dataclass(frozen=True, slots=True)
class JointMark:
    """A match mark centred on the joint of two neighbouring tiles, printed alike on both."""

    at: Point
    text: str


@dataclass(frozen=True, slots=True)
class Legend:
    """Where on the sheet a page has the start of its bar, which runs to the right or (`upright`) up, and
    the top left corners of its test squares and its small map."""

    bar: Point
    upright: bool
    squares: Point
    map: Point


@dataclass(frozen=True, slots=True)
class Tile:
    """One page: `window` is the part of the sheet that its printable area shows, `core` its own share
    up to the joint lines."""

    name: str
    row: int
    column: int
    window: Box
    core: Box
    marks: tuple[JointMark, ...]
    legend: Legend


@dataclass(frozen=True, slots=True)
class TilePlan:
    """A sheet cut up into pages of home paper: the pages that carry something, row by row. The first
    cell of the sheet has its top left corner at (0, 0). With no `overlap` the pages are butted.

    `words` are the lines of the cover, `outlines` are drawn in the map.
    """

    recipe: str
    body: str
    paper: Paper
    margin: float
    overlap: float
    rows: int
    columns: int
    placed: tuple[Placed, ...]
    outlines: tuple[Stroke, ...]
    tiles: tuple[Tile, ...]
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ProjectorPlan:
    """Pieces for a projector on one page without joins, `width` by `height` mm.

    `areas` are what the projector shows at a time; neighbours overlap, and a piece that runs from one to
    the other has `marks` there to lay the cloth by. `grid` is the top left corner of the grid for setting up.
    """

    pattern: Pattern
    width: float
    height: float
    placed: tuple[Placed, ...]
    areas: tuple[Box, ...]
    marks: tuple[JointMark, ...]
    grid: Point
    words: tuple[str, ...]
