"""Stage 1, syntax: what a recipe or a method file says, statement by statement, with every place kept."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from scye.source import Source, Span
from scye.units.quantity import Quantity

# --- names ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class NamePart:
    """One part of a name between dots: `panel[2]` has the text `panel` and the index 2."""

    span: Span
    text: str
    index: Expr | None = None


@dataclass(frozen=True, slots=True)
class Name:
    """`waist`, `body.waist_line`, `panel[i].left`."""

    span: Span
    parts: tuple[NamePart, ...]


# --- amounts ----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Amount:
    """A written amount with or without a unit: `2`, `1 1/2 in`, `35%`, `15 deg`."""

    span: Span
    quantity: Quantity


@dataclass(frozen=True, slots=True)
class Negative:
    span: Span
    operand: Expr


@dataclass(frozen=True, slots=True)
class Arithmetic:
    span: Span
    op: Literal["+", "-", "*", "/"]
    left: Expr
    right: Expr


@dataclass(frozen=True, slots=True)
class Rounded:
    """`bust / 6 rounded to 1/2 in`; mode says nearest, up or down."""

    span: Span
    value: Expr
    step: Expr
    mode: Literal["nearest", "up", "down"]


@dataclass(frozen=True, slots=True)
class LengthOf:
    """`length of armhole`, `length of armhole from notch to scye`: along the line, not straight."""

    span: Span
    line: LineExpr
    start: Place | None = None
    end: Place | None = None


@dataclass(frozen=True, slots=True)
class Distance:
    """`distance from A to B`: straight."""

    span: Span
    start: Place
    end: Place


@dataclass(frozen=True, slots=True)
class Rise:
    """`height from A to B` (how far B is above A) or `width from A to B` (how far B is to the right)."""

    span: Span
    axis: Literal["height", "width"]
    start: Place
    end: Place


@dataclass(frozen=True, slots=True)
class AngleBetween:
    """`angle between D and E`: from 0 to 180 degrees."""

    span: Span
    first: Direction
    second: Direction


@dataclass(frozen=True, slots=True)
class Extremum:
    """`least of a, b` in brackets: `least of (a, b)`; `most of (a, b)`; a single list name is allowed."""

    span: Span
    which: Literal["least", "most"]
    items: tuple[Expr, ...]


@dataclass(frozen=True, slots=True)
class SquareRoot:
    """`square root of X`: of an area it is a length, of a number a number."""

    span: Span
    operand: Expr


@dataclass(frozen=True, slots=True)
class Trig:
    """`sine of A`, `cosine of A`, `tangent of A`: a number from an angle; `angle of sine X` back again."""

    span: Span
    which: Literal["sine", "cosine", "tangent", "arcsine", "arccosine", "arctangent"]
    operand: Expr


@dataclass(frozen=True, slots=True)
class SumOf:
    """`sum of widths`, `sum of first i of widths`, `sum of (a, b)`."""

    span: Span
    items: tuple[Expr, ...]
    first: Expr | None = None


@dataclass(frozen=True, slots=True)
class CountOf:
    """`count of widths`: how many a list holds."""

    span: Span
    items: Expr


@dataclass(frozen=True, slots=True)
class Conditional:
    """`1 in if closing is laced otherwise 2 in`."""

    span: Span
    value: Expr
    condition: Condition
    otherwise: Expr


@dataclass(frozen=True, slots=True)
class ListOf:
    """`3 in, 4 in, 3 1/2 in`: a list; only at the top of a named value or as a method's argument."""

    span: Span
    items: tuple[Expr, ...]


@dataclass(frozen=True, slots=True)
class Share:
    """`share X by 35%, 65%`, `share X in proportion 3 in, 4 in`, `share X evenly over 4`: gives a list.

    `parts` holds the percentages or the proportions (or one list name); for `evenly` one count.
    """

    span: Span
    total: Expr
    how: Literal["by", "in proportion", "evenly"]
    parts: tuple[Expr, ...]


