"""What is amiss with a pattern as it is to be printed and cut: E1501 to E1549."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.model import Diagnostic, Severity


@dataclass(frozen=True, kw_only=True)
class LargerThanRoll(Diagnostic):
    """A piece is larger than the roll paper, so the page that it is on was made to fit it.

    A copy shop can't print such a page at full scale on that roll. Ask for a wider one with `--roll 42in`,
    or print the pages of home paper, which are joined to any size. A PDF page is at most 200 in long.
    """

    code: ClassVar[str] = "E1501"
    title: ClassVar[str] = "a piece larger than the roll"
    severity: ClassVar[Severity] = Severity.CAUTION

    piece: str
    size: str
    roll: str
    room: str  # between its margins

    def seen(self) -> str:
        return (
            f"{self.piece} is larger than the roll: {self.size}, "
            f"and one {self.roll} wide has room for {self.room} across"
        )

    def attempt(self) -> str:
        return "print it on a wider roll, as with `--roll 42in`, or from the pages of home paper"


@dataclass(frozen=True, kw_only=True)
class FoldNotStraight(Diagnostic):
    """An edge that is to be laid on the fold is not straight, and cloth folds along a straight line only.

        piece front "Front"
          cut 1 of self on fold at centre_front

    where `centre_front` is a curve, or a line in which a dart was opened. Make the edge straight, or cut a
    pair with a seam there: `cut pair of self`.
    """

    code: ClassVar[str] = "E1502"
    title: ClassVar[str] = "a fold that is not straight"
    severity: ClassVar[Severity] = Severity.FAILURE

    edge: str
    off: str

    def seen(self) -> str:
        return f"{self.edge} is to lie on the fold, but is {self.off} off a straight line"

    def attempt(self) -> str:
        return "draw it straight, or cut a pair with a seam there"


@dataclass(frozen=True, kw_only=True)
class PaperNotKnown(Diagnostic):
    """`--paper` takes the names of home papers with commas between them.

        --paper a4,letter,a3

    Pages for joining are laid out for A4, US Letter and A3, all upright. Anything larger is printed from the
    roll sheet, whose width `--roll` sets.
    """

    code: ClassVar[str] = "E1503"
    title: ClassVar[str] = "a paper that pages are not laid out for"

    name: str
    known: tuple[str, ...]

    def seen(self) -> str:
        return f"`--paper` can't be `{self.name}`" if self.name else "`--paper` has a paper missing"

    def expected(self) -> str:
        return f"one or more of {', '.join(self.known)}, with commas between them"


@dataclass(frozen=True, kw_only=True)
class RollNotUnderstood(Diagnostic):
    """`--roll` takes the width of the paper on the copy shop's roll, with its unit.

        --roll 36in
        --roll 610mm

    Rolls are 360 mm to 2000 mm wide.
    """

    code: ClassVar[str] = "E1504"
    title: ClassVar[str] = "a roll without a width"

    text: str

    def seen(self) -> str:
        return f"`--roll {self.text}` is not the width of a roll"

    def expected(self) -> str:
        return "a width from 360 mm to 2000 mm with its unit, as in `--roll 36in`"


@dataclass(frozen=True, kw_only=True)
class BarNotUnderstood(Diagnostic):
    """`scye bar` takes what the 100 mm bar measures on a page, or another length and what it should be.

        scye bar 97
        scye bar 97 of 100
        scye bar 1 15/16 in of 2 in

    Plain numbers are millimetres. A bar that came out at less than half or more than twice its length was
    misread, or is not the bar.
    """

    code: ClassVar[str] = "E1505"
    title: ClassVar[str] = "not the measure of a bar"

    text: str

    def seen(self) -> str:
        return f"`{self.text}` is not what a bar of 100 mm can measure"

    def expected(self) -> str:
        return "what you measured, as in `scye bar 97` or `scye bar 1 15/16 in of 2 in`"
