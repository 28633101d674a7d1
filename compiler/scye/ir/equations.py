"""Stage 4, equations: the recipe unrolled for one set of structural choices.

Every named thing, and every part of one that has to be computed, is a `Node`: one operation on earlier
nodes, referred to by their index (`Ref`). Nothing here knows a body; evaluation runs over any number.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from scye.ir.syntax import Expr, Statement
from scye.source import Span
from scye.units.quantity import Kind, Quantity

Ref = int
Owner = Literal["tape", "rule", "taste", "sum", "fitting", "solved"]

# --- amounts ----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Constant:
    value: float  # mm, mm2, radians or a plain number
    written: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Alias:
    """The same thing under another name."""

    a: Ref


@dataclass(frozen=True, slots=True)
class Taken:
    """A measure of the body; where the card has none, the rule."""

    measure: str
    otherwise: Ref | None


@dataclass(frozen=True, slots=True)
class Chosen:
    """A style choice that is an amount, so that each body may have its own."""

    choice: str


@dataclass(frozen=True, slots=True)
class Negated:
    a: Ref


@dataclass(frozen=True, slots=True)
class Combine:
    op: Literal["+", "-", "*", "/"]
    a: Ref
    b: Ref


@dataclass(frozen=True, slots=True)
class RoundTo:
    a: Ref
    step: Ref
    mode: Literal["nearest", "up", "down"]


@dataclass(frozen=True, slots=True)
class Extreme:
    which: Literal["least", "most"]
    items: tuple[Ref, ...]


@dataclass(frozen=True, slots=True)
class Total:
    items: tuple[Ref, ...]


@dataclass(frozen=True, slots=True)
class Root:
    a: Ref


@dataclass(frozen=True, slots=True)
class TrigOf:
    which: Literal["sine", "cosine", "tangent", "arcsine", "arccosine", "arctangent"]
    a: Ref


@dataclass(frozen=True, slots=True)
class CompareOf:
    op: Literal["<", ">", "<=", ">=", "="]
    a: Ref
    b: Ref


@dataclass(frozen=True, slots=True)
class Logic:
    op: Literal["and", "or", "not"]
    items: tuple[Ref, ...]


@dataclass(frozen=True, slots=True)
class Select:
    condition: Ref
    a: Ref
    b: Ref


@dataclass(frozen=True, slots=True)
class LineLength:
    line: Ref
    start: Ref | None
    end: Ref | None


@dataclass(frozen=True, slots=True)
class DistanceOf:
    a: Ref
    b: Ref


@dataclass(frozen=True, slots=True)
class RiseOf:
    axis: Literal["height", "width"]
    a: Ref
    b: Ref


@dataclass(frozen=True, slots=True)
class AngleOf:
    a: Ref
    b: Ref


@dataclass(frozen=True, slots=True)
class OffLine:
    """How far a point lies off a line, signed: to its right as it was drawn is positive."""

    point: Ref
    line: Ref


@dataclass(frozen=True, slots=True)
class Sought:
    """An unknown of a `find` between two bounds, or (no bounds) what a ring of definitions is guessed by."""

    low: Ref | None
    high: Ref | None


@dataclass(frozen=True, slots=True)
class Held:
    """A value held to a limit by `require`: no number at all (NaN) where the limit is passed."""

    a: Ref
    limit: Ref
    relation: Literal["at most", "at least"]


# --- directions: unit vectors (2, n), x right, y down -----------------------------------------


@dataclass(frozen=True, slots=True)
class Limited:
    """An amount that goes as far as its limit, and is held there."""

    a: Ref
    limit: Ref
    relation: Literal["at most", "at least"]


@dataclass(frozen=True, slots=True)
class Fixed:
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class DirectionAlong:
    """The way a line runs at the place nearest to `at` (None: at its start)."""

    line: Ref
    at: Ref | None
    back: bool


@dataclass(frozen=True, slots=True)
class DirectionSquare:
    """Square to a line at `at`, to the side that the direction `toward` leans to."""

    line: Ref
    at: Ref
    toward: Ref


@dataclass(frozen=True, slots=True)
class DirectionTo:
    a: Ref
    b: Ref


@dataclass(frozen=True, slots=True)
class DirectionTurned:
    base: Ref
    angle: Ref
    toward: Ref


@dataclass(frozen=True, slots=True)
class DirectionBetween:
    a: Ref
    b: Ref


# --- points (2, n) ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Origin:
    pass


@dataclass(frozen=True, slots=True)
class MovePoint:
    base: Ref
    direction: Ref
    amount: Ref


@dataclass(frozen=True, slots=True)
class MeetPoint:
    """Where two lines meet; exactly once unless `nearest` says which."""

    a: Ref
    b: Ref
    nearest: Ref | None


@dataclass(frozen=True, slots=True)
class PointOnLine:
    line: Ref
    amount: Ref
    share: bool
    start: Ref | None


@dataclass(frozen=True, slots=True)
class PointPartWay:
    amount: Ref
    share: bool
    a: Ref
    b: Ref


@dataclass(frozen=True, slots=True)
class FootPoint:
    point: Ref
    line: Ref


@dataclass(frozen=True, slots=True)
class MirrorPoint:
    point: Ref
    line: Ref


@dataclass(frozen=True, slots=True)
class TurnPoint:
    point: Ref
    angle: Ref
    about: Ref


@dataclass(frozen=True, slots=True)
class Laying:
    """The move, without stretching, that brings `a` to `c` and the way from `a` to `b` on to that from `c` to
    `d`."""

    a: Ref
    b: Ref
    c: Ref
    d: Ref


@dataclass(frozen=True, slots=True)
class LayPoint(Laying):
    point: Ref


@dataclass(frozen=True, slots=True)
class EndPoint:
    line: Ref
    which: Literal["start", "end"]


# --- lines ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class GuideLine:
    """An endless straight line through a point in a direction."""

    point: Ref
    direction: Ref


@dataclass(frozen=True, slots=True)
class PolyLine:
    points: tuple[Ref, ...]


@dataclass(frozen=True, slots=True)
class CircleLine:
    radius: Ref
    centre: Ref


@dataclass(frozen=True, slots=True)
class CurveLine:
    """A fair curve through `points`; `goings` are stated directions at each point or None.

    `bow` = (depth, side direction or point, share along the chord, side is a point).
    """

    points: tuple[Ref, ...]
    goings: tuple[Ref | None, ...]
    bow: BowSpec | None
    length: Ref | None
    fulness: Ref | None


@dataclass(frozen=True, slots=True)
class BowSpec:
    depth: Ref
    side: Ref
    side_is_point: bool
    away: bool
    at: Ref | None


@dataclass(frozen=True, slots=True)
class JoinLines:
    lines: tuple[Ref, ...]


@dataclass(frozen=True, slots=True)
class PartLine:
    line: Ref
    start: Ref
    end: Ref


@dataclass(frozen=True, slots=True)
class MirrorLine:
    line: Ref
    axis: Ref


@dataclass(frozen=True, slots=True)
class TurnLine:
    line: Ref
    angle: Ref
    about: Ref


@dataclass(frozen=True, slots=True)
class MoveLine:
    line: Ref
    a: Ref
    b: Ref


@dataclass(frozen=True, slots=True)
class ReverseLine:
    line: Ref


@dataclass(frozen=True, slots=True)
class ExtendLine:
    """A drawn line run on straight past both its ends."""

    line: Ref


@dataclass(frozen=True, slots=True)
class LayLine(Laying):
    line: Ref


@dataclass(frozen=True, slots=True)
class ParallelLine:
    """A line at one distance beside another, to the side where a point or a direction `side` lies."""

    line: Ref
    amount: Ref
    side: Ref
    side_is_point: bool


@dataclass(frozen=True, slots=True)
class PanelEdge:
    """One edge of a panel line: through the stations, each moved off the centre by `offsets`.

    Offsets are to the right (positive) or left (negative), square to the centre line. The edge runs on
    past its first and last station, straight, by `RUN_ON_MM`.
    """

    centre: Ref
    stations: tuple[Ref, ...]  # points on the centre line
    offsets: tuple[Ref, ...]


# --- fitting corrections ------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class EdgeEnd:
    """Where an edge meets its neighbour round a piece; `named` chooses where they meet more than once."""

    line: Ref
    neighbour: Ref
    named: Ref | None


@dataclass(frozen=True, slots=True)
class EndOf:
    """The upper or lower of two ends, as they lie on the paper."""

    a: Ref
    b: Ref
    which: Literal["upper", "lower"]


@dataclass(frozen=True, slots=True)
class PieceSide:
    """1 where the piece bounded by `lines` lies to the right of the numbered one as it was drawn, else -1.

    `meets` says for each line where it meets the next, when the recipe does.
    """

    lines: tuple[Ref, ...]
    meets: tuple[Ref | None, ...]
    edge: int


@dataclass(frozen=True, slots=True)
class FitMove:
    """How a fitting moves the stretch of the line `was` between two points.

    By `amount` at the place `at` (a line that crosses it or a point; None: all along) and as far as the
    places `carried`, fading to nothing at the places `nothing` or, on a side without one, at the end of the
    stretch. The way is `toward`, or (None) square to the line, to its right.
    """

    was: Ref
    start: Ref
    end: Ref
    amount: Ref
    toward: Ref | None
    at: Ref | None
    nothing: tuple[Ref, ...]
    carried: tuple[Ref, ...]


@dataclass(frozen=True, slots=True)
class FittedLine(FitMove):
    """The line after the fitting, run on straight by `past` mm at both ends."""

    past: float


@dataclass(frozen=True, slots=True)
class FollowedLine(FitMove):
    """A neighbour trued: each of its ends that lies on `was` goes with it, nothing at the other end."""

    line: Ref


@dataclass(frozen=True, slots=True)
class FollowedPoint(FitMove):
    """A point that goes with `was` if it lies on it."""

    point: Ref


@dataclass(frozen=True, slots=True)
class FittedAt(FitMove):
    """How far the line was moved where `level` crosses it; 0 where it does not."""

    level: Ref


@dataclass(frozen=True, slots=True)
class FitPlaced(FitMove):
    """1 where the places of a correction are found on the line, else 0."""


Operation = (
    Constant
    | Alias
    | Taken
    | Chosen
    | Negated
    | Combine
    | RoundTo
    | Extreme
    | Total
    | Root
    | TrigOf
    | CompareOf
    | Logic
    | Select
    | LineLength
    | DistanceOf
    | RiseOf
    | AngleOf
    | OffLine
    | Sought
    | Held
    | Limited
    | Fixed
    | DirectionAlong
    | DirectionSquare
    | DirectionTo
    | DirectionTurned
    | DirectionBetween
    | Origin
    | MovePoint
    | MeetPoint
    | PointOnLine
    | PointPartWay
    | FootPoint
    | MirrorPoint
    | TurnPoint
    | LayPoint
    | EndPoint
    | GuideLine
    | PolyLine
    | CircleLine
    | CurveLine
    | JoinLines
    | PartLine
    | MirrorLine
    | TurnLine
    | MoveLine
    | ReverseLine
    | ExtendLine
    | LayLine
    | ParallelLine
    | PanelEdge
    | EdgeEnd
    | EndOf
    | PieceSide
    | FittedLine
    | FollowedLine
    | FollowedPoint
    | FittedAt
    | FitPlaced
)


@dataclass(frozen=True, slots=True)
class Node:
    """One thing to compute. `name` is its full name in the recipe, empty for a part without a name."""

    kind: Kind
    op: Operation
    name: str
    span: Span
    statement: Statement | None
    draft: str = ""
    # For a named amount: how it was written, what each name in it refers to, and who answers for it.
    expr: Expr | None = None
    names: tuple[tuple[str, Ref], ...] = ()
    owner: Owner | None = None
    sentence: str = ""


@dataclass(frozen=True, slots=True)
class Equality:
    """One condition of a `find`: `residual` is a length, number or angle node that must come to nothing."""

    residual: Ref
    span: Span
    find: int  # which find, or -1 for a ring


@dataclass(frozen=True, slots=True)
class LedgerEntry:
    """What one dart or panel line takes in at one level (negative: lets out)."""

    owner: str
    at: str
    line: Ref
    amount: Ref
    span: Span


@dataclass(frozen=True, slots=True)
class Equations:
    nodes: tuple[Node, ...]
    conditions: tuple[Equality, ...]
    ledger: tuple[LedgerEntry, ...]
    lists: tuple[tuple[str, tuple[Ref, ...]], ...]
    # Each find: its unknowns, in the order written.
    finds: tuple[tuple[Span, tuple[Ref, ...]], ...]


# --- blocks (stage 5) -------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Straight:
    """Nodes that can be computed one after another."""

    nodes: tuple[Ref, ...]


@dataclass(frozen=True, slots=True)
class Simultaneous:
    """Unknowns and conditions that must be solved together; `nodes` are computed for each guess, in order."""

    unknowns: tuple[Ref, ...]
    conditions: tuple[Equality, ...]
    nodes: tuple[Ref, ...]


Block = Straight | Simultaneous


@dataclass(frozen=True, slots=True)
class Ordered:
    equations: Equations
    blocks: tuple[Block, ...]
