"""Paths as strokes: no segments of no length, straights as straights, gaps closed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scye.geometry.path import Path
from scye.geometry.vector import Array, Flags, Ints
from scye.ir.pattern import Point, Stroke

NO_LENGTH = 1e-6  # mm; a segment this short is not drawn
GAP = 0.06  # mm between two segments beyond which a straight closes it
EVEN = 1e-6  # mm within which a cubic is a straight

_POINT, _STRAIGHT, _CUBIC = 0, 1, 2

# Paths one after another that make one stroke, and whether it is closed.
Asked = tuple[Sequence[Path], bool]


def strokes_of(asked: Sequence[Asked], bodies: Ints) -> list[list[Stroke]]:
    """Each stroke asked for, of each of these bodies. A segment of no length that stands apart is gone
    through. All are looked at together, and what bodies are drawn alike is made out for the first of them."""
    ctrl = _taken_together([path.ctrl for paths, _ in asked for path in paths], bodies)
    sizes = [sum([len(path.ctrl) for path in paths]) for paths, _ in asked]
    closed = [is_closed for _, is_closed in asked]
    points = ctrl.transpose(3, 2, 0, 1).reshape(len(bodies), 2, -1)
    rows: list[list[Stroke]] = [[] for _ in points]
    for walk, alike in _walks(ctrl, _sorts(ctrl), points, sizes, closed):
        # of all the control points only those that are drawn are made plain figures
        for i, (x, y) in zip(alike, points[alike][:, :, walk.drawn].tolist(), strict=True):
            at = tuple(zip(x, y, strict=True))
            rows[i] = [
                Stroke(at[first], tuple([at[a:b] for a, b in spans]), is_) for first, spans, is_ in walk.ways
            ]
    return [list(its) for its in zip(*rows, strict=True)]


# How a stroke is drawn, by the points that are drawn: where it begins, those of each segment from one up to
# another, and whether it is closed.
_Way = tuple[int, list[tuple[int, int]], bool]


def _sorts(ctrl: Array) -> NDArray[np.int8]:
    """What is drawn of each segment, (S, n)."""
    third = (ctrl[:, 3] - ctrl[:, 0]) / 3.0
    long = np.abs(ctrl - ctrl[:, :1]).max(axis=(1, 2)) > NO_LENGTH
    off_first = np.abs(ctrl[:, 1] - ctrl[:, 0] - third).max(axis=1)
    off_second = np.abs(ctrl[:, 3] - ctrl[:, 2] - third).max(axis=1)
    even = (off_first <= EVEN) & (off_second <= EVEN)
    return np.where(long, np.where(even, _STRAIGHT, _CUBIC), _POINT).astype(np.int8)


@dataclass(frozen=True, slots=True)
class _Walk:
    """Strokes as one body has them: `ways`; the numbers of the control points that are `drawn`; and for each
    step of the pen, by numbers of control points, where it stood (`pens`), where it was to go on (`starts`),
    and whether that was apart (`gaps`)."""

    ways: list[_Way]
    drawn: list[int]
    pens: list[int]
    starts: list[int]
    gaps: list[bool]


def _walks(
    ctrl: Array,
    sorts: NDArray[np.int8],
    points: Array,
    sizes: Sequence[int],
    closed: Sequence[bool],
) -> Iterator[tuple[_Walk, list[int]]]:
    """How the strokes are drawn, and which bodies have them so; every body once."""
    left = list(range(len(points)))
    while left:
        x, y = points[left[0]].tolist()
        walk = _walked(x, y, sorts[:, left[0]].tolist(), sizes, closed)
        alike = [left[0]] if len(left) == 1 else _drawn_so(ctrl, sorts, walk, left)
        yield walk, alike
        left = [i for i in left if i not in set(alike)] if len(alike) < len(left) else []


def _drawn_so(ctrl: Array, sorts: NDArray[np.int8], walk: _Walk, left: Sequence[int]) -> list[int]:
    """Which of some bodies have the same sorts of segments as the first, and the same gaps."""
    sorts, flat = sorts[:, left], ctrl.reshape(-1, *ctrl.shape[2:])[..., left]
    away = np.abs(flat[walk.starts] - flat[walk.pens])
    gaps = away[:, 0] + away[:, 1] > GAP
    same: Flags = (sorts == sorts[:, :1]).all(axis=0) & (gaps == np.array(walk.gaps)[:, None]).all(axis=0)
    return [i for i, so in zip(left, same.tolist(), strict=True) if so]


def _walked(
    x: Sequence[float], y: Sequence[float], sorts: Sequence[int], sizes: Sequence[int], closed: Sequence[bool]
) -> _Walk:
    """The strokes of one body, gone along with a pen."""
    walk = _Walk([], [], [], [], [])
    drawn = walk.drawn
    end = 0
    for size, is_closed in zip(sizes, closed, strict=True):
        first = pen = 4 * end
        begun = len(drawn)
        drawn.append(first)
        begin, end = end, end + size
        spans: list[tuple[int, int]] = []
        for number in range(begin, end + is_closed):
            start = first if number == end else 4 * number
            ax, ay, bx, by = x[pen], y[pen], x[start], y[start]
            gap = (ax != bx or ay != by) and abs(bx - ax) + abs(by - ay) > GAP
            walk.pens.append(pen)
            walk.starts.append(start)
            walk.gaps.append(gap)
            if gap:
                pen = start
                spans.append((len(drawn), len(drawn) + 1))
                drawn.append(pen)
            if number < end and sorts[number]:
                pen = start + 3
                at = len(drawn)
                drawn += (pen,) if sorts[number] == _STRAIGHT else (start + 1, start + 2, pen)
                spans.append((at, len(drawn)))
        walk.ways.append((begun, spans, is_closed))
    return walk


def _taken_together(rows: Sequence[Array], bodies: Ints) -> Array:
    """The control points of some bodies, of several paths one after another."""
    if all(ctrl.shape[-1] == 1 for ctrl in rows):
        return taken(np.concatenate(rows), bodies)
    return np.concatenate([taken(ctrl, bodies) for ctrl in rows])


def taken(ctrl: Array, bodies: Ints) -> Array:
    """The control points of some bodies; a path may be one and the same for all."""
    return ctrl.take(bodies if ctrl.shape[-1] > 1 else np.zeros_like(bodies), axis=-1)


def round_about(edges: Sequence[Stroke]) -> Stroke:
    """A closed stroke of others that follow each other round a piece."""
    first = at = edges[0].start
    segments: list[tuple[Point, ...]] = []
    for edge in edges:
        if _apart(at, edge.start):
            segments.append((edge.start,))
        segments += edge.segments
        at = edge.segments[-1][-1] if edge.segments else at
    if _apart(at, first):
        segments.append((first,))
    return Stroke(first, tuple(segments), True)


def _apart(a: Point, b: Point) -> bool:
    return abs(a[0] - b[0]) + abs(a[1] - b[1]) > GAP
