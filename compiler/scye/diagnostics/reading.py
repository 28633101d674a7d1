"""Mistakes found while a recipe's text is read, line by line: codes E101 to E199."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.model import Diagnostic


def one_of(words: tuple[str, ...]) -> str:
    """`a`, `a or b`, `a, b or c`."""
    return " or ".join(filter(None, (", ".join(words[:-1]), words[-1] if words else "")))


# What makers look for under a word that the language has not, and how it is written.
_ROUND = "a circle is a sweep, drawn as a line: `line edge = sweep of 6 in about middle`"
_BOX = "rule its four lines by `level` and `plumb`, and name them after `bounded by`"
_STRAIGHT = "`mark b from a right 3 in` puts a point, `line ab from a to b` rules between two"
ANOTHER_WAY = {
    **dict.fromkeys(("circle", "arc", "radius", "sweep"), _ROUND),
    **dict.fromkeys(("rectangle", "square", "box", "oblong", "strip"), _BOX),
    **dict.fromkeys(("measure", "rule", "join", "connect", "go", "point"), _STRAIGHT),
    **dict.fromkeys(("seam", "stitch"), "`sew front.side to back.side` joins two edges"),
    **dict.fromkeys(("ribbon", "elastic"), "`tape at waist_line adding 1 in` lists what goes round"),
}


def _perhaps(near: str | None) -> str:
    return f"Did you mean `{near}`?" if near else ""


@dataclass(frozen=True, kw_only=True)
class UnknownStatement(Diagnostic):
    """A line begins with a word that begins no statement here.

    Every line is one statement and its first word says what it does: `mark`, `curve`, `piece`. A line
    that names a value has `=` after the name.

        makr snp from nape right 3 in

    Look for a slip in the first word, or for a line that was broken in two.
    """

    code: ClassVar[str] = "E101"
    title: ClassVar[str] = "unknown statement"
    word: str
    where: str
    known: tuple[str, ...]
    near: str | None = None
    named: bool = False  # whether it looks like a name of an amount

    def seen(self) -> str:
        return f"No line {self.where} begins with `{self.word}`."

    def expected(self) -> str:
        return one_of(self.known)

    def attempt(self) -> str:
        naming = f"To name an amount, write `{self.word} = ...`." if self.named else ""
        return _perhaps(self.near) or ANOTHER_WAY.get(self.word, naming)


@dataclass(frozen=True, kw_only=True)
class UnfinishedLine(Diagnostic):
    """A line stops before all is said.

    A statement stands on one line; only its clauses may stand on lines below, further in.

        curve neck from

    Write what is expected at the end of the line.
    """

    code: ClassVar[str] = "E102"
    title: ClassVar[str] = "unfinished line"
    after: str
    wanted: tuple[str, ...]
    hint: str = ""

    def seen(self) -> str:
        return f"The line stops after `{self.after}`."

    def expected(self) -> str:
        return one_of(self.wanted)

    def attempt(self) -> str:
        return self.hint


@dataclass(frozen=True, kw_only=True)
class UnexpectedWord(Diagnostic):
    """A word, an amount or a sign stands where it does not fit.

        mark snp from nape rigth 3 in

    What was understood goes as far as the word shown; something else is needed there. A point that is
    itself a phrase (`where a meets b`) goes in brackets when it stands inside another phrase.
    """

    code: ClassVar[str] = "E103"
    title: ClassVar[str] = "unexpected word"
    word: str
    after: str
    wanted: tuple[str, ...]
    near: str | None = None
    hint: str = ""

    def seen(self) -> str:
        if not self.after:
            return f"`{self.word}` does not fit here."
        return f"`{self.word}` does not fit after `{self.after}`."

    def expected(self) -> str:
        return one_of(self.wanted)

    def attempt(self) -> str:
        return _perhaps(self.near) or self.hint


@dataclass(frozen=True, kw_only=True)
class MissingUnit(Diagnostic):
    """A length or an angle was written without its unit.

        mark snp from nape right 3

    3 what? Write `3 in`, `3 cm`, `15 deg`. Nought too has its unit: `0 in`.
    """

    code: ClassVar[str] = "E104"
    title: ClassVar[str] = "missing unit"
    amount: str
    angle: bool = False

    def seen(self) -> str:
        return f"`{self.amount}` has no unit."

    def expected(self) -> str:
        return "an angle" if self.angle else "a length with its unit"

    def attempt(self) -> str:
        if self.angle:
            return f"Write `{self.amount} deg`."
        return f"Write `{self.amount} in`, `{self.amount} cm` or `{self.amount} mm`."


@dataclass(frozen=True, kw_only=True)
class UnknownUnit(Diagnostic):
    """A unit was written in a way that the language does not have.

    The units are `in`, `yd`, `mm`, `cm`, `m`, `deg` and `%`.

        mark snp from nape right 3 inches

    Write the unit in its short form: `3 in`, `15 deg`, `35%`.
    """

    code: ClassVar[str] = "E105"
    title: ClassVar[str] = "unknown unit"
    amount: str
    unit: str
    instead: str | None

    def seen(self) -> str:
        return f"`{self.unit}` is not written as a unit here."

    def expected(self) -> str:
        return "`in`, `yd`, `mm`, `cm`, `m`, `deg` or `%`"

    def attempt(self) -> str:
        return f"Write `{self.instead}`." if self.instead else ""


@dataclass(frozen=True, kw_only=True)
class MalformedNumber(Diagnostic):
    """A number is not written as numbers are here.

    Numbers are whole (`3`), fractions (`3/8`), both (`1 3/8`, `1⅜`) or decimals (`4.5`).

        ease = .5 in

    Write the nought before the point: `0.5 in`. No exponents (`1e3`), no `NaN`.
    """

    code: ClassVar[str] = "E106"
    title: ClassVar[str] = "malformed number"
    number: str
    hint: str = ""

    def seen(self) -> str:
        return f"`{self.number}` is not a number as numbers are written here."

    def expected(self) -> str:
        return "a number such as `3`, `3/8`, `1 3/8` or `4.5`"

    def attempt(self) -> str:
        return self.hint


@dataclass(frozen=True, kw_only=True)
class NumberTooLarge(Diagnostic):
    """A number is far beyond anything that is measured or counted on a body.

        ease = 99999999999 in

    Numbers have at most 15 figures and are at most 1,000,000,000. Look for a key held down.
    """

    code: ClassVar[str] = "E107"
    title: ClassVar[str] = "number too large"
    figures: int

    def seen(self) -> str:
        return f"A number of {self.figures} figures is out of all measure."

    def expected(self) -> str:
        return "a number of at most 15 figures, not above 1,000,000,000"

    def attempt(self) -> str:
        return "Look for figures typed twice."


@dataclass(frozen=True, kw_only=True)
class ZeroDenominator(Diagnostic):
    """A fraction is over nought.

        ease = 1/0 in

    There is no such amount: nothing can be parted into nought parts. Write the fraction that was meant.
    """

    code: ClassVar[str] = "E108"
    title: ClassVar[str] = "fraction over nought"
    amount: str

    def seen(self) -> str:
        return f"`{self.amount}` is a fraction over nought."

    def expected(self) -> str:
        return "a fraction such as `1/8`"


@dataclass(frozen=True, kw_only=True)
class DivisionByFraction(Diagnostic):
    """A division is followed by a fraction, which can be read in two ways.

        quarter = bust / 3/4

    `3/4` is one number, so this would divide by three quarters; perhaps thirds and then quarters were
    meant. Brackets say which.
    """

    code: ClassVar[str] = "E109"
    title: ClassVar[str] = "division by a fraction"
    fraction: str

    def seen(self) -> str:
        return f"`/ {self.fraction}` can be read in two ways."

    def expected(self) -> str:
        top, bottom = self.fraction.split("/")
        return f"`/ ({self.fraction})`, divided by the fraction, or `/ {top} / {bottom}`, divided twice"

    def attempt(self) -> str:
        return "Write the one that is meant."


@dataclass(frozen=True, kw_only=True)
class UnclosedQuote(Diagnostic):
    """A text in quotes has no closing quote on its line.

        recipe "A plain skirt

    Texts stand on one line between straight quotes.
    """

    code: ClassVar[str] = "E110"
    title: ClassVar[str] = "unclosed quote"

    def seen(self) -> str:
        return "This quote is not closed on its line."

    def expected(self) -> str:
        return 'a closing `"`'

    def attempt(self) -> str:
        return 'Write `"` at the end of the text, on the same line.'


@dataclass(frozen=True, kw_only=True)
class UnclosedBracket(Diagnostic):
    """A bracket has no partner on its line, or the wrong one.

        quarter = (bust + 1 in / 4

    Every `(` needs its `)` and every `[` its `]` on the same line.
    """

    code: ClassVar[str] = "E111"
    title: ClassVar[str] = "bracket without its partner"
    bracket: str
    partner: str

    def seen(self) -> str:
        word = "closed" if self.bracket in "([" else "opened"
        return f"`{self.bracket}` is not {word} on its line."

    def expected(self) -> str:
        return f"`{self.partner}`"

    def attempt(self) -> str:
        side = "after" if self.bracket in "([" else "before"
        return f"Write `{self.partner}` {side} it where the bracket is to end, or take `{self.bracket}` out."


@dataclass(frozen=True, kw_only=True)
class BadIndentation(Diagnostic):
    """A line stands at a depth that belongs to no open block.

        draft front
            begin at nape
          mark snp from nape right 3 in

    Lines of one block begin at one depth. A line further in belongs to the line above it.
    """

    code: ClassVar[str] = "E112"
    title: ClassVar[str] = "bad indentation"
    depth: int
    open_depths: tuple[int, ...]

    def seen(self) -> str:
        return f"This line begins {_spaces(self.depth)} in, where no block is open."

    def expected(self) -> str:
        return one_of(tuple(_spaces(d) for d in self.open_depths))

    def attempt(self) -> str:
        return "Line it up with the other lines of its block."


def _spaces(count: int) -> str:
    return "1 space" if count == 1 else f"{count} spaces"


@dataclass(frozen=True, kw_only=True)
class TabIndentation(Diagnostic):
    """A line is indented with a tab.

    A tab is as wide as the screen makes it, so blocks indented with tabs cannot be told apart from others.
    Blocks are indented with spaces, two for each step. The first such line of a file is shown.
    """

    code: ClassVar[str] = "E113"
    title: ClassVar[str] = "tab in the indentation"
    others: int = 0

    def seen(self) -> str:
        more = (
            f" So are {self.others} more." if self.others > 1 else " So is one more." if self.others else ""
        )
        return f"This line is indented with a tab.{more}"

    def expected(self) -> str:
        return "spaces, two for each step"

    def attempt(self) -> str:
        return "Replace every tab by two spaces."


@dataclass(frozen=True, kw_only=True)
class OutOfPlace(Diagnostic):
    """A statement stands where it does not belong.

        cut pair of self

    at the edge of the page belongs to no piece. Marks and lines belong in a draft, `cut` and `allow` in a
    piece, `recipe` at the head of the file and only once.
    """

    code: ClassVar[str] = "E114"
    title: ClassVar[str] = "statement out of place"
    word: str
    where: str
    home: str

    def seen(self) -> str:
        return f"`{self.word}` cannot stand {self.where}."

    def expected(self) -> str:
        return f"`{self.word}` stands {self.home}"

    def attempt(self) -> str:
        return "Move the line there, or indent it under the statement that it belongs to."


@dataclass(frozen=True, kw_only=True)
class BlockNotTaken(Diagnostic):
    """Lines are indented under a statement that takes none.

        mark snp from nape
          right 3 in

    Only statements such as `draft`, `piece`, `curve`, `dart` or `sew` have lines below them.
    """

    code: ClassVar[str] = "E115"
    title: ClassVar[str] = "nothing belongs under this line"
    owner: str

    def seen(self) -> str:
        return f"This line is indented under `{self.owner}`, which takes no lines below it."

    def expected(self) -> str:
        return "a line as far in as the one above"

    def attempt(self) -> str:
        return "Line it up with the line above, or write it at that line's end."


@dataclass(frozen=True, kw_only=True)
class ClauseTwice(Diagnostic):
    """Something is said twice of one thing.

        curve neck from snp to pit leaving down leaving left

    Which is meant? Keep one.
    """

    code: ClassVar[str] = "E116"
    title: ClassVar[str] = "said twice"
    clause: str
    of: str
    other: str = ""

    def seen(self) -> str:
        if self.other:
            return f"{self.of} has both `{self.other}` and `{self.clause}`."
        return f"{self.of} has `{self.clause}` twice."

    def expected(self) -> str:
        return f"`{self.other}` or `{self.clause}`, not both" if self.other else f"`{self.clause}` once"

    def attempt(self) -> str:
        return "Keep the one that is meant."


@dataclass(frozen=True, kw_only=True)
class ClauseMissing(Diagnostic):
    """Something that must be said of a thing is not.

        curve neck from snp leaving down

    does not say where it ends. Add what is expected, on the line itself or on a line below it, further in.
    """

    code: ClassVar[str] = "E117"
    title: ClassVar[str] = "something is not said"
    of: str
    lacks: str
    example: str

    def seen(self) -> str:
        return f"{self.of} {self.lacks}."

    def expected(self) -> str:
        return f"`{self.example}`"

    def attempt(self) -> str:
        return "Add it on this line or on a line below, further in."


@dataclass(frozen=True, kw_only=True)
class LanguageWord(Diagnostic):
    """A word of the language is used as a name.

        length = 24 in

    Words such as `length`, `from` or `sum` already mean something. Give the thing a longer name.
    """

    code: ClassVar[str] = "E118"
    title: ClassVar[str] = "a word of the language as a name"
    word: str
    usage: str = ""

    def seen(self) -> str:
        return f"`{self.word}` is a word of the language."

    def expected(self) -> str:
        return f"a name, or `{self.usage}`" if self.usage else "a name"

    def attempt(self) -> str:
        return f"Choose a longer name, such as `the_{self.word}`."


@dataclass(frozen=True, kw_only=True)
class TooDeep(Diagnostic):
    """Brackets stand in brackets, or blocks in blocks, more deeply than anyone can follow.

    At most 40 brackets may be open at once, and blocks may be 12 deep. Name the inner amounts and use the
    names.
    """

    code: ClassVar[str] = "E119"
    title: ClassVar[str] = "too deep"
    what: str
    most: int

    def seen(self) -> str:
        return f"Here {self.what} more than {self.most} deep."

    def expected(self) -> str:
        return f"at most {self.most}"

    def attempt(self) -> str:
        return "Give the inner parts names of their own."


@dataclass(frozen=True, kw_only=True)
class TooLarge(Diagnostic):
    """A line or a file is longer than a recipe can be.

    A line has at most 2,000 characters; a file at most 1,000,000 characters and 20,000 lines. Such a file is
    most likely not a recipe.
    """

    code: ClassVar[str] = "E120"
    title: ClassVar[str] = "too large"
    what: str
    size: int
    most: int
    unit: str

    def seen(self) -> str:
        return f"{self.what} has {self.size:,} {self.unit}."

    def expected(self) -> str:
        return f"at most {self.most:,} {self.unit}"

    def attempt(self) -> str:
        return "See whether this is the recipe that was meant."


@dataclass(frozen=True, kw_only=True)
class StrangeCharacter(Diagnostic):
    """A character stands in the recipe that the language does not have.

    Characters that cannot be seen come from copied text or a damaged file. Curly quotes and long dashes come
    from word processors: write straight quotes and a plain `-`.
    """

    code: ClassVar[str] = "E121"
    title: ClassVar[str] = "strange character"
    character: str
    instead: str = ""

    def seen(self) -> str:
        if self.character.isprintable() and not self.character.isspace():
            return f"`{self.character}` is no sign of the language."
        return f"A character that cannot be seen (U+{ord(self.character):04X}) stands here."

    def expected(self) -> str:
        return f"`{self.instead}`" if self.instead else "words, amounts, brackets, commas and quotes"

    def attempt(self) -> str:
        return f"Write `{self.instead}`." if self.instead else "Take it out."


@dataclass(frozen=True, kw_only=True)
class TooManyFaults(Diagnostic):
    """So many lines could not be read that the rest of the file was left.

    Mend the first ones, or see whether the file is a recipe at all.
    """

    code: ClassVar[str] = "E122"
    title: ClassVar[str] = "too many lines that could not be read"
    count: int

    def seen(self) -> str:
        return f"{self.count} lines could not be read; reading stopped here."

    def expected(self) -> str:
        return "a recipe or a file of methods"

    def attempt(self) -> str:
        return "Mend the lines above first."


@dataclass(frozen=True, kw_only=True)
class SlashUnclear(Diagnostic):
    """A slash of a piece says more than it can.

        spread hem at P to waist at Q by 2 in
        spread hem at P to waist at Q by 2 in and 1 in
        overlap hem at P to waist at Q by 1/2 in at both ends
        pleat waist at P to hem at Q by 1 in pressed left

    What is spread or overlapped lies flat, so it is not pressed to a side. A pleat or a tuck runs parallel:
    it is as deep at the far edge as at the first.
    """

    code: ClassVar[str] = "E123"
    title: ClassVar[str] = "a slash that is not plain"
    said: str
    hint: str

    def seen(self) -> str:
        return self.said

    def attempt(self) -> str:
        return self.hint