@dataclass(frozen=True, slots=True)
class IntakesAt:
    """`intakes at waist_line`: all that darts and panel lines of the draft take in at that line."""

    span: Span
    line: LineExpr


@dataclass(frozen=True, slots=True)
class GirthAt:
    """`girth at waist_line`: all pieces across the line, darts closed, both sides. In `prove` only."""

    span: Span
    line: LineExpr


@dataclass(frozen=True, slots=True)
class WidthAt:
    """`width of front at waist_line`: one piece across the line, darts closed. In `prove` only."""

    span: Span
    piece: Name
    line: LineExpr


@dataclass(frozen=True, slots=True)
class TextValue:
    span: Span
    value: str


# --- conditions -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Compare:
    span: Span
    op: Literal["<", ">", "<=", ">=", "="]
    left: Expr
    right: Expr


@dataclass(frozen=True, slots=True)
class Is:
    """`closing is laced`, `closing is not laced`."""

    span: Span
    name: Name
    word: str
    word_span: Span
    negated: bool


@dataclass(frozen=True, slots=True)
class Truth:
    """A yes-or-no name by itself: `when yoke`."""

    span: Span
    name: Name


@dataclass(frozen=True, slots=True)
class Not:
    span: Span
    operand: Condition


@dataclass(frozen=True, slots=True)
class Both:
    span: Span
    left: Condition
    right: Condition


@dataclass(frozen=True, slots=True)
class Either:
    span: Span
    left: Condition
    right: Condition


Condition = Compare | Is | Truth | Not | Both | Either

# --- directions -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Cardinal:
    span: Span
    way: Literal["up", "down", "left", "right"]


@dataclass(frozen=True, slots=True)
class AlongLine:
    """`along shoulder`: the way the line was drawn; `back along shoulder`: the other way."""

    span: Span
    line: LineExpr
    back: bool = False


@dataclass(frozen=True, slots=True)
class SquareTo:
    """`square to centre_front`, with `toward P` where the side is not plain from the curve."""

    span: Span
    line: LineExpr
    toward: Place | None = None


@dataclass(frozen=True, slots=True)
class Toward:
    """`toward P`."""

    span: Span
    place: Place


@dataclass(frozen=True, slots=True)
class Turned:
    """`right turned 18 deg toward down`."""

    span: Span
    base: Direction
    angle: Expr
    toward: Direction


@dataclass(frozen=True, slots=True)
class Bisecting:
    """`between up and right`: halving the angle."""

    span: Span
    first: Direction
    second: Direction


Direction = Cardinal | AlongLine | SquareTo | Toward | Turned | Bisecting

# --- places (points) --------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class AtPoint:
    """A point by its name."""

    span: Span
    name: Name


@dataclass(frozen=True, slots=True)
class Move:
    direction: Direction
    amount: Expr


@dataclass(frozen=True, slots=True)
class Moved:
    """`A right 3 in up 1 in`: each move starts where the last one ended."""

    span: Span
    base: Place
    moves: tuple[Move, ...]


@dataclass(frozen=True, slots=True)
class Meeting:
    """`where L meets M`, `where L meets M nearest P`."""

    span: Span
    first: LineExpr
    second: LineExpr
    nearest: Place | None = None


@dataclass(frozen=True, slots=True)
class OnLine:
    """`3 in along armhole from scye`, `1/3 along armhole`, `halfway along armhole`.

    `amount` is a length or a share (number or percentage); `start` is the end or the point of the
    line to measure from (None: where the line was begun).
    """

    span: Span
    amount: Expr
    line: LineExpr
    start: Place | None = None


@dataclass(frozen=True, slots=True)
class PartWay:
    """`halfway from A to B`, `1/3 from A to B`, `2 in from A toward B` (a length measures from A)."""

    span: Span
    amount: Expr
    start: Place
    end: Place


@dataclass(frozen=True, slots=True)
class Foot:
    """`square from P to L`: the foot of the perpendicular."""

    span: Span
    place: Place
    line: LineExpr


@dataclass(frozen=True, slots=True)
class MirroredPlace:
    """`P mirrored in L` (L straight)."""

    span: Span
    place: Place
    line: LineExpr


