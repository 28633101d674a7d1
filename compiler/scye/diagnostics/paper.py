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

    def seen(self) -> str:
        return f"{self.piece} is larger than the roll: {self.size}, and the roll is {self.roll} wide"

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
