"""What can't be drawn for a body: E601 to E699. These are findings: other bodies may do well."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.model import Diagnostic, Severity


@dataclass(frozen=True, kw_only=True)
class Undrawable(Diagnostic):
    """Base of what can't be drawn for one body: `name` is the thing, `said` the sentence."""

    severity: ClassVar[Severity] = Severity.FAILURE
    name: str
    said: str
    hint: str = ""

    def seen(self) -> str:
        return self.said

    def attempt(self) -> str:
        return self.hint


@dataclass(frozen=True, kw_only=True)
class DoNotMeet(Undrawable):
    """Two lines that should meet do not, for this body's measures.

    A `line` or a `curve` ends where it was drawn; `extended` runs it on straight. Two levels never meet,
    nor do two plumbs. Look at the measures the lines come from: one may have been taken at another place
    than the recipe means.
    """

    code: ClassVar[str] = "E601"
    title: ClassVar[str] = "lines that do not meet"


@dataclass(frozen=True, kw_only=True)
class MeetOften(Undrawable):
    """Two lines meet more than once, and the recipe does not say which place is meant.

        mark pitch where armhole meets sweep of 3 in about sp

    Add `nearest` and a point: `where armhole meets sweep of 3 in about sp nearest scye`. A sweep is a whole
    circle and so meets most lines twice.
    """

    code: ClassVar[str] = "E602"
    title: ClassVar[str] = "lines that meet more than once"


@dataclass(frozen=True, kw_only=True)
class LengthOutOfReach(Undrawable):
    """A curve can't have the length that is stated.

    It is shorter than the straight between its ends, or so long that the curve would loop. The message
    gives the lengths that can be reached with these ends and directions. Change the length, move an end, or
    leave a direction free. Where the length comes from another edge, look whether that one is as it should
    be.
    """

    code: ClassVar[str] = "E603"
    title: ClassVar[str] = "a length out of reach"


@dataclass(frozen=True, kw_only=True)
class NothingFits(Undrawable):
    """No value of the unknown, within its bounds, meets the condition of a `find`.

        find cap_height from 3 in to 7 in
          so that length of cap = length of armhole + 1 in

    The message says how near it comes at best. Widen the bounds if a value outside them would do; otherwise
    change what is asked. If nothing could be drawn between the bounds at all, begin with what depends on
    it.
    """

    code: ClassVar[str] = "E604"
    title: ClassVar[str] = "an unknown that can't be found"


@dataclass(frozen=True, kw_only=True)
class ConditionsDisagree(Undrawable):
    """The conditions of a `find`, or the lines of a ring, can't all be met for this body.

    Each may be met by itself, but not all of them together; or one of them says the same as another and so
    leaves an unknown open. The message names them and says how near they come at best. Take one away and
    look what comes out; then change the one that asks too much.
    """

    code: ClassVar[str] = "E605"
    title: ClassVar[str] = "conditions that disagree"


@dataclass(frozen=True, kw_only=True)
class NotOnLine(Undrawable):
    """A point that a line is measured from, or cut at, does not lie on the line, or lies past its end.

        mark pitch 3 in along armhole from shoulder_tip

    Only places within half a tenth of a millimetre count as on it. Mark the point along the line, or where
    another line meets it: `where armhole meets chest_line`.
    """

    code: ClassVar[str] = "E606"
    title: ClassVar[str] = "a point that is not on the line"


@dataclass(frozen=True, kw_only=True)
class PointsCoincide(Undrawable):
    """Two points are at the same place, so that no line or direction runs between them.

        curve bend from waist_cf to waist_side

    where the two happen to coincide for this body. Look at the sum that should part them: it comes to
    nothing. Where that may happen, draw the thing only under a choice.
    """

    code: ClassVar[str] = "E607"
    title: ClassVar[str] = "points at the same place"


@dataclass(frozen=True, kw_only=True)
class SumImpossible(Undrawable):
    """A sum has no answer for these measures.

    It divides by nothing, takes the root of less than nothing, or asks for the angle of a sine greater than
    1, as when a slope is to rise further than its line is long. Look at the figures that the message names;
    a measure may be taken wrongly, or a `least of` or `most of` may be lacking.
    """

    code: ClassVar[str] = "E608"
    title: ClassVar[str] = "a sum without an answer"


@dataclass(frozen=True, kw_only=True)
class CannotDraw(Undrawable):
    """A thing could not be drawn for this body, although all it is made from could.

    The message names the thing and the line of the recipe. Most often a length in it is less than nothing,
    or a line is bent where a straight one is needed, as for a mirror. `scye trace` shows what it is made
    from.
    """

    code: ClassVar[str] = "E609"
    title: ClassVar[str] = "a thing that could not be drawn"