@dataclass(frozen=True, slots=True)
class TurnedPlace:
    """`P turned 10 deg about Q` (clockwise as seen on paper; a negative angle turns back)."""

    span: Span
    place: Place
    angle: Expr
    about: Place


@dataclass(frozen=True, slots=True)
class EndOf:
    """`start of armhole`, `end of armhole`."""

    span: Span
    which: Literal["start", "end"]
    line: LineExpr


@dataclass(frozen=True, slots=True)
class LaidPlace:
    """`P laid from A, B to C, D`: carried by the move, without stretching, that brings A to C and the way
    from A to B on to the way from C to D."""

    span: Span
    place: Place
    laying: tuple[Place, Place, Place, Place]


Place = AtPoint | Moved | Meeting | OnLine | PartWay | Foot | MirroredPlace | TurnedPlace | EndOf | LaidPlace

# --- lines ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class AtLine:
    """A line by its name; `extended` runs a drawn line on past its ends, straight."""

    span: Span
    name: Name
    extended: bool = False


@dataclass(frozen=True, slots=True)
class GuideThrough:
    """`level through P`, `plumb through P`: endless."""

    span: Span
    way: Literal["level", "plumb"]
    place: Place


@dataclass(frozen=True, slots=True)
class LineThrough:
    """`line through A and B`: endless and straight."""

    span: Span
    first: Place
    second: Place


@dataclass(frozen=True, slots=True)
class RayFrom:
    """`line from P going square to L`: straight, endless, in a direction."""

    span: Span
    place: Place
    direction: Direction


@dataclass(frozen=True, slots=True)
class Sweep:
    """`sweep of 6 in about P`: a whole circle, to strike other lines with."""

    span: Span
    radius: Expr
    centre: Place


