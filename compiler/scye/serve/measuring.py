"""Measuring along an edge between two places, darts closed, as a tape is laid on the stitch line."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from scye.ir.pattern import Edge, Piece, Point
from scye.place.outline import flatten
from scye.serve.wishes import Place

STEP = 2.0  # mm between the points that a curve is measured by
SAME = 0.1  # mm within which two places are one


@dataclass(frozen=True, slots=True)
class Station:
    """A place of an edge that has a name: `along` (mm) from its first end, darts closed."""

    name: str
    said: str
    along: float


@dataclass(frozen=True, slots=True)
class Reading:
    """What the tape reads: along the edge and straight (mm; None across an open dart, which is sewn shut),
    the ends, and the points between them."""

    along: float
    straight: float | None
    ends: tuple[float, float]
    points: tuple[Point, ...]


class Ruler:
    """An edge laid out: its points with how far along each lies, the mouths of darts taking no length."""

    def __init__(self, edge: Edge, piece: Piece) -> None:
        self.points = flatten(edge.path, STEP)
        steps = [math.dist(a, b) for a, b in pairwise(self.points)]
        mouths = list(_mouths(self.points, edge, piece))
        for first, last in mouths:
            steps[first:last] = [0.0] * (last - first)
        total = math.fsum(steps)
        # The chords of a curve are a hair shorter than the curve itself.
        scale = edge.length / total if total else 1.0
        self.along = [0.0, *accumulate(step * scale for step in steps)]
        self._shut = [self.along[first] for first, _ in mouths]

    @property
    def length(self) -> float:
        return self.along[-1]

    def nearest(self, point: Point) -> float:
        """How far along the place of the edge is that lies nearest to a point."""
        legs = enumerate(pairwise(self.points))
        _, i, share = min(_off(point, a, b, i) for i, (a, b) in legs)
        return self.along[i] + share * (self.along[i + 1] - self.along[i])

    def place(self, along: float) -> Point:
        i = max(0, min(bisect_right(self.along, along) - 1, len(self.points) - 2))
        room = self.along[i + 1] - self.along[i]
        share = (along - self.along[i]) / room if room else 0.0
        (ax, ay), (bx, by) = self.points[i], self.points[i + 1]
        return ax + (bx - ax) * share, ay + (by - ay) * share

    def between(self, start: float, end: float) -> Reading:
        low, high = sorted((start, end))
        inner = [p for p, s in zip(self.points, self.along, strict=True) if low < s < high]
        first, last = self.place(low), self.place(high)
        across = any(low < mouth < high for mouth in self._shut)
        straight = None if across else math.dist(first, last)
        return Reading(high - low, straight, (start, end), (first, *inner, last))


def _off(point: Point, a: Point, b: Point, i: int) -> tuple[float, int, float]:
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    share = ((point[0] - a[0]) * dx + (point[1] - a[1]) * dy) / square if square else 0.0
    share = max(0.0, min(1.0, share))
    return math.dist(point, (a[0] + dx * share, a[1] + dy * share)), i, share


def _mouths(points: Sequence[Point], edge: Edge, piece: Piece) -> Iterator[tuple[int, int]]:
    """Where the mouths of darts begin and end among the points of an edge."""
    for dart in piece.darts:
        if dart.edge == edge.name:
            first, last = _index(points, dart.legs[0].start), _index(points, dart.legs[0].segments[-1][-1])
            if first is not None and last is not None:
                yield min(first, last), max(first, last)


def _index(points: Sequence[Point], place: Point) -> int | None:
    best = min(range(len(points)), key=lambda i: math.dist(points[i], place))
    return best if math.dist(points[best], place) < SAME else None


def stations(edge: Edge, piece: Piece, ruler: Ruler, points: Sequence[tuple[str, Point]]) -> list[Station]:
    """The ends, notches and named points of an edge, as they come along it."""
    found = [Station("start", "one end", 0.0), Station("end", "the other end", ruler.length)]
    for notch in piece.notches:
        if notch.edge == edge.name:
            found.append(Station(f"notch {notch.name}", f"notch {notch.name}", notch.along))
    for name, at in points:
        along = ruler.nearest(at)
        if math.dist(ruler.place(along), at) < SAME:
            found.append(Station(f"point {name}", name.replace("_", " "), along))
    return sorted(found, key=lambda station: station.along)


def read_off(ruler: Ruler, known: Sequence[Station], start: Place, end: Place) -> Reading:
    """What the tape reads from one place to another."""
    return ruler.between(_along(ruler, known, start), _along(ruler, known, end))


def _along(ruler: Ruler, known: Sequence[Station], place: Place) -> float:
    if isinstance(place, tuple):
        return ruler.nearest(place)
    return next((s.along for s in known if s.name == place), 0.0)
