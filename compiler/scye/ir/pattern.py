"""Stage 7, the pattern of one body: plain figures in mm (x right, y down), ready to print.

Renderers read this and compute no geometry of the garment themselves.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from scye.diagnostics.model import Severity
from scye.ir.fitting import Rested
from scye.ir.notions import Notion
from scye.ir.sureness import Beside, HowSure
from scye.source import Span
from scye.units.names import How

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Stroke:
    """An open or closed path: from `start`, each segment a straight line (1 point) or a cubic (3 points)."""

    start: Point
    segments: tuple[tuple[Point, ...], ...]
    closed: bool


@dataclass(frozen=True, slots=True)
class AllowanceRun:
    """A stretch of an edge with one allowance. `start`/`end` are lengths along the edge."""

    width: float
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class Edge:
    """One named side of a piece, in the order round the outline.

    `length` is on the stitch line with darts closed; `drawn` includes dart mouths.
    """

    name: str
    length: float
    drawn: float
    allowances: tuple[AllowanceRun, ...]
    turned_back: bool
    finish: str
    on_fold: bool
    path: Stroke
    letters: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Notch:
    """`at` on the stitch line, `cut` on the cutting line, `inward` the unit direction into the piece.

    `along` is the length from the edge's first end (as it runs round the piece), darts closed.
    """

    edge: str
    name: str
    at: Point
    cut: Point
    inward: Point
    strokes: int
    along: float
    letter: str


@dataclass(frozen=True, slots=True)
class DartMark:
    """A dart as sewn: `legs` from mouth to stitching point to mouth; for a double-pointed dart the two
    sides as strokes. `pivot` is the apex; angle in radians; intake at the mouth in mm."""

    name: str
    edge: str | None
    pivot: Point
    point: Point
    angle: float
    intake: float
    legs: tuple[Stroke, ...]
    fold: Stroke
    pressed: str


@dataclass(frozen=True, slots=True)
class DrillHole:
    at: Point
    text: str


@dataclass(frozen=True, slots=True)
class ShownLine:
    """A line drawn inside a piece and not cut, such as where a pocket lies, with its words if any."""

    stroke: Stroke
    text: str


@dataclass(frozen=True, slots=True)
class FindingMark:
    """Where findings of one kind come along an edge, and the words for them.

    `places` are those of eyelets, hooks or buttons. `lines` is where a bone lies on the stitch line, or, of
    fasteners that aren't said to be set in, a tick from the edge at each of them. The words go `along` places
    that are clear of them.
    """

    kind: str
    text: str
    places: tuple[Point, ...]
    lines: tuple[Stroke, ...]
    along: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class CutOrder:
    """One line of the cut list: `count` cloth pieces of each of `layers`; how `turned` is wrong side up."""

    count: int
    how: How
    layers: tuple[str, ...]

    # The line as it is written on the piece: "cut 2 (a pair) of self, lining".
    text: str


@dataclass(frozen=True, slots=True)
class EdgeLabel:
    """Words along an edge, inside the piece: allowance, seam letter. `angle` in radians, readable upright."""

    at: Point
    angle: float
    text: str
    role: Literal["letter", "allowance"]


@dataclass(frozen=True, slots=True)
class Piece:
    name: str
    title: str
    number: int
    of: int
    cuts: tuple[CutOrder, ...]
    net: Stroke
    cutting: Stroke
    edges: tuple[Edge, ...]
    notches: tuple[Notch, ...]
    darts: tuple[DartMark, ...]
    drills: tuple[DrillHole, ...]
    grain: tuple[Point, Point]
    bias: bool
    labels: tuple[str, ...]
    label_at: Point
    edge_labels: tuple[EdgeLabel, ...]
    # Level lines inside the piece (bust, waist), drawn thin: name and ends.
    levels: tuple[tuple[str, Point, Point], ...]
    shown: tuple[ShownLine, ...] = ()
    marked: tuple[FindingMark, ...] = ()
    # The nap runs from the first end of the grain to the second, and the piece is never turned against it.
    one_way: bool = False


@dataclass(frozen=True, slots=True)
class PieceLines:
    """The lines of a piece alone, to the bit those of the `Piece`: what is shown while a slider is held.
    `edges` have their names; of each dart there are its name, its legs and its fold."""

    name: str
    net: Stroke
    cutting: Stroke
    edges: tuple[tuple[str, Stroke], ...]
    darts: tuple[tuple[str, tuple[Stroke, ...], Stroke], ...]


def lines_of(piece: Piece) -> PieceLines:
    """What there is of a whole piece while a slider is held."""
    return PieceLines(
        piece.name,
        piece.net,
        piece.cutting,
        tuple((edge.name, edge.path) for edge in piece.edges),
        tuple((dart.name, dart.legs, dart.fold) for dart in piece.darts),
    )


Verdict = Literal["walks true", "caution", "not proved", "not drawn"]


@dataclass(frozen=True, slots=True)
class SeamPart:
    """A stretch of a seam between two notches (or ends): both lengths and the ease declared there."""

    name: str
    length_a: float
    length_b: float
    ease: float


@dataclass(frozen=True, slots=True)
class Seam:
    """`difference` is length_a - length_b - ease: over (positive) or short (negative)."""

    letter: str
    a: str
    b: str
    length_a: float
    length_b: float
    ease: float
    difference: float
    verdict: Verdict
    parts: tuple[SeamPart, ...]
    order: int


@dataclass(frozen=True, slots=True)
class Proof:
    """`unit` is `mm` or `` for a plain number."""

    name: str
    expected: float
    found: float
    within: float
    unit: str
    verdict: Verdict
    working: str


@dataclass(frozen=True, slots=True)
class LedgerLine:
    """What one owner takes in at one level (mm); an owner `total` closes each level."""

    at: str
    owner: str
    amount: float


@dataclass(frozen=True, slots=True)
class Value:
    """A named amount: mm, radians or a plain number by `unit` (`mm`, `rad`, `mm2`, ``)."""

    name: str
    value: float
    unit: str
    owner: str
    working: str
    sentence: str


@dataclass(frozen=True, slots=True)
class ValueList:
    """A named list (`panel_width`) whose printed figures are rounded together so that the total holds."""

    name: str
    values: tuple[float, ...]
    unit: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Finding:
    """Something to tell the maker about this body, in her words."""

    code: str
    severity: Severity
    where: str
    text: str
    attempt: str
    span: Span | None


@dataclass(frozen=True, slots=True)
class Nesting:
    """How a piece is laid over its other sizes: `at` is one place of its draft in all of them; `angle` is the
    way (radians) of the line that is to run alike in all, 0 where none was named. `words` say the place."""

    piece: str
    draft: str
    at: Point
    angle: float
    words: str


@dataclass(frozen=True, slots=True)
class Notice:
    """A caution's text that belongs elsewhere than with the pattern: on the measure card, or the findings."""

    name: str
    sheet: Literal["findings", "card"]
    text: str


