"""Strokes as points, and points moved: the plain geometry of a lay."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from scye.ir.pattern import Point, Stroke

Ring = tuple[Point, ...]

# How far (mm) the points' line may be from the curve.
FLAT = 0.05


def flattened(stroke: Stroke, within: float = FLAT) -> Ring:
    """Points along a closed stroke, the first not repeated, nowhere further than `within` mm from it."""
    points = [stroke.start]
    for segment in stroke.segments:
        if len(segment) == 3:
            points += _cubic(points[-1], segment, within)
        else:
            points.append(segment[0])
    return tuple(_apart(points))


def _cubic(start: Point, handles: Sequence[Point], within: float) -> list[Point]:
    """A chord of a curve is off it by at most an eighth of the second derivative's size times its span
    squared; the cubic's second derivative is largest at an end."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = start, *handles
    one = math.hypot(ax - 2 * bx + cx, ay - 2 * by + cy)
    bend = 6 * max(one, math.hypot(bx - 2 * cx + dx, by - 2 * cy + dy))
    parts = max(1, math.ceil(math.sqrt(bend / (8 * within))))
    return [_at(start, handles, k / parts) for k in range(1, parts)] + [handles[-1]]


def _at(start: Point, handles: Sequence[Point], t: float) -> Point:
    s = 1 - t
    weights = (s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t)
    points = (start, *handles)
    x = sum(w * p[0] for w, p in zip(weights, points, strict=True))
    return x, sum(w * p[1] for w, p in zip(weights, points, strict=True))


def _apart(points: Iterable[Point]) -> list[Point]:
    """Without points on the one before; the last not on the first."""
    kept: list[Point] = []
    for point in points:
        if not kept or math.dist(point, kept[-1]) > 1e-6:
            kept.append(point)
    while len(kept) > 1 and math.dist(kept[0], kept[-1]) <= 1e-6:
        kept.pop()
    return kept


def area(ring: Ring) -> float:
    """mm2, whichever way round."""
    twice = sum(ax * by - bx * ay for (ax, ay), (bx, by) in pairwise((*ring, ring[0])))
    return abs(twice) / 2


def lowest(ring: Ring) -> Point:
    """The least x and the least y."""
    return min(x for x, _ in ring), min(y for _, y in ring)


def highest(ring: Ring) -> Point:
    return max(x for x, _ in ring), max(y for _, y in ring)


def shifted(ring: Ring, by: Point) -> Ring:
    return tuple((x + by[0], y + by[1]) for x, y in ring)


@dataclass(frozen=True, slots=True)
class Turn:
    """Mirrored (x to -x) or not, then turned by `angle` radians, clockwise as drawn with y down."""

    mirrored: bool
    angle: float

    def point(self, point: Point) -> Point:
        x, y = (-point[0] if self.mirrored else point[0]), point[1]
        cosine, sine = math.cos(self.angle), math.sin(self.angle)
        return x * cosine - y * sine, x * sine + y * cosine

    def ring(self, points: Iterable[Point]) -> Ring:
        return tuple(self.point(point) for point in points)


def over(points: Iterable[Point], line: tuple[Point, Point]) -> Ring:
    """Points turned over on a line."""
    (ax, ay), (bx, by) = line
    dx, dy = bx - ax, by - ay
    square = dx * dx + dy * dy
    found = []
    for x, y in points:
        along = ((x - ax) * dx + (y - ay) * dy) / square
        found.append((2 * (ax + along * dx) - x, 2 * (ay + along * dy) - y))
    return tuple(found)


def heads_along(ends: tuple[Point, Point], mirrored: bool) -> Turn:
    """The turn that lays a grain, from foot to head, along the cloth with the head towards x = 0."""
    foot, head = ends
    dx, dy = head[0] - foot[0], head[1] - foot[1]
    angle = math.pi - math.atan2(dy, -dx if mirrored else dx)
    return Turn(mirrored, math.remainder(angle, 2 * math.pi))


def feet_first(grain: tuple[Point, Point]) -> tuple[Point, Point]:
    """The ends of a grain line, that of the foot first.

    The head is the upper end of the grain as the piece is drawn, whichever way the recipe's line runs; of a
    level grain the left end.
    """
    a, b = grain
    if abs(a[1] - b[1]) <= 1e-6 * math.dist(a, b):
        return (a, b) if b[0] < a[0] else (b, a)
    return (a, b) if b[1] < a[1] else (b, a)
