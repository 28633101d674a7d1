"""Laying the sizes of a piece over each other at the place that they share."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from scye.ir.grade import AlignedPiece, NestLine
from scye.ir.pattern import Nesting, Notch, Pattern, Piece, Point, Stroke

# How far a notch's tick reaches to either side of the stitch line, mm.
TICK = 2.5

Lay = Callable[[Point], Point]


@dataclass(frozen=True, slots=True)
class Member:
    """One size of a piece: its place among the sizes, and how its draft is laid on the others."""

    size: int
    piece: Piece
    lay: Lay


@dataclass(frozen=True, slots=True)
class Sizes:
    """A piece in every size that has it. `draft` is where it was drawn, `words` say what place is shared."""

    name: str
    draft: str
    words: str
    members: tuple[Member, ...]


def laying(nest: Nesting, base: Nesting) -> Lay:
    """Moves the shared place to (0, 0), and turns what lies along a line to lie as in the base size."""
    turn = base.angle - nest.angle
    cosine, sine = math.cos(turn), math.sin(turn)

    def lay(p: Point) -> Point:
        x, y = p[0] - nest.at[0], p[1] - nest.at[1]
        return (x, y) if turn == 0.0 else (x * cosine - y * sine, x * sine + y * cosine)

    return lay


def all_sizes(patterns: Sequence[Pattern], base: int) -> tuple[Sizes, ...]:
    """Every piece of the patterns, in the order it first comes, with its sizes laid on the base."""
    names = dict.fromkeys(piece.name for pattern in _from(patterns, base) for piece in pattern.pieces)
    found = [sizes for name in names if (sizes := _sizes(name, patterns, base)).members]
    return tuple(sorted(found, key=lambda s: s.members[0].piece.number))


def _from(patterns: Sequence[Pattern], base: int) -> tuple[Pattern, ...]:
    return patterns[base], *patterns


def _sizes(name: str, patterns: Sequence[Pattern], base: int) -> Sizes:
    pieces = [next((p for p in pattern.pieces if p.name == name), None) for pattern in patterns]
    nests = [next(n for n in pattern.nests if n.piece == name) for pattern in patterns]
    on = base if pieces[base] is not None else next(i for i, p in enumerate(pieces) if p is not None)
    members = tuple(
        Member(i, piece, laying(nest, nests[on]))
        for i, (piece, nest) in enumerate(zip(pieces, nests, strict=True))
        if piece is not None and math.isfinite(nest.at[0] + nest.at[1] + nest.angle)
    )
    return Sizes(name, nests[on].draft, nests[on].words, members)


def nested_at(patterns: Sequence[Pattern], name: str) -> list[Pattern]:
    """The patterns with the pieces of every draft that has a point of that name nested at it.

    A full name (`front.waist_cf`) is the point of one draft, a short one that of every draft that has it.
    """
    return [replace(pattern, nests=tuple(_at_named(pattern, name))) for pattern in patterns]


def _at_named(pattern: Pattern, name: str) -> Iterator[Nesting]:
    points = dict(pattern.points)
    for nest in pattern.nests:
        full = name if name.startswith(f"{nest.draft}.") else f"{nest.draft}.{name}"
        at = points.get(full)
        yield nest if at is None else Nesting(nest.piece, nest.draft, at, 0.0, name)


def point_names(patterns: Sequence[Pattern]) -> list[str]:
    """The points that pieces may be nested at, in full and within their drafts."""
    full = dict.fromkeys(name for pattern in patterns for name, _ in pattern.points)
    return [*dict.fromkeys(name.partition(".")[2] for name in full), *full]


def aligned(sizes: Sizes, base: int) -> AlignedPiece:
    """A piece as it is drawn in the nest."""
    chosen = next((m for m in sizes.members if m.size == base), sizes.members[0])
    return AlignedPiece(
        name=sizes.name,
        title=chosen.piece.title,
        number=chosen.piece.number,
        lines=tuple(_line(member) for member in sizes.members),
        grain=(chosen.lay(chosen.piece.grain[0]), chosen.lay(chosen.piece.grain[1])),
        one_way=chosen.piece.one_way,
        words=sizes.words,
    )


def _line(member: Member) -> NestLine:
    piece = member.piece
    legs = [leg for dart in piece.darts for leg in dart.legs]
    marks = [*legs, *(_tick(notch) for notch in piece.notches)]
    return NestLine(
        member.size,
        laid(piece.cutting, member.lay),
        laid(piece.net, member.lay),
        tuple(laid(mark, member.lay) for mark in marks),
    )


def _tick(notch: Notch) -> Stroke:
    (x, y), (inx, iny) = notch.at, notch.inward
    return Stroke((x - inx * TICK, y - iny * TICK), (((x + inx * TICK, y + iny * TICK),),), False)


def laid(stroke: Stroke, lay: Lay) -> Stroke:
    segments = tuple(tuple(lay(p) for p in segment) for segment in stroke.segments)
    return Stroke(lay(stroke.start), segments, stroke.closed)
