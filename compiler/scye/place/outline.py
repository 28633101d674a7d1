"""Plain measuring of strokes: their bounds and their points."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from scye.ir.pattern import Piece, Point, Stroke
from scye.ir.sheets import Box


def bounds(points: Iterable[Point]) -> Box:
    xs, ys = zip(*points, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def union(boxes: Iterable[Box]) -> Box:
    items = tuple(boxes)
    return Box(
        min(b.left for b in items),
        min(b.top for b in items),
        max(b.right for b in items),
        max(b.bottom for b in items),
    )


def moved(box: Box, by: Point) -> Box:
    return Box(box.left + by[0], box.top + by[1], box.right + by[0], box.bottom + by[1])


def moved_stroke(stroke: Stroke, by: Point) -> Stroke:
    def at(point: Point) -> Point:
        return point[0] + by[0], point[1] + by[1]

    segments = tuple(tuple(at(p) for p in segment) for segment in stroke.segments)
    return Stroke(at(stroke.start), segments, stroke.closed)


def overlaps(a: Box, b: Box) -> bool:
    return a.left < b.right and b.left < a.right and a.top < b.bottom and b.top < a.bottom


def stroke_box(stroke: Stroke) -> Box:
    """The exact bounds of a stroke in mm: its ends and the turning points of its cubics."""
    points = [stroke.start]
    here = stroke.start
    for segment in stroke.segments:
        if len(segment) == 3:
            points.extend(_turning_points(here, segment))
        here = segment[-1]
        points.append(here)
    return bounds(points)


def _turning_points(start: Point, cubic: tuple[Point, ...]) -> Iterator[Point]:
    for axis in (0, 1):
        a, b, c, d = (p[axis] for p in (start, *cubic))
        for t in _unit_roots(d - a + 3 * (b - c), 2 * (a - 2 * b + c), b - a):
            yield _at(start, cubic, t)


def _unit_roots(square: float, linear: float, constant: float) -> tuple[float, ...]:
    """Roots within 0 to 1 of square t^2 + linear t + constant (the derivative of a cubic over 3)."""
    if abs(square) < 1e-12:
        roots = [-constant / linear] if abs(linear) > 1e-12 else []
    else:
        inside = linear * linear - 4 * square * constant
        if inside < 0:
            return ()
        root = math.sqrt(inside)
        roots = [(-linear - root) / (2 * square), (-linear + root) / (2 * square)]
    return tuple(t for t in roots if 0 < t < 1)


def _at(start: Point, cubic: tuple[Point, ...], t: float) -> Point:
    s = 1 - t
    a, b, c, d = s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t
    one, two, end = cubic
    return (
        a * start[0] + b * one[0] + c * two[0] + d * end[0],
        a * start[1] + b * one[1] + c * two[1] + d * end[1],
    )


def flatten(stroke: Stroke, step: float = 6.0) -> list[Point]:
    """Points along a stroke; cubics are cut in pieces of about `step` mm, never fewer than four."""
    points = [stroke.start]
    for segment in stroke.segments:
        if len(segment) == 3:
            rough = sum(math.dist(p, q) for p, q in zip((points[-1], *segment), segment, strict=False))
            parts = max(4, math.ceil(rough / step))
            start = points[-1]
            points.extend(_at(start, segment, k / parts) for k in range(1, parts + 1))
        else:
            points.append(segment[0])
    if stroke.closed and points[-1] != stroke.start:
        points.append(stroke.start)
    return points


def piece_box(piece: Piece) -> Box:
    """The room of a piece's cutting and stitch lines, in its own coordinates."""
    return union((stroke_box(piece.cutting), stroke_box(piece.net)))