@dataclass(frozen=True, slots=True)
class Joined:
    """`back_cap then front_cap`: one line of several, end to start."""

    span: Span
    lines: tuple[LineExpr, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """`armhole from A to B`: the stretch between two points on the line."""

    span: Span
    line: LineExpr
    start: Place
    end: Place


@dataclass(frozen=True, slots=True)
class MirroredLine:
    span: Span
    line: LineExpr
    axis: LineExpr


@dataclass(frozen=True, slots=True)
class TurnedLine:
    span: Span
    line: LineExpr
    angle: Expr
    about: Place


@dataclass(frozen=True, slots=True)
class MovedLine:
    """`armhole moved from P to Q`: shifted, keeping its shape."""

    span: Span
    line: LineExpr
    start: Place
    end: Place


@dataclass(frozen=True, slots=True)
class Reversed:
    """`armhole reversed`: drawn from its other end."""

    span: Span
    line: LineExpr


@dataclass(frozen=True, slots=True)
class LaidLine:
    """`yoke_edge laid from A, B to C, D`, as `LaidPlace`."""

    span: Span
    line: LineExpr
    laying: tuple[Place, Place, Place, Place]


@dataclass(frozen=True, slots=True)
class Parallel:
    """`parallel to neck 2 1/2 in toward apex`: at one distance beside a line; `extended` past its ends."""

    span: Span
    line: LineExpr
    amount: Expr
    side: Place | Direction
    extended: bool


LineExpr = (
    AtLine
    | GuideThrough
    | LineThrough
    | RayFrom
    | Sweep
    | Joined
    | Part
    | MirroredLine
    | TurnedLine
    | MovedLine
    | Reversed
    | LaidLine
    | Parallel
)

Expr = (
    Amount
    | Name
    | Negative
    | Arithmetic
    | Rounded
    | LengthOf
    | Distance
    | Rise
    | AngleBetween
    | Extremum
    | SquareRoot
    | Trig
    | SumOf
    | CountOf
    | Conditional
    | ListOf
    | Share
    | IntakesAt
    | GirthAt
    | WidthAt
    | TextValue
)

# --- statements -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Text:
    """A quoted text in its place."""

    span: Span
    value: str


@dataclass(frozen=True, slots=True)
class Ident:
    """A plain name being defined (`cf`) or, with an index, one of a row (`top[i]`)."""

    span: Span
    text: str
    index: Expr | None = None


@dataclass(frozen=True, slots=True)
class Heading:
    """`edition 1`, `about "..."`, `licence CC-BY-4.0`, `studio "..."`, `wearer child`, under the title."""

    span: Span
    key: str
    value: str


@dataclass(frozen=True, slots=True)
class MeantFor:
    """`meant for bust from 28 in to 50 in`: the bodies that a recipe is made for, by a measure or the age."""

    span: Span
    name: Ident
    low: Amount
    high: Amount


@dataclass(frozen=True, slots=True)
class BasedOn:
    """`based on "saltmarsh-bodice" edition 1`."""

    span: Span
    recipe: Text
    edition: int | None


@dataclass(frozen=True, slots=True)
class RecipeHead:
    span: Span
    title: Text
    headings: tuple[Heading, ...]
    based_on: BasedOn | None = None
    meant_for: tuple[MeantFor, ...] = ()


@dataclass(frozen=True, slots=True)
class Use:
    """`use sleeves`: the methods of sleeves.scye, beside the recipe or in stdlib, are known."""

    span: Span
    names: tuple[Ident, ...]


@dataclass(frozen=True, slots=True)
class Need:
    """One measure that is needed, with the rule that stands in where it was not taken."""

    span: Span
    name: Ident
    otherwise: Expr | None = None


@dataclass(frozen=True, slots=True)
class Needs:
    span: Span
    items: tuple[Need, ...]


@dataclass(frozen=True, slots=True)
class Choose:
    """A style choice: a length, angle, percentage or number with a range; words; yes or no."""

    span: Span
    name: Ident
    default: Expr | str
    low: Expr | None
    high: Expr | None
    words: tuple[Ident, ...]
    sentence: Text | None


@dataclass(frozen=True, slots=True)
class Let:
    """`half_bust = (bust - lacing_gap) / 2  "half the bust, less half the gap"`."""

    span: Span
    name: Ident
    value: Expr
    sentence: Text | None
    owner: Literal["tape", "rule", "taste", "sum", "fitting"] | None = None


@dataclass(frozen=True, slots=True)
class Draft:
    span: Span
    name: Ident
    body: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class Begin:
    """`begin at nape`: the first point of a draft."""

    span: Span
    name: Ident
    sentence: Text | None


@dataclass(frozen=True, slots=True)
class Guide:
    """A named level or plumb: `through` a place, or from another guide or point by an amount."""

    span: Span
    way: Literal["level", "plumb"]
    name: Ident
    place: Place | None
    base: Name | None
    moves: tuple[Move, ...]
    sentence: Text | None


@dataclass(frozen=True, slots=True)
class Mark:
    span: Span
    name: Ident
    place: Place
    sentence: Text | None


@dataclass(frozen=True, slots=True)
class StraightLine:
    """`line shoulder from snp to sp`, with further `to`s: straight from point to point."""

    span: Span
    name: Ident
    points: tuple[Place, ...]
    sentence: Text | None


@dataclass(frozen=True, slots=True)
class LineAs:
    """`line cap = back_cap then front_cap`."""

    span: Span
    name: Ident
    value: LineExpr
    sentence: Text | None


@dataclass(frozen=True, slots=True)
class Through:
    """`through P`, or `through each p` for a whole row of points; `going D` states the direction there."""

    span: Span
    place: Place | None
    each: Name | None = None
    going: Direction | None = None


@dataclass(frozen=True, slots=True)
class Bow:
    """`hollow 1/2 in toward P`, `round 1/4 in away from P`, with `at 40%` for the deepest place."""

    span: Span
    word: Literal["hollow", "round"]
    depth: Expr
    away: bool
    side: Place | Direction
    at: Expr | None = None


@dataclass(frozen=True, slots=True)
class Curve:
    span: Span
    name: Ident
    start: Place
    end: Place
    leaving: Direction | None
    arriving: Direction | None
    through: tuple[Through, ...]
    bow: Bow | None
    length: Expr | None
    fulness: Expr | None
    sentence: Text | None


@dataclass(frozen=True, slots=True)
class Station:
    """`at waist_line take 1 in` or `at hem_line spring 1/2 in` (the same with the other sign)."""

    span: Span
    line: LineExpr
    amount: Expr
    spring: bool


@dataclass(frozen=True, slots=True)
class PanelLine:
    """A seam between two panels with what is taken out of it at several levels.

    `left_share` says how much of each intake the left edge takes (None: half).
    """

    span: Span
    name: Ident
    centre: LineExpr
    stations: tuple[Station, ...]
    left_share: Expr | None
    sentence: Text | None


@dataclass(frozen=True, slots=True)
class Dart:
    """A dart with its mouth on an edge (`edge`, `mouth`), or double-pointed (`start`, `end`, stations)."""

    span: Span
    name: Ident
    edge: Name | None
    mouth: Place | None
    apex: Place | None
    short: Expr | None
    intake: Expr | None
    angle: Expr | None
    start: Place | None
    end: Place | None
    stations: tuple[Station, ...]
    pressed: Direction | None
    sentence: Text | None


@dataclass(frozen=True, slots=True)
class Unknown:
    span: Span
    name: Ident
    low: Expr
    high: Expr


@dataclass(frozen=True, slots=True)
class SoThat:
    """One condition of a `find`: two amounts are equal, or a place lies on a line."""

    span: Span
    left: Expr | Place
    relation: Literal["=", "on", "level with", "plumb with"]
    right: Expr | Place | LineExpr


@dataclass(frozen=True, slots=True)
class Find:
    span: Span
    unknowns: tuple[Unknown, ...]
    conditions: tuple[SoThat, ...]
    sentence: Text | None


@dataclass(frozen=True, slots=True)
class When:
    span: Span
    condition: Condition
    body: tuple[Statement, ...]
    otherwise: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class Repeat:
    """`repeat i from 1 to panels`: a fixed count, known before anything is drawn."""

    span: Span
    variable: Ident
    first: Expr
    last: Expr
    body: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class Argument:
    """One `name = value` of a `draw`: an amount or list if it can be read as one, else a line or place.

    A bare name is an `AtPoint`-free `Name` expression; the checker decides what it names.
    """

    span: Span
    name: Ident
    value: Expr | LineExpr | Place | Direction


@dataclass(frozen=True, slots=True)
class Draw:
    """`draw sleeve by set_in_sleeve` with its arguments on the lines below."""

    span: Span
    name: Ident
    method: Ident
    arguments: tuple[Argument, ...]
    sentence: Text | None


@dataclass(frozen=True, slots=True)
class Parameter:
    """`given biceps length "round the arm"`, with ` = default` where it may be left out."""

    span: Span
    name: Ident
    kind: str
    many: bool
    default: Expr | None
    sentence: Text | None


@dataclass(frozen=True, slots=True)
class Gives:
    """`gives cap line "..."`: a name of the method's body that its user may use."""

    span: Span
    name: Ident
    kind: str
    sentence: Text | None


@dataclass(frozen=True, slots=True)
class Method:
    span: Span
    name: Ident
    about: Text | None
    parameters: tuple[Parameter, ...]
    gives: tuple[Gives, ...]
    body: tuple[Statement, ...]


# --- pieces -----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Bounded:
    """`bounded by centre_front, top_edge, panel[1].left, hem`: names of lines, and of points that say
    where two lines meet when they meet more than once."""

    span: Span
    names: tuple[Name, ...]


@dataclass(frozen=True, slots=True)
class Cut:
    """`cut pair of self, lining`; `cut 2 of self`; `cut 1 of self on fold at centre_front`; `cut single`."""

    span: Span
    count: int
    how: Literal["pair", "fold", "single", "plain"]
    fold: Name | None
    layers: tuple[Ident, ...]


@dataclass(frozen=True, slots=True)
class Grain:
    """`grain along centre_front`, `grain down one way`, `grain on true bias`."""

    span: Span
    direction: Direction | None
    bias: bool = False
    one_way: bool = False


@dataclass(frozen=True, slots=True)
class Allow:
    """`allow 1/2 in on waist, side`; `allow 1/2 in on seams`; `allow 3/4 in on cb from waist to zip_end`;
    `allow 1 1/2 in on hem turned back`; `net on top_edge`, with how the edge is finished in quotes;
    `allow 1/4 in on others` is for every edge that nothing nearer speaks of."""

    span: Span
    width: Expr | None
    edges: tuple[Name, ...]
    which: Literal["named", "seams", "others"]
    start: Place | None
    end: Place | None
    turned_back: bool
    finish: Text | None


@dataclass(frozen=True, slots=True)
class Corner:
    """`corner hem, side mirrored`: the corner where two edges meet."""

    span: Span
    first: Name
    second: Name
    treatment: Literal["extended", "mirrored", "blunt", "stepped", "mitred"]


@dataclass(frozen=True, slots=True)
class Notch:
    """`notch side at waist_line`, `notch armhole at 3 in along armhole from scye double`."""

    span: Span
    edge: Name
    place: Place | LineExpr
    strokes: int


@dataclass(frozen=True, slots=True)
class Drill:
    """`drill at apex "bust point"`."""

    span: Span
    place: Place
    sentence: Text | None


@dataclass(frozen=True, slots=True)
class MoveDart:
    """`move side_dart to shoulder at P`, `move 50% of side_dart to shoulder at P called shoulder_dart`."""

    span: Span
    dart: Name
    share: Expr | None
    edge: Name
    place: Place
    name: Ident | None
    pressed: Direction | None


@dataclass(frozen=True, slots=True)
class CloseDart:
    """`close shoulder_dart`: a dart whose wedge runs through the piece from edge to edge."""

    span: Span
    dart: Name


@dataclass(frozen=True, slots=True)
class ReleaseDart:
    """`release waist_dart as gathers`: not sewn as a dart, but taken up in the seam of its edge."""

    span: Span
    dart: Name
    kind: Literal["gathers", "ease", "tuck"]


@dataclass(frozen=True, slots=True)
class Slash:
    """`spread hem at P to waist at Q by 2 in`, `overlap hem to waist in 5 places by 1/2 in and 1/4 in`,
    `pleat waist at P to hem at Q by 1 in pressed left`.

    `places` (None: evenly, `count` of them) are on `edge` and on `far_edge`; `far` is how much at the far
    edge (None: hinged there), and with `both` as much as at the near one.
    """

    span: Span
    kind: Literal["spread", "overlap", "pleat", "tuck", "box pleat", "inverted pleat"]
    edge: Name
    far_edge: Name
    places: tuple[Place, Place] | None
    count: Expr | None
    amount: Expr
    far: Expr | None
    both: bool
    pressed: Direction | None


@dataclass(frozen=True, slots=True)
class Blend:
    """`blend hem`: the edge redrawn as one fair curve."""

    span: Span
    edge: Name


@dataclass(frozen=True, slots=True)
class Nest:
    """`nest at waist_cf`, `nest along centre_front at waist_cf`: how sizes are laid over each other."""

    span: Span
    place: Place
    along: LineExpr | None


@dataclass(frozen=True, slots=True)
class Show:
    """`show pocket_line "pocket"`: a line drawn inside the piece, with words on it."""

    span: Span
    line: LineExpr
    text: Text | None


@dataclass(frozen=True, slots=True)
class LabelLine:
    """`label "This side up"`: a line of text on the piece."""

    span: Span
    text: Text


@dataclass(frozen=True, slots=True)
class ClauseWhen:
    """`when yoke` inside a piece: its clauses hold under that choice."""

    span: Span
    condition: Condition
    body: tuple[PieceClause, ...]
    otherwise: tuple[PieceClause, ...]


# What reshapes a piece, in the order written.
Operation = MoveDart | CloseDart | ReleaseDart | Slash | Blend

PieceClause = (
    Bounded | Cut | Grain | Allow | Corner | Notch | Drill | Operation | Nest | Show | LabelLine | ClauseWhen
)


@dataclass(frozen=True, slots=True)
class Piece:
    span: Span
    name: Ident
    title: Text
    clauses: tuple[PieceClause, ...]


@dataclass(frozen=True, slots=True)
class EveryPiece:
    """`every piece`, with clauses that hold for each piece as far as it says nothing of the matter itself."""

    span: Span
    clauses: tuple[PieceClause, ...]


# --- seams, proofs and the rest ---------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class EdgeRef:
    """An edge of a piece (`front.side`), or a panel line or line alone whose pieces are plain."""

    span: Span
    name: Name
    reversed: bool = False


@dataclass(frozen=True, slots=True)
class Match:
    """`match waist_line`; `match P with Q`; `match 3 in from start double`.

    `line` puts a notch where each side meets it; `first`/`second` are points on the two sides;
    `distance` is measured on both sides from the `origin` end of the seam.
    """

    span: Span
    line: LineExpr | None
    first: Place | None
    second: Place | None
    distance: Expr | None
    origin: Literal["start", "end"]
    strokes: int
    name: Ident | None


@dataclass(frozen=True, slots=True)
class Easing:
    """`easing 1/4 in between upper and lower`: what the first-named side is longer by, and between which
    matches (None: anywhere). With `gathering` it is drawn up in gathers."""

    span: Span
    amount: Expr
    between: tuple[Ident, Ident] | None
    gathered: bool = False


@dataclass(frozen=True, slots=True)
class Sew:
    """`sew a to b`, `sew a and b to c`, `sew a to its pair`, `sew panel[1]` (left edge to right edge)."""

    span: Span
    first: tuple[EdgeRef, ...]
    second: tuple[EdgeRef, ...]
    to_pair: bool
    letter: str | None
    easings: tuple[Easing, ...]
    matches: tuple[Match, ...]


@dataclass(frozen=True, slots=True)
class Prove:
    """`prove "laced waist" girth at waist_line = waist - reduction - lacing_gap within 1/16 in`."""

    span: Span
    title: Text
    left: Expr
    relation: Literal["=", "<=", ">="]
    right: Expr
    within: Expr | None


@dataclass(frozen=True, slots=True)
class Keep:
    """`keep "seam A takes" intake[1] at most seam_limit "consider a sixth panel"`: a caution.

    `require cap_height at most highest "lower the cap"`: a failure, and what depends on it is not drawn.
    """

    span: Span
    title: Text | None
    value: Expr
    relation: Literal["at most", "at least"]
    limit: Expr
    advice: Text | None
    require: bool


@dataclass(frozen=True, slots=True)
class Bound:
    """`4 in`, or `15% of waist`: one of the bounds of a limit, of which the first to be reached counts."""

    span: Span
    amount: Expr
    of: Name | None


@dataclass(frozen=True, slots=True)
class Limit:
    """`limit reduction at most 15% of waist or 4 in`: what is beyond is held until a decision is recorded.

    Below it: `caution over 10% of waist`, `leaves "waist" waist - reduction` (what is told of a held draft)
    and `for minors 0 in` (the limit, and the default, for a wearer under age).
    """

    span: Span
    title: Text | None
    value: Name
    relation: Literal["at most", "at least"]
    bounds: tuple[Bound, ...]
    caution: tuple[Bound, ...]
    leaves: tuple[Text, Expr] | None
    minors: Expr | None

    @property
    def called(self) -> str:
        """What it goes by: the words in its quotes, or the name of what it limits."""
        return self.title.value if self.title is not None else self.value.span.text.replace("_", " ")


@dataclass(frozen=True, slots=True)
class Report:
    """`report "Reduction" reduction as share of waist`."""

    span: Span
    title: Text
    value: Expr
    share_of: Expr | None


@dataclass(frozen=True, slots=True)
class Caution:
    """`caution tight_lacing when reduction > 0 in`: a text of stdlib/cautions.yaml, shown once."""

    span: Span
    name: Ident
    condition: Condition | None


@dataclass(frozen=True, slots=True)
class SeamTolerance:
    """`seams warn over 1/16 in fail over 1/8 in`."""

    span: Span
    warn: Expr
    fail: Expr


# --- findings ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Bone:
    """`bone seam[1] spiral short 1/4 in at each end`, `bone back.left flat twice short 1/4 in at each end`.

    `channel` is a seam by its panel line or line, or an edge of a piece; `each` says how many bones lie
    along it side by side; `steel` is what it is made of, empty where that was not said.
    """

    span: Span
    channel: EdgeRef
    steel: Literal["spiral", "flat", ""]
    each: int
    short: Expr


@dataclass(frozen=True, slots=True)
class Busk:
    """`busk along front.centre_front short 3/4 in`: in all."""

    span: Span
    edge: EdgeRef
    short: Expr


@dataclass(frozen=True, slots=True)
class Fastening:
    """`eyelets along back.left every 1 in from 1/2 in of each end set in 1/2 in`; `hooks`; `buttons`."""

    span: Span
    kind: Literal["eyelets", "hooks", "buttons"]
    edge: EdgeRef
    every: Expr
    inset: Expr
    set_in: Expr | None


@dataclass(frozen=True, slots=True)
class Lace:
    """`lace along back.left opens to 8 in closes to 2 in tails 20 in bought 7 yd`: through its eyelets."""

    span: Span
    edge: EdgeRef
    opened: Expr
    closed: Expr | None
    tails: Expr
    bought: Expr | None


@dataclass(frozen=True, slots=True)
class Bind:
    """`bind top_edge, hem cut 1 1/2 in adding 10% and 4 in`: of the bound length, and for joins."""

    span: Span
    edges: tuple[EdgeRef, ...]
    cut: Expr
    share: Expr | None
    joins: Expr | None


@dataclass(frozen=True, slots=True)
class Tape:
    """`tape at waist_line adding 2 in`."""

    span: Span
    line: LineExpr
    extra: Expr | None


@dataclass(frozen=True, slots=True)
class Zip:
    """`zip along back.left from top_back to zip_end loses 1 1/2 in`; without places, along the whole edge."""

    span: Span
    edge: EdgeRef
    start: Place | None
    end: Place | None
    loses: Expr


@dataclass(frozen=True, slots=True)
class SewingOrder:
    """`sewing order "join the panels", "set the busk"`: steps, in order."""

    span: Span
    steps: tuple[Text, ...]


FindingStatement = Bone | Busk | Fastening | Lace | Bind | Tape | Zip


# --- variants -----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Redraw:
    """`redraw curve top_edge from ...`: stands in place of what the parent has of that name.

    Only as a recipe is written: none is left once it is merged with its parent.
    """

    span: Span
    statement: Statement


@dataclass(frozen=True, slots=True)
class LeaveOut:
    """`leave out yoke, front.bust_dart`, `leave out "laced waist"`, `leave out sew seam[4]`.

    Names of things, titles of proofs, limits and reports, or seams by their sides. As `Redraw`.
    """

    span: Span
    items: tuple[Name | Text | Sew, ...]


Statement = (
    Use
    | Needs
    | Choose
    | Let
    | Draft
    | Begin
    | Guide
    | Mark
    | StraightLine
    | LineAs
    | Curve
    | PanelLine
    | Dart
    | Find
    | When
    | Repeat
    | Draw
    | Method
    | Piece
    | EveryPiece
    | Sew
    | Prove
    | Keep
    | Limit
    | Report
    | Caution
    | SeamTolerance
    | FindingStatement
    | SewingOrder
    | Redraw
    | LeaveOut
)


@dataclass(frozen=True, slots=True)
class File:
    """One parsed file: a recipe (with a head) or a file of methods (without)."""

    source: Source
    head: RecipeHead | None
    body: tuple[Statement, ...]
    # Names that stand in lines which could not be read, so that they are not complained of again.
    unread_names: frozenset[str] = frozenset()
