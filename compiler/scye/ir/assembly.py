"""Stages 7 and 8 before they are told apart by body: pieces, walks and verdicts as arrays over bodies.

The last axis of every array is bodies. An `AssemblyPart` holds the bodies whose pieces are built alike
(the same edges, darts and stretches in the same order); nearly always there is one part. What the prove
room judges (`walks`, `sections`) covers the whole batch. NaN is a body for which the thing is not drawn.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from scye.diagnostics.model import Diagnostic, Severity
from scye.geometry.path import Path
from scye.geometry.vector import Array, Flags, Ints
from scye.ir.pattern import CutOrder, Point
from scye.ir.people import DisplayUnit
from scye.ir.plan import DartPlan, PiecePlan
from scye.source import Span

# Words for one body of the batch, with lengths in the maker's unit.
Words = Callable[[int, DisplayUnit], str]


@dataclass(frozen=True, slots=True)
class BodyFinding:
    """Something to tell the maker about each body in `mask` (n,)."""

    code: str
    severity: Severity
    where: str
    mask: Flags
    text: Words
    attempt: Words
    span: Span | None


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of an edge between darts, as it runs round the piece.

    It covers `begin` to `finish` (n,) of the edge as trimmed, before any dart was opened, in mm.
    """

    edge: int
    path: Path
    begin: Array
    finish: Array


# What becomes of cloth that lies between the two ends of a mouth: it is sewn away as a dart, taken up in the
# seam as gathers or ease, or folded there as a pleat or a tuck.
MouthKind = Literal["dart", "gathers", "ease", "pleat", "tuck"]


@dataclass(frozen=True, slots=True)
class Mouth:
    """An edge dart as sewn. `start` and `end` are its mouth's ends in the order round the piece; `point` is
    where the stitching stops; `cap` is the seam edge through the fold, from start to fold and on to end.

    What is gathered, eased or folded at the edge has the same: of a pleat `pivot` and `point` are the far
    ends of its lines from `start` and from `end`, `intake` is twice its depth, and `angle` is nought.
    """

    name: str
    edge: int
    plan: DartPlan | None  # None for what was never drafted as a dart
    pivot: Array
    start: Array
    end: Array
    point: Array
    angle: Array
    intake: Array
    pressed: Array
    cap: tuple[Path, Path]
    kind: MouthKind = "dart"


@dataclass(frozen=True, slots=True)
class DoubleDart:
    """A dart from point to point inside the piece: `sides` each run from `start` to `end`."""

    name: str
    plan: DartPlan
    start: Array
    end: Array
    sides: tuple[Path, Path]
    angle: Array
    intake: Array
    pressed: Array


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of an edge with one allowance, in mm along the edge from its first end, darts closed."""

    width: Array
    start: Array
    end: Array


@dataclass(frozen=True, slots=True)
class EdgeDrawn:
    """One side of a piece in the order round the outline. `forward`: it runs the way its line was drawn.

    `mouths` are what lies between one stretch and the next; None where a dart was closed altogether.
    """

    name: str
    forward: bool
    trimmed: Path
    stretches: tuple[Stretch, ...]
    mouths: tuple[Mouth | None, ...]
    length: Array
    drawn: Array
    runs: tuple[Run, ...]
    turned_back: bool
    finish: str
    on_fold: bool


@dataclass(frozen=True, slots=True)
class NotchDrawn:
    """A notch: `at` on the stitch line, `cut` on the cutting line, `along` its edge with darts closed."""

    edge: int
    name: str
    at: Array
    cut: Array
    inward: Array
    strokes: int
    along: Array
    letter: str


@dataclass(frozen=True, slots=True)
class LabelDrawn:
    """Words along an edge: a seam's letter, or (run not None) the width of that allowance."""

    edge: int
    at: Array
    angle: Array
    letter: str
    run: int | None


@dataclass(frozen=True, slots=True)
class ShownDrawn:
    """A line inside a piece with its words, in parts that are NaN for a body without them."""

    text: str
    parts: tuple[Path, ...]


@dataclass(frozen=True, slots=True)
class LevelDrawn:
    name: str
    start: Array
    end: Array


