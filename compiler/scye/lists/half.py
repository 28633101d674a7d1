"""What findings are measured on: a finished garment, as one pattern or as its right and left half."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from scye.ir.equations import Ref
from scye.ir.notions import EdgeAt
from scye.ir.pattern import Edge, Pattern, Point, Stroke
from scye.ir.people import DisplayUnit
from scye.ir.plan import CuttingPlan, PiecePlan
from scye.units.names import edge_name

SAME = 1e-6  # mm
ON_EDGE = 0.5  # mm past its end that still is the end of an edge
ROUND_BODY = 2  # how often a piece of a pair or on a fold goes round the body


@dataclass(frozen=True, slots=True)
class Half:
    """A pattern of a whole body or of one side of it: `figure` answers the value of a node, `girth` what all
    pieces of a draft come to across a line (mm), as if the other side were alike, and `place` where a point
    of a draft is (mm)."""

    side: str
    pattern: Pattern
    figure: Callable[[Ref], float]
    girth: Callable[[Ref, str], float]
    place: Callable[[Ref], Point]


@dataclass(frozen=True, slots=True)
class Measured:
    """An edge or channel of the garment: its length (mm), and how often it is there on this `side`."""

    side: str
    length: float
    times: int


class Joins:
    """How the edges of a plan come together. It is the same for every body, and is kept."""

    def __init__(self, plan: CuttingPlan) -> None:
        self.plan = plan
        self._plans: Mapping[str, PiecePlan] = {piece.name: piece for piece in plan.pieces}
        self._shared: dict[tuple[EdgeAt, ...], int] = {}
        self._spoken: dict[tuple[EdgeAt, ...], str] = {}

    def shared(self, edges: tuple[EdgeAt, ...]) -> int:
        """How often a channel is there: a seam to its own pair is one channel of two edges."""
        if edges not in self._shared:
            self._shared[edges] = self._times_shared(edges)
        return self._shared[edges]

    def spoken(self, edges: tuple[EdgeAt, ...]) -> str:
        """`seam A` where a seam joins them, otherwise the piece with its edge."""
        if edges not in self._spoken:
            self._spoken[edges] = self._in_words(edges)
        return self._spoken[edges]

    def _times(self, at: EdgeAt) -> int:
        """How often an edge is there in the outer layer of the garment."""
        cuts = self._plans[at.piece].cuts
        outer = [cut for cut in cuts if "self" in cut.layers] or list(cuts[:1])
        folded = ROUND_BODY if all(cut.fold != at.edge for cut in outer) else 1
        return sum(cut.count * (folded if cut.how == "fold" else 1) for cut in outer)

    def _times_shared(self, edges: Sequence[EdgeAt]) -> int:
        times = self._times(edges[0])
        to_pair = any(
            seam.to_pair and any(EdgeAt(side.piece, side.edge) == edges[0] for side in seam.first)
            for seam in self.plan.seams
        )
        return max(1, times // ROUND_BODY) if to_pair else times

    def _in_words(self, edges: Sequence[EdgeAt]) -> str:
        for seam in self.plan.seams:
            joined = {EdgeAt(side.piece, side.edge) for side in (*seam.first, *seam.second)}
            if set(edges) <= joined and (len(edges) > 1 or seam.to_pair):
                return f"seam {seam.letter}"
        plan = self._plans[edges[0].piece]
        return f"{plan.title}: {edge_name(edges[0].edge, [b.name for b in plan.boundary])}"


class Garment:
    """A plan beside the pattern or the two halves that were drafted by it."""

    def __init__(self, joins: Joins, halves: Sequence[Half], unit: DisplayUnit) -> None:
        self.plan = joins.plan
        self.halves = halves
        self.unit = unit
        self.spoken = joins.spoken
        self._shared = joins.shared
        self._lengths = [_lengths(half.pattern) for half in halves]

    def figure(self, ref: Ref) -> float:
        """The value of an amount; of two halves the greater, so that what is bought will do."""
        return max(half.figure(ref) for half in self.halves)

    def maybe(self, ref: Ref | None, otherwise: float) -> float:
        return otherwise if ref is None else self.figure(ref)

    def girth(self, line: Ref, draft: str) -> float:
        return math.fsum(half.girth(line, draft) for half in self.halves) / len(self.halves)

    def cut_off(self, at: EdgeAt, ends: tuple[Ref, Ref]) -> float:
        """How much of a stretch between two points of an edge's line lies past the ends of the edge itself,
        as where a lower neck has cut off its top (mm); of two halves the lesser."""
        return min(
            math.fsum(_past(edge.path, half.place(end)) for end in ends)
            for half in self.halves
            for edge in _edges(half.pattern, at)[:1]
        )

    def along(self, edges: tuple[EdgeAt, ...]) -> tuple[Measured, ...] | None:
        """The shortest of some edges that lie on each other, on each side; None if one was not drawn.

        Where both sides are alike they are told as one.
        """
        shared = self._shared(edges)
        if len(self.halves) == 1:
            shortest = self._shortest(0, edges)
            return None if shortest is None else (Measured("", shortest, shared),)
        found = []
        for place, half in enumerate(self.halves):
            shortest = self._shortest(place, edges)
            if shortest is None:
                return None
            times = shared // len(self.halves) if shared > 1 else shared * (place == 0)
            found.append(Measured(half.side, shortest, times))
        if len({round(m.length / SAME) for m in found}) == 1:
            return (Measured("", found[0].length, sum(m.times for m in found)),)
        return tuple(m for m in found if m.times)


    def _shortest(self, place: int, edges: tuple[EdgeAt, ...]) -> float | None:
        """The shortest of some edges of a half; None if one was not drawn."""
        lengths = [self._lengths[place].get((edge.piece, edge.edge), math.nan) for edge in edges]
        return min(lengths) if all(map(math.isfinite, lengths)) else None


def _edges(pattern: Pattern, at: EdgeAt) -> list[Edge]:
    pieces = [piece for piece in pattern.pieces if piece.name == at.piece]
    return [edge for piece in pieces for edge in piece.edges if edge.name == at.edge]


def _past(path: Stroke, point: Point) -> float:
    """How far a point lies straight past one of a stroke's ends; nothing for one that lies along it."""
    places = [path.start, *(p for segment in path.segments for p in segment)]
    past = 0.0
    for (x, y), (u, v) in ((places[0], places[1]), (places[-1], places[-2])):
        long = math.hypot(x - u, y - v)
        if long > SAME:
            ahead = ((point[0] - x) * (x - u) + (point[1] - y) * (y - v)) / long
            beside = abs((point[0] - x) * (y - v) - (point[1] - y) * (x - u)) / long
            if ahead > ON_EDGE and beside <= ON_EDGE:
                past = max(past, ahead)
    return past


def _lengths(pattern: Pattern) -> dict[tuple[str, str], float]:
    """How long every edge of a pattern is; of edges alike in name the first."""
    edges = [((piece.name, edge.name), edge.length) for piece in pattern.pieces for edge in piece.edges]
    return dict(reversed(edges))