@dataclass(frozen=True, kw_only=True)
class MeasureLacking(Diagnostic):
    """The recipe needs a measure that the card does not have, and gives no rule to stand in for it.

    Take the measure (`scye measures` says where the tape goes) and write it on the card; nothing is
    guessed. A recipe may give a rule for such cards: `needs scye_depth otherwise bust / 6 + 1 1/2 in`.
    """

    code: ClassVar[str] = "E610"
    title: ClassVar[str] = "a measure that is lacking"
    measure: str
    body: str
    near: str | None = None

    def seen(self) -> str:
        return f"the card of {self.body} has no `{self.measure}`, which the recipe needs"

    def attempt(self) -> str:
        return f"take it and add `{self.measure}:` to the card; `scye measures {self.measure}` says how"


@dataclass(frozen=True, kw_only=True)
class NotMeantFor(Diagnostic):
    """The body lies outside what the recipe says it is meant for (`meant for bust from 28 in to 50 in`).

    Nothing is held back, and every seam and proof is judged as ever. But whoever wrote the recipe tried it on
    bodies of that range only: outside it proportions may look wrong though all the figures come out. Look at
    the pieces with care and make a toile before you cut good cloth.
    """

    code: ClassVar[str] = "E617"
    title: ClassVar[str] = "a body that the recipe is not meant for"
    severity: ClassVar[Severity] = Severity.CAUTION
    measure: str
    value: str
    over: bool
    meant: str

    def seen(self) -> str:
        than = "more" if self.over else "less"
        return f"the {self.measure} is {self.value}, {than} than the recipe is meant for ({self.meant})"

    def attempt(self) -> str:
        return "look at the pieces with care and make a toile first, or draft by another recipe"


@dataclass(frozen=True, kw_only=True)
class LumpyCurve(Diagnostic):
    """A curve reaches its stated length only by swinging out and back, so that it has a bump no cutter wants.

    The ends and directions fix the shape; the length asks more than the shape can give. Change the length,
    move an end, or leave a direction free.
    """

    code: ClassVar[str] = "E611"
    title: ClassVar[str] = "a curve with a bump"
    severity: ClassVar[Severity] = Severity.FAILURE
    name: str
    said: str

    def seen(self) -> str:
        return self.said

    def attempt(self) -> str:
        return "change the length, or free one of the curve's directions"


@dataclass(frozen=True, kw_only=True)
class StationsOutOfOrder(Undrawable):
    """Two stations of a panel line come in the wrong order for this body, so that its edges double back.

    Stations are written from top to bottom: an underbust line that falls below the waist, say, on a short
    body by a rule made for a longer one, turns the seam over. Measure the level, or let the rule give way, as
    `least of (3 in, bust_to_waist * 45%)`.
    """

    code: ClassVar[str] = "E616"
    title: ClassVar[str] = "stations out of order"


@dataclass(frozen=True, kw_only=True)
class PieceHeld(Diagnostic):
    """A piece is not drawn because a measure it comes from is in doubt: it disagrees with others on the card.

    Only the pieces that use the doubtful measure are held; the others can be cut. Measure again, correct the
    card, and build once more. Nothing is averaged, and no rule stands in for a measure that was taken.
    """

    code: ClassVar[str] = "E613"
    title: ClassVar[str] = "a piece held back"
    severity: ClassVar[Severity] = Severity.FAILURE
    name: str
    measures: tuple[str, ...]

    def seen(self) -> str:
        measures = " and ".join(m.replace("_", " ") for m in self.measures)
        return f"{self.name} is held back: it is drawn from the {measures}, which is in doubt"

    def attempt(self) -> str:
        return "measure again and correct the card; the other pieces can be cut"


@dataclass(frozen=True, kw_only=True)
class OutOfRange(Diagnostic):
    """A point comes out more than 20 metres from the draft's beginning, further than any garment reaches.

    Almost always a figure was typed twice, a unit is wrong (`in` for `mm`), or a sum divides by something
    that is nearly nothing. `scye trace` shows what the point is made from.
    """

    code: ClassVar[str] = "E612"
    title: ClassVar[str] = "far off the paper"
    severity: ClassVar[Severity] = Severity.FAILURE
    name: str
    far: str

    def seen(self) -> str:
        return f"`{self.name}` comes out {self.far} away from where the draft begins"

    def attempt(self) -> str:
        return "look for a slip in the measures or in the sum it is made from"