@dataclass(frozen=True, slots=True)
class DecisionMade:
    """Who let a limit be passed, up to which value (mm, radians or a number by `unit`), when and why."""

    limit: str
    value: float
    unit: str
    by: str
    date: str
    why: str


@dataclass(frozen=True, slots=True)
class Pattern:
    """All that one body gets from one recipe. `points` are the named points of its drafts, by full name."""

    recipe: str
    slug: str
    edition: str
    headings: tuple[tuple[str, str], ...]
    body: str
    date: str
    unit: Literal["in", "cm", "mm"]
    pieces: tuple[Piece, ...]
    seams: tuple[Seam, ...]
    proofs: tuple[Proof, ...]
    ledger: tuple[LedgerLine, ...]
    values: tuple[Value, ...]
    lists: tuple[ValueList, ...]
    reports: tuple[tuple[str, str], ...]
    cautions: tuple[tuple[str, str], ...]
    findings: tuple[Finding, ...]
    # What was fitted on an earlier toile and how it came out on this draft.
    fittings: tuple[Rested, ...] = ()
    points: tuple[tuple[str, Point], ...] = ()
    nests: tuple[Nesting, ...] = ()
    notices: tuple[Notice, ...] = ()
    decisions: tuple[DecisionMade, ...] = ()
    beside: tuple[Beside, ...] = ()
    sure: HowSure | None = None
    notions: tuple[Notion, ...] = ()
    # The steps of sewing in the recipe's words; none where it says nothing of them.
    sewing: tuple[str, ...] = ()
