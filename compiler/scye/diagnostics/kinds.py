"""Mistakes of kind: E301 to E399."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.model import Diagnostic


def a(thing: str) -> str:
    """A kind with its article: `a length`, `an angle`, `text`, `points`."""
    if thing == "text" or thing.split()[0] in PLURALS:
        return thing
    return f"{'an' if thing[0] in 'aeiou' else 'a'} {thing}"


# Kinds that a method's list may have; these take no article.
PLURALS = ("lengths", "numbers", "angles", "percentages", "points", "lines")


@dataclass(frozen=True, kw_only=True)
class MissingUnit(Diagnostic):
    """A plain number stands where a length or an angle is wanted, as in `bust / 4 + 2`: 2 what?

    Every amount carries its unit: `2 in`, `5 cm`, `6 mm`, `20 deg`. Plain numbers only count, multiply and
    divide. Nought too has its unit: `0 in`.
    """

    code: ClassVar[str] = "E301"
    title: ClassVar[str] = "an amount without a unit"
    number: str
    kind: str
    example: str

    def seen(self) -> str:
        return f"{self.number} what?"

    def expected(self) -> str:
        return f"{a(self.kind)} with its unit"

    def attempt(self) -> str:
        return f"write {self.example}"


@dataclass(frozen=True, kw_only=True)
class KindsDisagree(Diagnostic):
    """Two things of different kinds are added, taken away or compared: a length and an angle, say.

        odd = bust + 20 deg

    Lengths add to lengths, angles to angles, numbers to numbers. A length times a length is an area; its
    `square root of` is a length again. The `sine`, `cosine` or `tangent of` an angle is a number, by which
    a length may be multiplied.
    """

    code: ClassVar[str] = "E302"
    title: ClassVar[str] = "kinds that do not go together"
    left: str
    right: str
    doing: str
    hint: str = ""

    def seen(self) -> str:
        if self.left == self.right:
            return f"two {self.left}s can't be {self.doing}"
        return f"{a(self.left)} and {a(self.right)} can't be {self.doing}"

    def attempt(self) -> str:
        return self.hint


@dataclass(frozen=True, kw_only=True)
class WrongKind(Diagnostic):
    """A thing of one kind stands where another kind is wanted: a line where a point should be, say.

        mark low from centre_front down 2 in

    where `centre_front` is a line, which has many places to begin from. Name a point on it, or one of its
    ends (`start of side`), or where it meets another line (`where centre_front meets waist_line`).
    """

    code: ClassVar[str] = "E303"
    title: ClassVar[str] = "the wrong kind of thing"
    what: str
    found_kind: str
    wanted: str
    hint: str = ""

    def seen(self) -> str:
        return f"{self.what} is {a(self.found_kind)}"

    def expected(self) -> str:
        return a(self.wanted)

    def attempt(self) -> str:
        return self.hint


@dataclass(frozen=True, kw_only=True)
class ArgumentTrouble(Diagnostic):
    """A method is drawn by with something it does not take, without something it needs, or twice the same.

        draw neck by square_neck
          corner = snp
          depht = 3 in

    The `given` lines of the method say what it takes and of which kind; what has a default (`= 0 in`) may
    be left out. Each stands once, on a line of its own below `draw`.
    """

    code: ClassVar[str] = "E304"
    title: ClassVar[str] = "what a method is given"
    said: str
    wanted: str = ""
    hint: str = ""

    def seen(self) -> str:
        return self.said

    def expected(self) -> str:
        return self.wanted

    def attempt(self) -> str:
        return self.hint


@dataclass(frozen=True, kw_only=True)
class ChoiceTrouble(Diagnostic):
    """The default of a `choose` statement lies outside its range, or is none of its words.

        choose ease = 4 in from 1/2 in to 3 in

    The default is what a card gets that says nothing, so it must be something the recipe offers. Change the
    default, or widen the range.
    """

    code: ClassVar[str] = "E305"
    title: ClassVar[str] = "a choice that does not hold together"
    said: str
    hint: str = ""

    def seen(self) -> str:
        return self.said

    def attempt(self) -> str:
        return self.hint


@dataclass(frozen=True, kw_only=True)
class NotAWord(Diagnostic):
    """A choice is compared with a word that is not one of its words, so the two could never agree.

        choose closing = laced of laced, zipped
        when closing is lacd

    Look for a slip of spelling, or add the word to the `choose` line.
    """

    code: ClassVar[str] = "E306"
    title: ClassVar[str] = "not a word of the choice"
    name: str
    word: str
    words: tuple[str, ...]
    near: str | None = None

    def seen(self) -> str:
        return f"`{self.word}` is not a word of `{self.name}`"

    def expected(self) -> str:
        return "one of " + ", ".join(self.words)

    def attempt(self) -> str:
        return f"did you mean `{self.near}`?" if self.near else ""


@dataclass(frozen=True, kw_only=True)
class IndexTrouble(Diagnostic):
    """An index in square brackets stands where none belongs, or is missing where one does.

        widths = share waist by 50%, 30%, 20%
        half = waist[1] / 2
        wide = widths + 1 in

    `waist` is one length, so it takes no index; `widths` is three, so one of them must be picked,
    `widths[1]`, or all be added, `sum of widths`. An index is a plain whole number or a sum of counters:
    `top[i + 1]`.
    """

    code: ClassVar[str] = "E307"
    title: ClassVar[str] = "an index out of place"
    said: str
    hint: str = ""

    def seen(self) -> str:
        return self.said

    def attempt(self) -> str:
        return self.hint


@dataclass(frozen=True, kw_only=True)
class OnlyInProof(Diagnostic):
    """`girth at` and `width of ... at` are measured on finished pieces, so they can only be proved.

    A draft is drawn before its pieces are cut out. Where a sum needs a girth, write the sum; then prove that
    the pieces come to it.
    """

    code: ClassVar[str] = "E308"
    title: ClassVar[str] = "measured on the pieces"
    what: str

    def seen(self) -> str:
        return f"{self.what} is measured on the finished pieces, after everything is drawn"

    def attempt(self) -> str:
        return "use it in a `prove` statement only, as a term by itself"


@dataclass(frozen=True, kw_only=True)
class GirthUnnamed(Diagnostic):
    """`girth at` is asked at a line without a name, so it is not clear which draft's pieces are meant.

    A girth is measured on all pieces of one draft. Draw the level in that draft and use its name:

        draft body
          level pocket_level from waist_line down 3 in
        prove "round the pocket" girth at body.pocket_level = hip + ease
    """

    code: ClassVar[str] = "E313"
    title: ClassVar[str] = "a girth at a line without a name"

    def seen(self) -> str:
        return f"`{self.span.text if self.span else ''}` does not say of which draft the pieces are"

    def attempt(self) -> str:
        return "draw the line as a `level` of the draft and use its name here"


@dataclass(frozen=True, kw_only=True)
class EdgeUnknown(Diagnostic):
    """A piece, or any piece at all under `every piece`, has no edge of that name.

    Its edges carry the names of the lines that bound it, without the name of their draft:

        bounded by centre_front, waist_seam, side_seam, hem_line
        allow 1/2 in on side_seem

    Look for a slip of spelling, or name the line in `bounded by` first.
    """

    code: ClassVar[str] = "E309"
    title: ClassVar[str] = "an edge that a piece does not have"
    piece: str
    edge: str
    edges: tuple[str, ...]
    near: str | None = None

    def seen(self) -> str:
        whose = f"`{self.piece}` has no" if self.piece else "no piece has an"
        return f"{whose} edge `{self.edge}`"

    def expected(self) -> str:
        return "one of " + ", ".join(f"`{e}`" for e in self.edges)

    def attempt(self) -> str:
        return f"did you mean `{self.near}`?" if self.near else ""


@dataclass(frozen=True, kw_only=True)
class PieceTrouble(Diagnostic):
    """A piece lacks what every piece must say, or says it twice: its boundaries, how it is cut, its grain.

        piece skirt_front "Skirt front"
          bounded by centre_front, waist_seam, side_seam, hem_line
          cut 1 of self on fold at centre_front
          grain along centre_front

    None of these is guessed, because a wrong guess is only seen when the cloth is cut.
    """

    code: ClassVar[str] = "E310"
    title: ClassVar[str] = "a piece that is not fully said"
    said: str
    hint: str = ""

    def seen(self) -> str:
        return self.said

    def attempt(self) -> str:
        return self.hint


@dataclass(frozen=True, kw_only=True)
class MeantForTrouble(Diagnostic):
    """A recipe does not say plainly which bodies it is meant for.

        recipe "Saltmarsh bodice"
          edition 1
          meant for bust from 28 in to 50 in, height from 58 in to 75 in

    Each range is of a measure of the catalogue, from the smaller end to the greater, or of the `age` in whole
    years: `meant for age from 4 to 10`. A body outside is drafted, and its sheet says so.
    """

    code: ClassVar[str] = "E312"
    title: ClassVar[str] = "bodies that are not plainly said"
    said: str
    hint: str = ""

    def seen(self) -> str:
        return self.said

    def attempt(self) -> str:
        return self.hint or "say each measure once, from its smallest to its greatest"


@dataclass(frozen=True, kw_only=True)
class SeamUnclear(Diagnostic):
    """A seam does not say plainly which edges it joins, or which of its notches it speaks of.

    `sew front.side to back.side` names a piece and its edge on both sides. A bare line or panel line will
    do only where exactly one piece lies on each side of it. `easing ... between upper and lower` names two
    matches of the same seam: `match bust_line called upper`.
    """

    code: ClassVar[str] = "E311"
    title: ClassVar[str] = "a seam that is not plain"
    said: str
    hint: str = ""

    def seen(self) -> str:
        return self.said

    def attempt(self) -> str:
        return self.hint
