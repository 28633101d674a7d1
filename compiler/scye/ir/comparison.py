"""What changed from one edition of a pattern to another: plain words, ready to be shown."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the list: what it concerns, for which bodies, and what changed."""

    subject: str
    bodies: str
    what: str

    @property
    def text(self) -> str:
        where = ", ".join(part for part in (self.subject, self.bodies) if part)
        return f"{where}: {self.what}." if where else f"{self.what}."

    @property
    def alone(self) -> str:
        """The line without what changed: `Side back (sizes 41 and 44)`."""
        return f"{self.subject} ({self.bodies})" if self.bodies else self.subject


@dataclass(frozen=True, slots=True)
class Overlay:
    """The outlines of a piece before and after for one body, as SVG path data in mm.

    `shift` lays the new one on the old; `box` is left, top, width and height of both.
    """

    title: str
    body: str
    old: str
    new: str
    shift: tuple[float, float]
    box: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Comparison:
    """What changed from one edition to another.

    `only` are bodies that just one of them is drafted for. `pieces` are lines about pieces, `rest` those
    about choices, seams and proofs, `lists` those about what is bought and how it is sewn, `by_hand` what a
    maker may write on the sheets she has. `again` are the pieces to be printed again: by body, their names.
    """

    old: str
    new: str
    bodies: tuple[str, ...]
    only: tuple[str, ...]
    pieces: tuple[Line, ...]
    rest: tuple[Line, ...]
    lists: tuple[Line, ...]
    by_hand: tuple[Line, ...]
    to_print: tuple[Line, ...]
    kept: str
    again: Mapping[str, tuple[str, ...]]
    overlays: tuple[Overlay, ...]

    @property
    def lines(self) -> Iterator[str]:
        """The list as text."""
        yield f"{self.old} -> {self.new}"
        if self.only:
            yield f"  only one of the two is drafted for {', '.join(self.only)}"
        for line in (*self.pieces, *self.rest, *self.lists):
            yield f"  {line.text}"
        if self.by_hand:
            yield "  To be written on the sheets by hand:"
            yield from (f"    {line.text}" for line in self.by_hand)
        if self.kept:
            yield f"  {self.kept}"
        if self.to_print:
            yield "  To print again: " + "; ".join(line.alone for line in self.to_print) + "."
