"""Mistakes found when a recipe is unrolled for its choices: E401 to E499."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.model import Diagnostic, Severity


@dataclass(frozen=True, kw_only=True)
class SharesDoNotClose(Diagnostic):
    """The percentages of a `share ... by` do not come to 100 %.

        intake = share suppression by 35%, 20%, 20%, 20%

    What is shared must all go somewhere: nothing is lost and nothing taken twice. Three times 33.3 % loses
    some of it too: write `share ... evenly over 3`. `in proportion` has no such rule, since it divides by
    the total of its parts.
    """

    code: ClassVar[str] = "E401"
    title: ClassVar[str] = "shares that do not close"
    total: str

    def seen(self) -> str:
        return f"the shares come to {self.total} %"

    def expected(self) -> str:
        return "100 % in all"

    def attempt(self) -> str:
        return "correct the shares, or write `in proportion`"


@dataclass(frozen=True, kw_only=True)
class TooMany(Diagnostic):
    """A recipe would draw more than can be cut.

    A `repeat` may run 200 times; a recipe may hold 20,000 things, 200 pieces, 400 seams and 200 unknowns.
    No garment needs more, but a slip of the pen does: look for a figure typed twice, or a `repeat` in a
    `repeat`.
    """

    code: ClassVar[str] = "E402"
    title: ClassVar[str] = "too many"
    said: str
    limit: str

    def seen(self) -> str:
        return self.said

    def expected(self) -> str:
        return self.limit

    def attempt(self) -> str:
        return "look for a figure typed twice, or a `repeat` where none is meant"


@dataclass(frozen=True, kw_only=True)
class NotKnownYet(Diagnostic):
    """A `when`, a `repeat` or an index depends on something that is only known once a body is drafted.

        when bust > 40 in

    How many panels there are, and whether there is a yoke, is settled by choices before anything is drawn,
    so that every body gets the same pieces. An amount that differs by body can be chosen where it stands:

        intake = 1 in if bust > 40 in otherwise 3/4 in
    """

    code: ClassVar[str] = "E403"
    title: ClassVar[str] = "not known before drawing"
    what: str

    def seen(self) -> str:
        return f"`{self.what}` is not known before drawing begins"

    def expected(self) -> str:
        return "choices and plain numbers only"

    def attempt(self) -> str:
        return "make it a choice; or let an amount differ by body: `1 in if bust > 40 in otherwise 3/4 in`"


@dataclass(frozen=True, kw_only=True)
class OutOfRow(Diagnostic):
    """An index asks for one that the row does not have, as the sixth of five panels.

        panel_width = share half_bust in proportion 4 in, 4 in, 3 in
        wide = panel_width[4]

    Rows are counted from 1. In a `repeat`, look at its first and last round: `top[i + 1]` asks for one more
    than there are in the last.
    """

    code: ClassVar[str] = "E404"
    title: ClassVar[str] = "an index outside the row"
    name: str
    index: str
    has: str

    def seen(self) -> str:
        return f"there is no `{self.name}[{self.index}]`"

    def expected(self) -> str:
        return self.has


@dataclass(frozen=True, kw_only=True)
class NotMadeHere(Diagnostic):
    """A thing is used although, with these choices, the `when` that makes it does not apply.

        when yoke
          yoke_depth = 4 in
        half_yoke = yoke_depth / 2

    Use it inside a `when` with the same condition, or make it in the `otherwise` arm as well. The counter
    of a `repeat` likewise exists only inside it.
    """

    code: ClassVar[str] = "E405"
    title: ClassVar[str] = "made only under another choice"
    name: str
    choices: str
    counter: bool = False

    def seen(self) -> str:
        if self.counter:
            return f"`{self.name}` counts the rounds of a `repeat`, and this line stands outside it"
        if self.choices:
            return f"`{self.name}` is not made when {self.choices}"
        return f"`{self.name}` is not made here"

    def attempt(self) -> str:
        if self.counter:
            return "indent the line under the `repeat`, or write a plain number"
        return "use it inside the same `when`, or make it in both arms"


@dataclass(frozen=True, kw_only=True)
class MadeTwiceHere(Diagnostic):
    """With these choices two statements make the same name, or one statement makes it in every round.

        when yoke
          depth = 4 in
        when lined
          depth = 5 in

    Which is meant when both hold? Put the two into the two arms of one `when`. In a `repeat` each round
    needs a name of its own: `mark top[i] ...`.
    """

    code: ClassVar[str] = "E406"
    title: ClassVar[str] = "made twice under these choices"
    name: str
    own_row: str = ""  # for a name made anew in every round of a repeat: the same as one of a row

    def seen(self) -> str:
        if self.own_row:
            return f"`{self.name}` is made again in every round of the `repeat`"
        return f"`{self.name}` is made twice under these choices"

    def attempt(self) -> str:
        if self.own_row:
            return f"give each round a name of its own: `{self.own_row}`"
        return "put the two into the two arms of one `when`"


@dataclass(frozen=True, kw_only=True)
class ChoiceRefused(Diagnostic):
    """A choice is set to something the recipe does not offer: outside its range, or none of its words.

    The recipe's `choose` line states the range and says what the choice is for. Lengths and angles need
    their unit, as everywhere: `gap: 2 in`, `--set slope="20 deg"`. To allow more, widen the range in the
    recipe, after thinking about what the range was for.
    """

    code: ClassVar[str] = "E407"
    title: ClassVar[str] = "a choice the recipe does not offer"
    name: str
    text: str
    offered: str
    hint: str = ""

    def seen(self) -> str:
        return f"`{self.name}` can't be {self.text}"

    def expected(self) -> str:
        return self.offered

    def attempt(self) -> str:
        return self.hint


@dataclass(frozen=True, kw_only=True)
class ChoiceUnknown(Diagnostic):
    """A choice is set, on a card or with `--set`, that the recipe does not have.

    Nothing happens by a choice that nobody reads, so it is refused rather than passed over. Look for a slip
    of spelling; a card made for another recipe may hold choices that this one lacks.
    """

    code: ClassVar[str] = "E408"
    title: ClassVar[str] = "a choice the recipe does not have"
    name: str
    near: str | None
    offered: tuple[str, ...]

    def seen(self) -> str:
        return f"the recipe has no choice `{self.name}`"

    def expected(self) -> str:
        return "one of " + ", ".join(self.offered) if self.offered else "no choices: the recipe has none"

    def attempt(self) -> str:
        return f"did you mean `{self.near}`?" if self.near else ""


@dataclass(frozen=True, kw_only=True)
class ChoiceUnused(Diagnostic):
    """A card sets a choice that this recipe does not have.

    A card may carry the choices of several recipes: those that a recipe lacks are left unused. Where the name
    is nearly that of one of its choices, it is taken for a slip and refused instead.
    """

    code: ClassVar[str] = "E414"
    title: ClassVar[str] = "a choice left unused"
    severity: ClassVar[Severity] = Severity.NOTE
    name: str

    def seen(self) -> str:
        return f"this recipe has no choice `{self.name}`; the card's is left unused"


@dataclass(frozen=True, kw_only=True)
class SideUnclear(Diagnostic):
    """A direction is `square to` a line without saying to which side.

        mark low from waist_cf square to hem_line 2 in

    Every line has two sides. `square to hem_line toward hip_cf` says which: the side on which that point
    lies.
    """

    code: ClassVar[str] = "E409"
    title: ClassVar[str] = "which side"
    line: str

    def seen(self) -> str:
        return f"square to `{self.line}`, but to which side?"

    def attempt(self) -> str:
        return "add `toward` and a point on that side"


@dataclass(frozen=True, kw_only=True)
class NoDraft(Diagnostic):
    """Something is drawn in a draft that has no beginning, or a draft begins twice.

        draft front
          begin at nape

    A draft starts from one point, and all its other points are measured from there. A second part that
    shares no point with the first is a draft of its own.
    """

    code: ClassVar[str] = "E410"
    title: ClassVar[str] = "where a draft begins"
    said: str
    hint: str = "write `begin at` and a name as the draft's first line"

    def seen(self) -> str:
        return self.said

    def attempt(self) -> str:
        return self.hint


@dataclass(frozen=True, kw_only=True)
class EdgeNotSeamed(Diagnostic):
    """A `sew` can't tell which pieces it joins: no piece, or several, lie along the line it names.

        sew waist_line

    A bare line will do only where exactly two pieces lie along it, one on each side. Otherwise name each
    piece with its edge: `sew front.side to back.side`.
    """

    code: ClassVar[str] = "E411"
    title: ClassVar[str] = "no piece along a seam"
    said: str
    hint: str = "name the piece and its edge, as `front.side`"

    def seen(self) -> str:
        return self.said

    def attempt(self) -> str:
        return self.hint


@dataclass(frozen=True, kw_only=True)
class LetterTwice(Diagnostic):
    """Two seams carry the same letter, so that a machinist could join the wrong edges.

        sew back.shoulder to front.shoulder as A
        sew back.side to front.side as A

    Give one of them another letter, or leave `as` out: letters that are not stated are given in order.
    """

    code: ClassVar[str] = "E412"
    title: ClassVar[str] = "a seam letter used twice"
    letter: str

    def seen(self) -> str:
        return f"two seams are lettered {self.letter}"

    def attempt(self) -> str:
        return "give one another letter, or leave the letters to be given in order"


@dataclass(frozen=True, kw_only=True)
class TooTangled(Diagnostic):
    """Things depend on each other in a chain too long to follow.

        a1 = a2 + 1 in
        a2 = a3 + 1 in
        ...

    and so on for thousands of lines. No draft needs a chain as long; a row of names with an index, or a
    list, says the same in a few lines.
    """

    code: ClassVar[str] = "E413"
    title: ClassVar[str] = "a chain too long"

    def seen(self) -> str:
        return "things in this recipe depend on each other in a chain thousands long"

    def attempt(self) -> str:
        return "shorten the chain; no draft needs one as long"


@dataclass(frozen=True, kw_only=True)
class LineWithoutEnds(Diagnostic):
    """A level, a plumb, another guide or a sweep is used where a line with ends is wanted.

    Guides run on for ever and a sweep goes round, so that neither has an end, a length, or a line after it:

        plumb front through ankle_front
        line front_seam = front then instep

    Say from where to where, and use that: `line shaft = front from top_front to ankle_front`.
    """

    code: ClassVar[str] = "E416"
    title: ClassVar[str] = "a line without ends"
    line: str
    sweep: bool

    def seen(self) -> str:
        return f"`{self.line}` has no ends: " + ("it goes round" if self.sweep else "it is a guide")

    def attempt(self) -> str:
        whole = f"({self.line})" if " " in self.line else self.line
        return f"say from where to where, `line so_far = {whole} from A to B`, and use that"


@dataclass(frozen=True, kw_only=True)
class MeasuredAcrossCurve(Diagnostic):
    """A girth, a width or a tape is asked for at a line that bends: a curve, a sweep, the edge of a panel.

        curve waist_seam from waist_cf to waist_side leaving right
        prove "waist" girth at front.waist_seam = waist

    The finished pieces are measured straight across, so draw a `level` and ask at that. How long a curved
    edge is, `length of waist_seam` says, less the intakes of the darts on it.
    """

    code: ClassVar[str] = "E417"
    title: ClassVar[str] = "measured across a line that bends"
    line: str
    sweep: bool

    def seen(self) -> str:
        return f"`{self.line}` bends, and pieces are measured straight across"

    def expected(self) -> str:
        return "a straight line, mostly a `level` of the draft"

    def attempt(self) -> str:
        if self.sweep:
            return "draw a `level` there and ask at that"
        whole = f"({self.line})" if " " in self.line else self.line
        return f"draw a `level` there and ask at that; for the edge itself take `length of {whole}`"


@dataclass(frozen=True, kw_only=True)
class OthersUntold(Diagnostic):
    """There are more messages than anyone reads at once, so only the first ones are shown.

    They stand in the order of the recipe. One slip often brings about many messages, as a measure that is
    used everywhere and spelt wrongly in `needs`. Put the first ones right and look again.
    """

    code: ClassVar[str] = "E415"
    title: ClassVar[str] = "more messages than are shown"
    severity: ClassVar[Severity] = Severity.NOTE
    told: int
    count: int

    def seen(self) -> str:
        return f"there are {self.count:,} messages, of which the first {self.told} are shown"

    def attempt(self) -> str:
        return "put the first ones right and look again"
