"""Mistakes in the fittings of a measure card, and what is said of their replaying: E1201 to E1299."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.model import Diagnostic, Severity

# --- on the card (E1201 to E1209) ---------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class WhatToDo(Diagnostic):
    """A correction must say one thing to do, with its amount.

        fittings:
          - date: 2025-03-03
            corrections:
              - take_in: 3/8
                seam: C
                at: waist
                nothing_at: underarm

    It is one of `take_in`, `let_out`, `raise`, `lower` and `drop`. Two of them are two corrections.
    """

    code: ClassVar[str] = "E1201"
    title: ClassVar[str] = "a correction that does not say one thing to do"
    what: str

    def seen(self) -> str:
        return f"this correction says {self.what}"

    def expected(self) -> str:
        return "one of `take_in`, `let_out`, `raise`, `lower` and `drop`, with its amount"

    def attempt(self) -> str:
        return "write the amount after it: `take_in: 3/8`"


@dataclass(frozen=True, kw_only=True)
class BadCorrection(Diagnostic):
    """The amount of a correction can't be used.

    An amount is a length of more than nothing, in the card's unit if it names none: `3/8`, `1 cm`. It is all
    that the seam takes or gives, half on each edge. More than 100 mm is a new draft and no fitting.
    """

    code: ClassVar[str] = "E1202"
    title: ClassVar[str] = "an amount that no fitting can have"
    written: str
    why: str

    def seen(self) -> str:
        return f"`{self.written}` {self.why}"

    def attempt(self) -> str:
        return "write a length: `3/8`, `1/2 in` or `1 cm`"


@dataclass(frozen=True, kw_only=True)
class BadSide(Diagnostic):
    """`side` of a correction is `left`, `right` or `both`, as the client herself has them.

    A correction that says no side is made on both. Write one of the three words.
    """

    code: ClassVar[str] = "E1203"
    title: ClassVar[str] = "no such side"
    written: str

    def seen(self) -> str:
        return f"`{self.written}` is no side"

    def attempt(self) -> str:
        return "write left, right or both"


@dataclass(frozen=True, kw_only=True)
class SeamOrEdge(Diagnostic):
    """A correction says where it was pinned: on a seam, by its letter or its name, or on an edge.

        - drop: 1/2
          edge: neck
          at: centre front

    `seam` and `edge` mean the same; a correction has one of them. With `piece`, only that piece's edge is
    moved; without, a seam's amount is shared by the two edges that it joins.
    """

    code: ClassVar[str] = "E1204"
    title: ClassVar[str] = "a correction that is on no seam"
    what: str

    def seen(self) -> str:
        return f"this correction names {self.what}"

    def attempt(self) -> str:
        return "write `seam: C` or `edge: neck`"


@dataclass(frozen=True, kw_only=True)
class TooManyPlaces(Diagnostic):
    """A correction fades to nothing at one place on either side of the one where it was pinned.

    So `nothing_at` names at most two places, and so does `carried_to`. Where `at` is `all along` there is
    nothing to fade, and neither is said.
    """

    code: ClassVar[str] = "E1205"
    title: ClassVar[str] = "more places than a correction has"
    name: str
    why: str

    def seen(self) -> str:
        return f"`{self.name}` {self.why}"

    def attempt(self) -> str:
        return "write two corrections, or leave it out"


@dataclass(frozen=True, kw_only=True)
class LargeCorrection(Diagnostic):
    """A correction of more than 40 mm (about 1 1/2 in) is drawn, but look whether the measures are right.

    So much at one seam is more often a measure that has changed, or a unit that was not meant.
    """

    code: ClassVar[str] = "E1206"
    title: ClassVar[str] = "a large correction"
    severity: ClassVar[Severity] = Severity.CAUTION
    written: str

    def seen(self) -> str:
        return f"{self.written} is much for one seam"

    def attempt(self) -> str:
        return "see whether a measure has changed instead, and whether the unit is right"


@dataclass(frozen=True, kw_only=True)
class HalfOrFull(Diagnostic):
    """`draft` on a card is `half` or `full`.

    A half draft is cut as a pair and shares a measure evenly between left and right; so it is if nothing is
    said. With `draft: full` a measure that was taken left and right drafts each side by its own.
    """

    code: ClassVar[str] = "E1207"
    title: ClassVar[str] = "neither a half draft nor a full one"
    written: str

    def seen(self) -> str:
        return f"`{self.written}` is no kind of draft"

    def attempt(self) -> str:
        return "write `draft: half` or `draft: full`"


# --- on the draft (E1211 to E1219) --------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class CorrectionLeftOut(Diagnostic):
    """A correction of an earlier fitting could not be replayed on this draft.

    The recipe no longer has the seam, the edge or the place that was pinned, or has it on the fold. The rest
    of the draft is as it would be without the correction; nothing was put anywhere else instead. Change the
    correction's `seam` or `at` to what the recipe has now, or pin it anew at the next fitting.
    """

    code: ClassVar[str] = "E1211"
    title: ClassVar[str] = "a correction that was left out"
    severity: ClassVar[Severity] = Severity.CAUTION
    what: str
    reason: str

    def seen(self) -> str:
        return f"{self.reason}: {self.what} was left out"

    def attempt(self) -> str:
        return "name the seam or place that the recipe has now, or fit it anew"


@dataclass(frozen=True, kw_only=True)
class CutOnceForTwoSides(Diagnostic):
    """Left and right differ, but a piece is cut once only, so it can be right for one side alone.

    It is drawn for the right side. If it belongs to the left, or to both, say in the recipe that it is
    cut as a pair.
    """

    code: ClassVar[str] = "E1212"
    title: ClassVar[str] = "one piece for two different sides"
    severity: ClassVar[Severity] = Severity.CAUTION
    piece: str

    def seen(self) -> str:
        return f"{self.piece} is cut once, and left and right differ: it is drawn for the right"

    def attempt(self) -> str:
        return "cut it as a pair, or see which side it belongs to"


@dataclass(frozen=True, kw_only=True)
class FrontNotKnown(Diagnostic):
    """Left and right differ, and a draft does not say which of its edges is the front or the back.

    A piece is printed as it is cut, right side of the cloth up, so left and right pieces are mirror images:
    the side with the centre front on its left hand belongs to the left of the wearer. It is told by an edge
    called centre front or centre back, or by a draft called front or back with an edge called centre or side.
    Where no name tells it, the draft is taken as drawn for the right.
    """

    code: ClassVar[str] = "E1213"
    title: ClassVar[str] = "a draft without front or back"
    severity: ClassVar[Severity] = Severity.NOTE
    draft: str

    def seen(self) -> str:
        return f"{self.draft} does not say which edge is front: it is taken as drawn for the right side"

    def attempt(self) -> str:
        return "call an edge of it centre_front or centre_back"
