"""A lay: the cut pieces of one layer laid on cloth.

On cloth x runs along the selvedge from the end that is cut first, y across it from one selvedge, or from the
fold of folded cloth; mm, right side up, x right and y down as drawn.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from scye.ir.pattern import CutOrder, Point, Stroke
from scye.ir.people import DisplayUnit
from scye.ir.requests import Setting

Nap = Literal["one-way", "two-way", "none"]


@dataclass(frozen=True, slots=True)
class Shrinkage:
    """What cloth loses when it is washed, as shares of 1: `along` the grain and `across` it."""

    along: float
    across: float


NO_SHRINKAGE = Shrinkage(0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Cloth:
    """What is laid on. `width` is the usable width (mm) of the cloth opened out, selvedges off.

    `nap`: one-way, all heads one way; two-way, pieces may be turned end to end, the two of a pair alike;
    none, each by itself. `repeat` is the length of a pattern repeat (mm, 0 for none), `gap` the least room
    between pieces, `ends` what is left at each end of the cloth.
    """

    layer: str
    width: float
    nap: Nap
    folded: bool
    repeat: float
    shrinkage: Shrinkage
    gap: float
    ends: float


@dataclass(frozen=True, slots=True)
class PieceToLay:
    """What a lay takes of a piece: its cutting line and grain in the piece's own coordinates.

    `fold` is the edge to be laid on the fold, if there is one. Of a piece that is `one_way` the nap runs from
    the first end of the grain to the second, and it is never turned, whatever the cloth.
    """

    name: str
    title: str
    cuts: tuple[CutOrder, ...]
    cutting: Stroke
    grain: tuple[Point, Point]
    fold: tuple[Point, Point] | None
    one_way: bool = False


@dataclass(frozen=True, slots=True)
class Garment:
    """Whose pieces are laid. `whole` is false where some piece could not be drawn or is not to be cut yet."""

    recipe: str
    edition: str
    body: str
    date: str
    unit: DisplayUnit
    pieces: tuple[PieceToLay, ...]
    whole: bool


@dataclass(frozen=True, slots=True)
class Placement:
    """One cut: a piece of paper laid on the cloth once. `copy` counts from 1 to `of`.

    The piece's own coordinates come to the cloth's so: mirrored (x to -x) if `mirrored`, then turned by
    `angle` (radians, clockwise as drawn), then moved by `move`. `opened` is a fold piece laid whole: its
    paper turned over on the fold edge as well. `double` is cut through both layers of folded cloth.
    `outline` is the cutting line on the cloth, `grain` its line from foot to head, `area` (mm2) what one
    layer gives; `crease` is the paper's fold edge on the cloth.
    """

    piece: str
    title: str
    copy: int
    of: int
    mirrored: bool
    opened: bool
    on_fold: bool
    double: bool
    angle: float
    move: Point
    outline: tuple[Point, ...]
    grain: tuple[Point, Point]
    crease: tuple[Point, Point] | None
    area: float


@dataclass(frozen=True, slots=True)
class Stretch:
    """A length of cloth laid one way: from `start` (mm along the cloth) for `length`.

    Folded lengthwise, `width` is half of the cloth's, and y counts from the fold.
    """

    folded: bool
    start: float
    length: float
    width: float
    placements: tuple[Placement, ...]


Way = Literal["fast", "own search", "packing library"]


@dataclass(frozen=True, slots=True)
class Lay:
    """A garment's cut on cloth. `way` is how the shortest lay was come by."""

    garment: Garment
    cloth: Cloth
    stretches: tuple[Stretch, ...]
    way: Way

    @property
    def length(self) -> float:
        return sum(stretch.length for stretch in self.stretches)

    @property
    def area(self) -> float:
        """All cloth that is cut out (mm2), both layers counted."""
        return sum(p.area * (2 if p.double else 1) for s in self.stretches for p in s.placements)

    @property
    def efficiency(self) -> float:
        return self.area / (self.length * self.cloth.width)


@dataclass(frozen=True, slots=True)
class Figure:
    """A line of the reckoning: what it is, how much as it is read, and where it comes from."""

    name: str
    amount: str
    source: str


@dataclass(frozen=True, slots=True)
class Reckoning:
    """How much cloth: the lines that add to the length to buy, the check beside it, and what else is told.

    `length` is what is to be bought, in mm.
    """

    lines: tuple[Figure, ...]
    buy: Figure
    length: float
    check: tuple[Figure, ...]
    notes: tuple[Figure, ...]


@dataclass(frozen=True, slots=True)
class CutLabel:
    """The words of one cut on the drawn lay: `number` counts all cuts; `lines`, in letters of `size` mm on
    paper, are centred on `at` (mm on the cloth)."""

    number: int
    title: str
    how: str
    lines: tuple[str, ...]
    size: float
    at: Point


@dataclass(frozen=True, slots=True)
class LayStretchSheet:
    """A stretch with its words, and a label for each of its placements."""

    stretch: Stretch
    words: str
    length: str
    labels: tuple[CutLabel, ...]


@dataclass(frozen=True, slots=True)
class LaySheet:
    """A lay ready to be drawn, 1 : `scale`, with all of its words."""

    lay: Lay
    reckoning: Reckoning
    title: str
    cloth: str
    way: str
    width: str
    scale: int
    stretches: tuple[LayStretchSheet, ...]


@dataclass(frozen=True, slots=True)
class LayRequest:
    """Lay a recipe for one card, or one body of a pattern.json, on cloth; `search` in seconds, 0 for none.

    With the maker's `rates` the lists are written as well, their cloth as the lay takes it.
    """

    recipe: Path | None
    card: Path | None
    pattern: Path | None
    body: str | None
    settings: tuple[Setting, ...]
    units: DisplayUnit | None
    cloth: Cloth
    search: int
    out: Path
    rates: Path | None = None
