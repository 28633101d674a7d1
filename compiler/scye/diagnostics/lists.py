"""What is amiss with findings and rates: E1801 to E1899."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.model import Diagnostic, Severity


@dataclass(frozen=True, kw_only=True)
class LaceWithoutEyelets(Diagnostic):
    """A `lace` is said to run along an edge that has no eyelets.

    The length of a lace hangs on how many eyelets there are and how far apart, so they come first:

        eyelets along back.left every 1 in from 1/2 in of each end
        lace along back.left opens to 8 in tails 20 in

    Name the same edge in both.
    """

    code: ClassVar[str] = "E1801"
    title: ClassVar[str] = "a lace without eyelets"
    edge: str

    def seen(self) -> str:
        return f"a lace runs along `{self.edge}`, which has no eyelets"

    def attempt(self) -> str:
        return f"add `eyelets along {self.edge} every 1 in from 1/2 in of each end`, under the same choice"


@dataclass(frozen=True, kw_only=True)
class WhereItGoes(Diagnostic):
    """A finding is put where no piece has an edge, or where several have one.

        eyelets along waist_line every 1 in from 1/2 in of each end

    Eyelets, a busk or a zip go along one edge of one piece: `back.left`, or `centre_back.opening` with the
    piece's name where several pieces lie along the line. A bone may go along a seam as well.
    """

    code: ClassVar[str] = "E1802"
    title: ClassVar[str] = "no edge for a finding"
    edge: str
    pieces: tuple[str, ...]
    wanted: str

    def seen(self) -> str:
        if not self.pieces:
            return f"no piece has an edge along `{self.edge}`"
        return f"`{self.edge}` is an edge of {len(self.pieces)} pieces: {', '.join(self.pieces)}"

    def expected(self) -> str:
        return self.wanted

    def attempt(self) -> str:
        first = self.pieces[0] if self.pieces else "back"
        return f"name the piece with its edge, as `{first}.side`"


@dataclass(frozen=True, kw_only=True)
class LaceTooShort(Diagnostic):
    """The lace that is said to be bought is too short to get dressed with.

    A lace must reach when the garment is opened wide enough to step into or pull over, not only when it is
    closed: 13 eyelets a side, 1 in apart, take 2.7 yd closed to a 2 in gap but 6.7 yd opened to 8 in. With a
    shorter one the wearer has to be laced up anew each time. Buy a longer one, or say a smaller opening.
    """

    code: ClassVar[str] = "E1803"
    title: ClassVar[str] = "a lace too short to get dressed"
    severity: ClassVar[Severity] = Severity.CAUTION
    bought: str
    needed: str
    opened: str

    def seen(self) -> str:
        return f"a lace of {self.bought} is too short: opened to {self.opened} it takes {self.needed}"

    def attempt(self) -> str:
        return f"buy {self.needed}, or thread it anew each time the garment is put on"


@dataclass(frozen=True, kw_only=True)
class NoRoomForIt(Diagnostic):
    """An edge is too short for what is to go along it: nothing is left once its ends are kept free.

    A bone that is short by 1/4 in at each end needs a channel well over 1/2 in; a row of eyelets needs more
    than what is left free at both ends. Look at the length of the edge in the working, then at the amounts.
    """

    code: ClassVar[str] = "E1804"
    title: ClassVar[str] = "no room for a finding"
    severity: ClassVar[Severity] = Severity.CAUTION
    what: str
    where: str
    length: str

    def seen(self) -> str:
        return f"there is no room for {self.what} along {self.where}, which is {self.length} long"

    def attempt(self) -> str:
        return "keep less free at its ends, or leave it out for this body"


@dataclass(frozen=True, kw_only=True)
class EyeletsFarApart(Diagnostic):
    """The eyelets of a laced edge stand further apart than 3 cm, and the edge will gape between them.

    Usual is 3/4 in to 1 in apart, closer at the waist. Say a smaller distance: `every 1 in`.
    """

    code: ClassVar[str] = "E1805"
    title: ClassVar[str] = "eyelets far apart"
    severity: ClassVar[Severity] = Severity.CAUTION
    where: str
    apart: str

    def seen(self) -> str:
        return f"the eyelets along {self.where} are {self.apart} apart: over 3 cm the edge gapes"

    def attempt(self) -> str:
        return "set them 3/4 in to 1 in (2 to 2.5 cm) apart"


@dataclass(frozen=True, kw_only=True)
class NotReckoned(Diagnostic):
    """A finding could not be worked out, since a piece that it goes on was not drawn for this body.

    The reason stands with the piece. The list is not whole until it is mended: don't buy by it.
    """

    code: ClassVar[str] = "E1806"
    title: ClassVar[str] = "a finding that could not be worked out"
    severity: ClassVar[Severity] = Severity.CAUTION
    what: str
    where: str

    def seen(self) -> str:
        return f"{self.what} along {self.where} could not be worked out: a piece it goes on was not drawn"

    def attempt(self) -> str:
        return "see what is said of the pieces; the list of findings is not whole"


@dataclass(frozen=True, kw_only=True)
class NotARate(Diagnostic):
    """Something in a file of rates can't be read as a price, as hours or as a length of cloth.

        currency: USD
        hour: 25
        hours:
          draft: 3
          toile: 4 1/2
        prices:
          spiral bone: 1.20
          lace: 1.50 a yd
        cloth:
          self: 2 1/4 yd

    Whatever is left out or left empty stays blank on the cost sheet. A price is a figure, for one; with `a
    yd` (or in, m, cm) after it, it is for that length.
    """

    code: ClassVar[str] = "E1807"
    title: ClassVar[str] = "a rate that can't be read"
    said: str
    hint: str

    def seen(self) -> str:
        return self.said

    def attempt(self) -> str:
        return self.hint