@dataclass(frozen=True, slots=True)
class PieceDrawn:
    """A piece for the bodies of one part. `net` runs clockwise on the paper, dart mouths bridged by caps.

    `cleaned` replaces the cutting line of single bodies (by place in the part) whose offset crossed itself.
    """

    plan: PiecePlan
    drawn: Flags
    edges: tuple[EdgeDrawn, ...]
    net: Path
    cutting: Path
    cleaned: dict[int, tuple[Point, ...]]
    notches: tuple[NotchDrawn, ...]
    doubles: tuple[DoubleDart, ...]
    drills: tuple[tuple[Array, str], ...]
    grain: tuple[Array, Array]
    label_at: Array
    labels: tuple[LabelDrawn, ...]
    levels: tuple[LevelDrawn, ...]
    letters: tuple[tuple[str, ...], ...]
    cuts: tuple[CutOrder, ...]
    shown: tuple[ShownDrawn, ...]


@dataclass(frozen=True, slots=True)
class AssemblyPart:
    """`bodies` are places in the whole batch, ascending."""

    bodies: Ints
    pieces: tuple[PieceDrawn, ...]


@dataclass(frozen=True, slots=True)
class SeamWalk:
    """Both sides of a seam on the stitch line, darts closed: lengths (n,), and how far along each side each
    match lies (M, n). `a` and `b` name the edges with their pieces, `short_a` and `short_b` the pieces alone
    (or the edges, where both are of one piece). `lie` (n,) is 1 where the first side is walked down the
    paper, -1 where up, 0 where it runs more across than down."""

    letter: str
    a: str
    b: str
    short_a: str
    short_b: str
    length_a: Array
    length_b: Array
    matches_a: Array
    matches_b: Array
    names: tuple[str, ...]
    lie: Array


@dataclass(frozen=True, slots=True)
class Section:
    """The width (n,) of a piece across a line, darts closed, and how many times it is cut in the garment."""

    piece: str
    draft: str
    line: int
    width: Array
    times: int


@dataclass(frozen=True, slots=True)
class DartMove:
    """One move of a piece (by its number), in radians: what the dart held (`taken`), what is left of it at
    the edge `left_at`, and what was opened at the edge `opened_at`."""

    piece: str
    number: int
    dart: str
    left_at: str
    opened_at: str
    taken: Array
    left: Array
    opened: Array


@dataclass(frozen=True, slots=True)
class Reshaped:
    """What an operation did to a piece, for the sheet: `words` with a place `{0}`, `{1}` for each amount.

    Amounts are (n,) mm, or radians where `angular`.
    """

    piece: str
    number: int
    title: str
    words: str
    amounts: tuple[Array, ...]
    angular: tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class Assembly:
    count: int
    parts: tuple[AssemblyPart, ...]
    walks: tuple[SeamWalk, ...]
    sections: tuple[Section, ...]
    moves: tuple[DartMove, ...]
    reshaped: tuple[Reshaped, ...]
    findings: tuple[BodyFinding, ...]
    diagnostics: tuple[Diagnostic, ...]


WALKS_TRUE, CAUTION, NOT_PROVED, NOT_DRAWN = 0, 1, 2, 3  # how a seam or proof stands


@dataclass(frozen=True, slots=True)
class PartJudged:
    """A stretch of a seam from one match to the next along the first side, (n,); NaN where there is none.

    `first` and `last` (n,) say which matches bound it: -1 is the seam's start, `len(names)` its end.
    `over` is what the first side has beyond the ease that may lie here (negative: short).
    """

    first: Ints
    last: Ints
    length_a: Array
    length_b: Array
    ease: Array
    over: Array


@dataclass(frozen=True, slots=True)
class SeamJudged:
    """A walked seam. `difference` = length_a - length_b - ease (n,); `standing` (n,) as above."""

    letter: str
    a: str
    b: str
    length_a: Array
    length_b: Array
    ease: Array
    difference: Array
    standing: Ints
    names: tuple[str, ...]
    parts: tuple[PartJudged, ...]


@dataclass(frozen=True, slots=True)
class ProofJudged:
    """A proof, (n,); `fitted` is what fitting corrections took off `expected` (negative: added to it)."""

    name: str
    expected: Array
    found: Array
    within: Array
    unit: str
    standing: Ints
    fitted: Array


@dataclass(frozen=True, slots=True)
class ReportShown:
    title: str
    text: Words


@dataclass(frozen=True, slots=True)
class Proofs:
    seams: tuple[SeamJudged, ...]
    proofs: tuple[ProofJudged, ...]
    findings: tuple[BodyFinding, ...]
    reports: tuple[ReportShown, ...]
    cautions: tuple[tuple[str, Flags], ...]
