"""Which bodies are drafted side by side, and which side of the wearer a draft shows."""

from __future__ import annotations

import math
import re
from collections.abc import Container, Iterable, Iterator, Sequence
from dataclasses import dataclass

from scye.fit.replay import Laid, in_order
from scye.ir.fitting import Side
from scye.ir.pattern import Edge, Piece, Point
from scye.ir.people import Body, Reading

_CENTRES = {"cf": ("centre", "front"), "cb": ("centre", "back"), "center": ("centre",)}


def differing(readings: Sequence[Reading]) -> frozenset[str]:
    """The measures of which a body's left and right were taken and are not the same."""
    sides = {(r.name, r.side): r.value for r in readings if r.side is not None}
    return frozenset(
        name
        for (name, side), value in sides.items()
        if side == "left" and sides.get((name, "right")) != value
    )


def two_sided(body: Body, laid: Sequence[Laid], taken: Container[str]) -> bool:
    """Whether a body needs a full draft: for a correction of one side, or because measures `taken` differ and
    its card asks for it or has no whole to share."""
    wholes = {r.name for r in body.readings if r.side is None}
    if any(name in taken and (body.full or name not in wholes) for name in differing(body.readings)):
        return True
    return any(
        correction.side != "both" and how.outcome == "replayed"
        for (_, correction), how in zip(in_order(body.fittings), laid, strict=True)
    )


def side_of(
    readings: Iterable[Reading], names: Iterable[str], side: Side | None, halved: Container[str]
) -> dict[str, float]:
    """Measures as one side is drafted by them, NaN where one was not taken: a half counts twice, as if the
    body were so on both sides."""
    wholes: dict[str, float] = {}
    own: dict[str, float] = {}
    for reading in readings:
        if reading.side is None:
            wholes[reading.name] = reading.value
        elif reading.side == side:
            own.setdefault(reading.name, reading.value * (2.0 if reading.name in halved else 1.0))
    return {name: own.get(name, wholes.get(name, math.nan)) for name in names}


@dataclass(frozen=True, slots=True)
class Shown:
    """The side of the wearer that a draft shows, right side of the cloth up; `known` if it says so."""

    side: Side
    known: bool


def shown_side(draft: str, pieces: Sequence[Piece]) -> Shown:
    """The side that the pieces of one draft belong to as they are drawn.

    Seen from outside, the front of the right side is to the right of its back. So a front with its centre on
    the left of the paper is the wearer's left, and a back with its centre on the left is her right. That is
    told by an edge called centre front or back; in a draft that is called front or back itself, by an edge
    called centre, or by one called side, which is away from the centre; or by any edge of the front or back.
    """
    edges = [edge for piece in pieces for edge in piece.edges]
    middle = _mean([x for piece in pieces for x, _ in _points(piece.edges)])
    for named, sign in _tellers(_words(draft), edges):
        if named and len(named) < len(edges):
            away = sign * (_mean([x for x, _ in _points(named)]) - middle)
            return Shown("right" if away > 0.0 else "left", True)
    return Shown("right", False)


def _tellers(draft: frozenset[str], edges: Sequence[Edge]) -> Iterator[tuple[list[Edge], float]]:
    """Edges that tell a side, from the surest; with 1 if they lie to the wearer's left on her right side."""
    words = [(edge, _words(edge.name)) for edge in edges]
    fronts = (("front", 1.0), ("back", -1.0))
    for which, sign in fronts:
        yield [edge for edge, said in words if which in said and "centre" in said], sign
    if len(own := [(which, sign) for which, sign in fronts if which in draft]) == 1:
        ((_, sign),) = own
        yield [edge for edge, said in words if "centre" in said], sign
        yield [edge for edge, said in words if "side" in said], -sign
    for which, sign in fronts:
        yield [edge for edge, said in words if which in said], sign


def _words(name: str) -> frozenset[str]:
    """The words of a name, those of a centre written out: `cf_seam` is centre, front, seam."""
    words = re.split(r"[^a-z]+", name.lower())
    return frozenset(full for word in words for full in _CENTRES.get(word, (word,)))


def _points(edges: Iterable[Edge]) -> list[Point]:
    return [p for edge in edges for p in (edge.path.start, *(s[-1] for s in edge.path.segments))]


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values) if values else 0.0
