"""How far the edges of a piece have moved between two editions.

Lengths in mm, x right and y down. A piece may lie elsewhere in its draft than before: the new one is first
laid on the old where most of its edges meet.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from scye.compare.documents import Outline, Piece, Point

# Figures are written to 0.0001 mm; two of them may differ by their rounding and that of a shift.
SAME = 0.001
# Curves taken as straight steps lie this near to each other where they are one curve.
NEAR = 0.06
# Less than 1/64 in is not to be seen on paper, nor told.
TOLD = 0.4


@dataclass(frozen=True, slots=True)
class Shift:
    """How far an edge moved outward (mm), at the least and the most along it; inward is negative."""

    least: float
    most: float


def laid_on(old: Piece, new: Piece) -> Point:
    """By how much to move the new piece so that most edges meet those of the old (mm); nothing if it can."""
    best, most = (0.0, 0.0), _meeting(old, new, (0.0, 0.0))
    for by in _trials(old, new):
        met = _meeting(old, new, by)
        if met > most:
            best, most = by, met
    return best


def _trials(old: Piece, new: Piece) -> Iterator[Point]:
    """The moves that bring a corner onto what it was."""
    starts = {edge.name: edge.path.points[0] for edge in new.edges}
    for edge in old.edges:
        if edge.name in starts:
            (x, y), (u, v) = edge.path.points[0], starts[edge.name]
            yield (x - u, y - v)


def _meeting(old: Piece, new: Piece, by: Point) -> int:
    """How many edges lie on what they were."""
    paths = {edge.name: edge.path.points for edge in new.edges}
    return sum(
        all_near(edge.path.points, moved(paths[edge.name], by)) for edge in old.edges if edge.name in paths
    )


def moved(points: Sequence[Point], by: Point) -> tuple[Point, ...]:
    return tuple((x + by[0], y + by[1]) for x, y in points)


def all_near(a: Sequence[Point], b: Sequence[Point]) -> bool:
    """Whether two paths are drawn by the same points."""
    return len(a) == len(b) and all(math.dist(p, q) <= SAME for p, q in zip(a, b, strict=True))


def same_shape(old: Outline, new: Outline, by: Point) -> bool:
    return old.data == new.data or all_near(old.points, moved(new.points, by))


def shifted(piece: Piece, name: str, new: Sequence[Point]) -> Shift | None:
    """How an edge of the old piece moved to a new line; None if it only runs on or stops short."""
    old = next(edge.path.points for edge in piece.edges if edge.name == name)
    if _lies_on(old, new) or _lies_on(new, old):
        return None
    side = _turning(piece.net.points)
    found = [_outward(at, way, new, side) for at, way in _stations(old)]
    return Shift(min(found), max(found))


def strayed(old: Sequence[Point], new: Sequence[Point]) -> tuple[float, Point] | None:
    """How far a line inside a piece has moved to a new one: the least (mm), and the move of the place that
    went furthest; None if it only runs on or stops short."""
    if _lies_on(old, new) or _lies_on(new, old):
        return None
    if length_of(old) <= length_of(new):
        moves = [_way(at, _nearest(at, new)[0]) for at, _ in _stations(old)]
    else:
        moves = [_way(_nearest(at, old)[0], at) for at, _ in _stations(new)]
    if not moves:
        return None
    return min(math.hypot(*move) for move in moves), max(moves, key=lambda move: math.hypot(*move))


def length_of(points: Sequence[Point]) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(points))


def _way(a: Point, b: Point) -> Point:
    return (b[0] - a[0], b[1] - a[1])


def _lies_on(points: Sequence[Point], line: Sequence[Point]) -> bool:
    return all(_nearest(p, line)[1] <= NEAR for p in points)


def _stations(points: Sequence[Point]) -> Iterator[tuple[Point, Point]]:
    """Points evenly along a path between its ends, each with the way it runs there."""
    lengths = [math.dist(a, b) for a, b in pairwise(points)]
    total = sum(lengths)
    for i in range(1, 20):
        left = total * i / 20
        for (a, b), length in zip(pairwise(points), lengths, strict=True):
            if left <= length and length > 0:
                t = left / length
                way = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
                yield (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])), way
                break
            left -= length


def point_along(points: Sequence[Point], along: float) -> Point:
    """The point at a length along a path; its ends beyond them."""
    for a, b in pairwise(points):
        length = math.dist(a, b)
        if along <= length and length > 0:
            t = max(0.0, along) / length
            return (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))
        along -= length
    return points[-1]


def _outward(at: Point, way: Point, line: Sequence[Point], side: float) -> float:
    near, distance = _nearest(at, line)
    across = (near[0] - at[0]) * way[1] - (near[1] - at[1]) * way[0]
    return math.copysign(distance, across * side)


def _turning(points: Sequence[Point]) -> float:
    """Which side of its edges the outside of a piece is on, by the way they run round it."""
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise((*points, points[0])))
    return 1.0 if area > 0 else -1.0


def _nearest(p: Point, line: Sequence[Point]) -> tuple[Point, float]:
    """The nearest point of a line, and how far off it is."""
    best, least = line[0], math.dist(p, line[0])
    for a, b in pairwise(line):
        q = _foot(p, a, b)
        distance = math.dist(p, q)
        if distance < least:
            best, least = q, distance
    return best, least


def _foot(p: Point, a: Point, b: Point) -> Point:
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    t = 0.0 if square == 0 else max(0.0, min(1.0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square))
    return (a[0] + t * dx, a[1] + t * dy)


def heading(by: Point) -> str:
    """Up or down, unless a move is nearly level: then left or right."""
    if abs(by[1]) >= 0.3 * math.hypot(*by):
        return "down" if by[1] > 0 else "up"
    return "right" if by[0] > 0 else "left"
