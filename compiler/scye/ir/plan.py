"""Stage 4b, the cutting plan: pieces, seams and proofs of one expanded recipe, in terms of its nodes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from scye.ir.equations import Ref
from scye.ir.notions import NotionPlan
from scye.ir.syntax import Expr
from scye.source import Span

CornerTreatment = Literal["extended", "mirrored", "blunt", "stepped", "mitred"]


@dataclass(frozen=True, slots=True)
class BoundaryPlan:
    """One line round a piece: `name` becomes the edge's name. `meets_next_at` is a point node that says
    where it meets the following line, when the recipe gives one."""

    name: str
    line: Ref
    span: Span
    meets_next_at: Ref | None = None


@dataclass(frozen=True, slots=True)
class CutPlan:
    """`count` cloth pieces; how: a mirrored pair, on a fold (`fold` names the edge), single right side up,
    or plain copies; `layers` in the maker's words (self, lining, ...)."""

    count: int
    how: Literal["pair", "fold", "single", "plain"]
    fold: str | None
    layers: tuple[str, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class AllowPlan:
    """An allowance for an edge, or for a stretch of it between two points. `width` None means net.

    `said` is the width as it is written; `settled` is it in mm, where plain figures and choices settle it.
    """

    edge: str
    width: Ref | None
    start: Ref | None
    end: Ref | None
    turned_back: bool
    finish: str
    span: Span
    said: Expr | None = None
    settled: float | None = None


@dataclass(frozen=True, slots=True)
class CornerPlan:
    first: str
    second: str
    treatment: CornerTreatment
    span: Span


@dataclass(frozen=True, slots=True)
class NotchPlan:
    """A notch asked for on an edge, at a point node or where a line node crosses the edge."""

    edge: str
    point: Ref | None
    line: Ref | None
    strokes: int
    span: Span


@dataclass(frozen=True, slots=True)
class DrillPlan:
    point: Ref
    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class ShowPlan:
    """A line to be drawn inside a piece, with the words on it."""

    line: Ref
    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class DartPlan:
    """A dart of the draft. Edge darts have `edge_line` (the line its mouth sits on), `mouth` (the middle
    of the mouth on that line), `apex` (the pivot), `short` (how far the stitching stops before it), and
    `intake` or `angle`. Double-pointed darts have `start`, `end` and stations (level line, amount).

    `pressed` is a direction node: the way the fulness is pressed.
    """

    name: str
    draft: str
    edge_line: Ref | None
    mouth: Ref | None
    apex: Ref | None
    short: Ref | None
    intake: Ref | None
    angle: Ref | None
    start: Ref | None
    end: Ref | None
    stations: tuple[tuple[Ref, Ref, str], ...]  # (point on the dart's centre, amount, level's name)
    pressed: Ref | None
    span: Span


@dataclass(frozen=True, slots=True)
class MovePlan:
    """Move `share` (None: all) of a dart to an edge of the piece at a point; the new dart's name."""

    dart: str
    share: Ref | None
    edge: str
    point: Ref
    new_name: str
    pressed: Ref | None
    span: Span


@dataclass(frozen=True, slots=True)
class ClosePlan:
    """A dart closed whose wedge runs through the piece from edge to edge, or ends on an edge."""

    dart: str
    span: Span


@dataclass(frozen=True, slots=True)
class ReleasePlan:
    """A dart that is not sewn: what it holds is gathered, eased or tucked into the seam of its edge."""

    dart: str
    kind: Literal["gathers", "ease", "tuck"]
    span: Span


@dataclass(frozen=True, slots=True)
class SlashPlan:
    """Slashes from an edge to another, spread, overlapped or folded.

    The one slash runs from `point` to `far_point`; without them `count` slashes part both edges evenly.
    `near` is how much is spread at the first edge, or the angle if `angular`; `far` at the other (None: it is
    hinged there). Of pleats and tucks `near` is the depth.
    """

    kind: Literal["spread", "overlap", "pleat", "tuck", "box pleat", "inverted pleat"]
    edge: str
    far_edge: str
    point: Ref | None
    far_point: Ref | None
    count: int
    near: Ref
    angular: bool
    far: Ref | None
    pressed: Ref | None
    span: Span


@dataclass(frozen=True, slots=True)
class BlendPlan:
    """An edge redrawn as a fair curve through its stretches."""

    edge: str
    span: Span


OperationPlan = MovePlan | ClosePlan | ReleasePlan | SlashPlan | BlendPlan


@dataclass(frozen=True, slots=True)
class NestAt:
    """The place (a point node) that all sizes of a piece share when they are laid over each other, and the
    way (a direction node) that is to run alike in all, if a line is named. `words` are the recipe's."""

    point: Ref
    along: Ref | None
    words: str


@dataclass(frozen=True, slots=True)
class PiecePlan:
    name: str
    title: str
    draft: str  # the draft whose lines bound it (for girths)
    boundary: tuple[BoundaryPlan, ...]
    cuts: tuple[CutPlan, ...]
    grain: Ref | None  # a direction node
    bias: bool
    one_way: bool  # the nap runs the way of the grain, and the piece is never turned against it
    allowances: tuple[AllowPlan, ...]
    corners: tuple[CornerPlan, ...]
    notches: tuple[NotchPlan, ...]
    drills: tuple[DrillPlan, ...]
    moves: tuple[OperationPlan, ...]  # in the order written
    labels: tuple[str, ...]
    span: Span
    nest: NestAt | None = None
    shows: tuple[ShowPlan, ...] = ()


@dataclass(frozen=True, slots=True)
class SidePlan:
    """One stretch of a seam's side: an edge of a piece, walked as its line was drawn unless reversed."""

    piece: str
    edge: str
    reversed: bool
    span: Span


@dataclass(frozen=True, slots=True)
class MatchPlan:
    """A pair of notches: where `line` crosses both sides; or point `first` on the first side with `second`
    on the second; or at `distance` along both sides from the seam's start or end."""

    name: str
    line: Ref | None
    first: Ref | None
    second: Ref | None
    distance: Ref | None
    origin: Literal["start", "end"]
    strokes: int
    span: Span


@dataclass(frozen=True, slots=True)
class EasingPlan:
    """The first side is longer by `amount`, all of it between two matches (None: anywhere)."""

    amount: Ref
    between: tuple[str, str] | None
    span: Span
    gathered: bool = False


@dataclass(frozen=True, slots=True)
class SewPlan:
    """A seam. With `to_pair` the second side is the same edge on the mirrored twin."""

    letter: str
    first: tuple[SidePlan, ...]
    second: tuple[SidePlan, ...]
    to_pair: bool
    easings: tuple[EasingPlan, ...]
    matches: tuple[MatchPlan, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class MeasuredOnPieces:
    """A term of a proof that is measured on the finished pieces, darts closed.

    what: `girth` sums every piece of the line's draft, both sides; `width` is one piece.
    """

    what: Literal["girth", "width"]
    line: Ref
    line_name: str
    draft: str
    piece: str | None


@dataclass(frozen=True, slots=True)
class ProveTerm:
    """sign * value, where the value is a node or is measured on the pieces."""

    sign: float
    value: Ref | MeasuredOnPieces


@dataclass(frozen=True, slots=True)
class ProvePlan:
    """left (sum of terms) = right (sum of terms) within a tolerance (mm, or a plain number)."""

    title: str
    left: tuple[ProveTerm, ...]
    relation: Literal["=", "<=", ">="]
    right: tuple[ProveTerm, ...]
    within: Ref | None
    left_expr: Expr
    right_expr: Expr
    span: Span


@dataclass(frozen=True, slots=True)
class KeepPlan:
    """`keep` (a caution) or `require` (a failure): `title` names the value for the message."""

    title: str
    value: Ref
    relation: Literal["at most", "at least"]
    limit: Ref
    limit_name: str
    advice: str
    require: bool
    span: Span


@dataclass(frozen=True, slots=True)
class BoundPlan:
    """A bound of a limit: its `amount`; where it is a share of something, the share and the whole's words."""

    amount: Ref
    share: Ref | None
    whole: Ref | None
    whole_name: str


@dataclass(frozen=True, slots=True)
class LimitPlan:
    """A limit that holds. `asked` is what it would be without limits, `used` what is drafted with; `limit`
    is the first of its bounds (or the amount for minors), `allowed` that or what was decided, if further.

    `minor`, `by_hand` and `health` are yes or no for each body (1 or 0); `leaves` is told of a held draft.
    """

    title: str
    relation: Literal["at most", "at least"]
    asked: Ref
    used: Ref
    limit: Ref
    allowed: Ref
    bounds: tuple[BoundPlan, ...]
    caution: tuple[BoundPlan, ...]
    leaves: tuple[str, Ref] | None
    for_minors: Ref | None
    minor: Ref
    by_hand: Ref
    health: Ref
    span: Span


@dataclass(frozen=True, slots=True)
class ReportPlan:
    title: str
    value: Ref
    share_of: Ref | None
    share_name: str
    span: Span


@dataclass(frozen=True, slots=True)
class CautionPlan:
    name: str
    condition: Ref | None
    span: Span


@dataclass(frozen=True, slots=True)
class FittedPlan:
    """What a fitting correction takes off the width (negative: adds) of a piece at a line, in mm."""

    piece: str
    draft: str
    line: Ref
    amount: Ref


@dataclass(frozen=True, slots=True)
class CuttingPlan:
    title: str
    slug: str
    edition: str
    headings: tuple[tuple[str, str], ...]
    pieces: tuple[PiecePlan, ...]
    darts: tuple[DartPlan, ...]
    seams: tuple[SewPlan, ...]
    proofs: tuple[ProvePlan, ...]
    keeps: tuple[KeepPlan, ...]
    reports: tuple[ReportPlan, ...]
    cautions: tuple[CautionPlan, ...]
    seam_warn: Ref | None
    seam_fail: Ref | None
    fitted: tuple[FittedPlan, ...] = ()
    limits: tuple[LimitPlan, ...] = ()
    notions: tuple[NotionPlan, ...] = ()
    # The steps of sewing in the recipe's words; none where it says nothing of them.
    sewing: tuple[str, ...] = ()
