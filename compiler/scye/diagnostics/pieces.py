"""What goes wrong with pieces, seams and proofs: E701 to E799."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.model import Diagnostic, Severity


@dataclass(frozen=True, kw_only=True)
class _Said(Diagnostic):
    """A diagnostic whose sentence is made where the figures are."""

    said: str
    hint: str = ""

    def seen(self) -> str:
        return self.said

    def attempt(self) -> str:
        return self.hint


@dataclass(frozen=True, kw_only=True)
class NoAllowance(_Said):
    """An edge of a piece has no seam allowance, and was not said to be net.

    Every edge states its own, because no width is right for all: 1/4 in for an enclosed edge, 1/2 in for a
    side seam, 2 in for a hem. Write `allow 1/2 in on side_seam`, or `net on top_edge` for an edge that has
    none. `allow 1/2 in on seams` does for every edge that is sewn; an edge on a fold needs none.
    """

    code: ClassVar[str] = "E701"
    title: ClassVar[str] = "no allowance stated"


@dataclass(frozen=True, kw_only=True)
class LinesDoNotMeet(_Said):
    """Two lines that follow each other round a piece do not meet, so the piece can't be cut.

    Each line of `bounded by` is trimmed where it meets the next, so they are named in order round the piece.
    Or one is too short: draw it on to the other, or run it on straight, and bound the piece by what you have:

        line longer = shoulder extended
    """

    code: ClassVar[str] = "E702"
    title: ClassVar[str] = "boundary lines that do not meet"
    severity: ClassVar[Severity] = Severity.FAILURE


@dataclass(frozen=True, kw_only=True)
class LinesMeetTwice(_Said):
    """Two lines that follow each other round a piece meet more than once: which meeting is the corner?

        bounded by centre_front, waist_seam, side, hem

    Name the point between them: `bounded by side, hem_point, hem`. If they should meet only once, look at
    the draft for this body: a curve may swing across where it should only touch.
    """

    code: ClassVar[str] = "E703"
    title: ClassVar[str] = "boundary lines that meet more than once"
    severity: ClassVar[Severity] = Severity.FAILURE


@dataclass(frozen=True, kw_only=True)
class EdgeOfNoLength(_Said):
    """Both neighbours of a boundary line meet it at the same place, so nothing of it is left as an edge.

        bounded by waist_line, corner_bit, side, hem_line

    where `waist_line` and `side` both cross `corner_bit` at their own corner. Leave the line out of
    `bounded by`, or move one of the others so that a stretch of it is left.
    """

    code: ClassVar[str] = "E704"
    title: ClassVar[str] = "an edge of no length"
    severity: ClassVar[Severity] = Severity.FAILURE


@dataclass(frozen=True, kw_only=True)
class OutlineCrosses(_Said):
    """The outline of a piece crosses itself: two of its edges run over each other, or one makes a loop.

    It is said how far along each edge the crossing lies, from the corner with the edge before it as one goes
    round the piece. Such a piece can't be cut. Look at the draft for this body: often a measure is out of the
    range the recipe was drawn for, or two points have changed places. A curve that loops may be asked for a
    length that its ends and directions do not give.
    """

    code: ClassVar[str] = "E705"
    title: ClassVar[str] = "an outline that crosses itself"
    severity: ClassVar[Severity] = Severity.FAILURE


@dataclass(frozen=True, kw_only=True)
class DartRunsOff(_Said):
    """The mouth of a dart does not fit on its edge: it runs past the edge's end, or over another dart.

    The mouth is as wide as the intake, half to either side of the place where the dart is marked. Move the
    dart further from the end, take in less, or part one wide dart into two.
    """

    code: ClassVar[str] = "E706"
    title: ClassVar[str] = "a dart that runs off its edge"
    severity: ClassVar[Severity] = Severity.FAILURE


@dataclass(frozen=True, kw_only=True)
class NothingToMove(_Said):
    """A dart is to be moved that the piece does not have, or to a place that is not on the edge named.

    A piece has the darts whose mouth lies on its own stretch of one of its boundary lines.
    """

    code: ClassVar[str] = "E707"
    title: ClassVar[str] = "a dart that can't be moved"
    severity: ClassVar[Severity] = Severity.FAILURE


@dataclass(frozen=True, kw_only=True)
class CannotReshape(_Said):
    """A dart or a slash of a piece cannot be closed, released, spread or folded as the recipe asks.

    A dart can be closed flat where its point lies on the piece's outline or beyond it, so that the cut runs
    from edge to edge: as in a yoke cut through a dart. One that ends inside the piece is moved (`move`), or
    released as gathers, ease or a tuck. A slash runs from one edge to another, and what is overlapped or
    folded must fit between its neighbours.
    """

    code: ClassVar[str] = "E717"
    title: ClassVar[str] = "a piece that cannot be reshaped so"
    severity: ClassVar[Severity] = Severity.FAILURE


@dataclass(frozen=True, kw_only=True)
class ReshapedOtherwise(_Said):
    """A piece was slashed, overlapped or closed, but not quite as the recipe asks: look at it before cutting.

    A slash that would end in the mouth of a dart is cut beside it, where the mouth begins as one goes round
    the piece: name places for it that are clear of the dart. Where an edge is strongly bent or slants to the
    cut, its two sides do not meet when they are laid together; each is drawn to the middle between them,
    fading along the edge. `blend` redraws such an edge as one fair line.
    """

    code: ClassVar[str] = "E719"
    title: ClassVar[str] = "a piece reshaped not quite as asked"
    severity: ClassVar[Severity] = Severity.CAUTION


@dataclass(frozen=True, kw_only=True)
class CuttingLineTidied(_Said):
    """The cutting line ran over itself in a tight curve or a sharp hollow, and the loop was taken out.

    The stitch line is untouched. The allowance is narrower there than was asked; a smaller one would fit.
    """

    code: ClassVar[str] = "E708"
    title: ClassVar[str] = "an allowance that does not fit its curve"
    severity: ClassVar[Severity] = Severity.NOTE


@dataclass(frozen=True, kw_only=True)
class MatchNotFound(_Said):
    """A pair of notches could not be placed: the line does not cross both edges of the seam once, a point
    does not lie on its edge, or an edge is too short.

        sew front.side to back.side
          match bust_line

    The seam is still walked; only these notches are left out. Match a point on each edge instead (`match P
    with Q`, of which P lies on the side named first), or a distance from an end: `match 4 in from end`.
    """

    code: ClassVar[str] = "E709"
    title: ClassVar[str] = "a notch that can't be placed"
    severity: ClassVar[Severity] = Severity.CAUTION


@dataclass(frozen=True, kw_only=True)
class SeamDoesNotWalk(_Said):
    """The two edges of a seam differ in length by more than the recipe allows, beyond the ease declared.

    Seams are walked on the stitch line with darts closed, whole and from notch to notch. Flatten the longer
    edge's curve, put the difference into the shorter edge, or declare it as ease where it lies.
    """

    code: ClassVar[str] = "E710"
    title: ClassVar[str] = "a seam that does not walk"
    severity: ClassVar[Severity] = Severity.FAILURE


@dataclass(frozen=True, kw_only=True)
class SeamNearlyWalks(_Said):
    """The two edges of a seam differ by a little more than is usual, beyond the ease declared.

    It can be sewn, but look at it: a recipe may set its own tolerance with
    `seams warn over 1/16 in fail over 1/8 in`.
    """

    code: ClassVar[str] = "E711"
    title: ClassVar[str] = "a seam that walks with a little over"
    severity: ClassVar[Severity] = Severity.CAUTION


@dataclass(frozen=True, kw_only=True)
class ProofFails(_Said):
    """A `prove` of the recipe does not hold for this body: its sides differ by more than the tolerance.

        prove "laced waist" girth at waist_line = waist - reduction within 1/16 in

    The proof says what the maker relies on, so the draft is not to be cut until it holds. Look at the
    shares and intakes that make it up; `scye trace` shows each. Allow more with `within` only if the cloth
    forgives it.
    """

    code: ClassVar[str] = "E712"
    title: ClassVar[str] = "a proof that does not hold"
    severity: ClassVar[Severity] = Severity.FAILURE


@dataclass(frozen=True, kw_only=True)
class LimitPassed(_Said):
    """A value is past a limit the recipe was asked to `keep`.

        keep "seam A takes" intake[1] at most seam_limit "consider a sixth panel"

    The draft stands, and the words in the recipe say what its writer would consider. Have a look at it
    before cutting; a limit that must not be passed is a `require`.
    """

    code: ClassVar[str] = "E713"
    title: ClassVar[str] = "a limit that is passed"
    severity: ClassVar[Severity] = Severity.CAUTION


@dataclass(frozen=True, kw_only=True)
class RequirementFails(_Said):
    """A value is past a limit the recipe `require`s; what depends on it is not drawn.

        require cap_height at most highest "lower the cap"

    Past that limit the draft would come out, but wrong, so nothing of it is shown. Follow the words that
    the recipe gives, or change the choice or measure that led there.
    """

    code: ClassVar[str] = "E714"
    title: ClassVar[str] = "a requirement that fails"
    severity: ClassVar[Severity] = Severity.FAILURE


@dataclass(frozen=True, kw_only=True)
class LookAlikeEdges(_Said):
    """Edges of two seams are as long as each other and notched alike, so the wrong ones could be joined.

    Set the notches of one seam at least 1/2 in otherwise, or make one of them double.
    """

    code: ClassVar[str] = "E715"
    title: ClassVar[str] = "edges that could be joined wrongly"
    severity: ClassVar[Severity] = Severity.NOTE


@dataclass(frozen=True, kw_only=True)
class WalkedTheOtherWay(_Said):
    """Edges of one side of a seam were drawn in opposite ways, so one was walked from its end to chain them.

        sew sleeve.cap to back.armhole and front.armhole

    The seam is right as it stands. Say `reversed` after the edge to walk it so without this note:
    `front.armhole reversed`.
    """

    code: ClassVar[str] = "E716"
    title: ClassVar[str] = "an edge walked the other way"
    severity: ClassVar[Severity] = Severity.NOTE


@dataclass(frozen=True, kw_only=True)
class AllowanceTooWide(Diagnostic):
    """An allowance is wider than any seam, hem or underlay is cut, so it is most often a slip of the pen.

        allow 38 in on side_seam

    where 3/8 in was meant. In common practice seams have 1/4 to 1 in (6 to 25 mm), 2 in (5 cm) where they
    are to be let out, and hems 1/4 to 3 in (6 to 75 mm); a deep hem, a grown-on facing or the underlay of a
    pleat may have up to 12 in (30 cm). It is drawn as it is asked for.
    """

    code: ClassVar[str] = "E718"
    title: ClassVar[str] = "an allowance wider than any hem"
    severity: ClassVar[Severity] = Severity.CAUTION
    width: str
    instead: tuple[str, ...] = ()

    def seen(self) -> str:
        return f"an allowance of {self.width} is wider than any seam or hem"

    def expected(self) -> str:
        return "up to 1 in (2.5 cm) at seams, 3 in (7.5 cm) at hems, 12 in (30 cm) at the deepest underlay"

    def attempt(self) -> str:
        return f"was it {' or '.join(self.instead)}?" if self.instead else "look at the figure again"
