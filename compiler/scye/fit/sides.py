"""Which bodies are drafted side by side, and which side of the wearer a draft shows."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass

from scye.fit.replay import Laid, in_order
from scye.ir.fitting import Side
from scye.ir.pattern import Edge, Piece, Point
from scye.ir.people import Body, Reading

_CENTRES = {"cf": "front", "cb": "back"}


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
    readings: Iterable[Reading], name: str, side: Side | None, halved: Container[str]
) -> float | None:
    """A measure as one side is drafted by it: a half counts twice, as if the body were so on both sides."""
    whole = None
    for reading in readings:
        if reading.name == name and reading.side is None:
            whole = reading.value
        elif reading.name == name and reading.side == side:
            return reading.value * (2.0 if name in halved else 1.0)
    return whole


@dataclass(frozen=True, slots=True)
class Shown:
    """The side of the wearer that a draft shows, right side of the cloth up; `known` if it says so."""

    side: Side
    known: bool


def shown_side(pieces: Sequence[Piece]) -> Shown:
    """The side that the pieces of one draft belong to as they are drawn.

    Seen from outside, the front of the right side is to the right of its back. So a front with its centre on
    the left of the paper is the wearer's left, and a back with its centre on the left is her right.
    """
    edges = [edge for piece in pieces for edge in piece.edges]
    middle = _mean([x for piece in pieces for x, _ in _points(piece.edges)])
    for strict in (True, False):
        for which, sign in (("front", 1.0), ("back", -1.0)):
            named = [edge for edge in edges if _names(edge, which, strict=strict)]
            if named and len(named) < len(edges):
                away = sign * (_mean([x for x, _ in _points(named)]) - middle)
                return Shown("right" if away > 0.0 else "left", True)
    return Shown("right", False)


def _names(edge: Edge, which: str, *, strict: bool) -> bool:
    """Whether an edge is the centre front (or back), or (not strict) anything of the front."""
    words = re.split(r"[^a-z]+", edge.name.lower())
    full = [_CENTRES.get(word, word) for word in words]
    centre = "centre" in words or "center" in words or any(word in _CENTRES for word in words)
    return which in full and (centre or not strict)


def _points(edges: Iterable[Edge]) -> list[Point]:
    return [p for edge in edges for p in (edge.path.start, *(s[-1] for s in edge.path.segments))]


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values) if values else 0.0
