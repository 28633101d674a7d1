"""Paths as strokes of one body: no segments of no length, straights as straights, gaps closed."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scye.geometry.path import Path
from scye.ir.pattern import Point, Stroke

NO_LENGTH = 1e-6  # mm; a segment this short is not drawn
GAP = 0.06  # mm between two segments beyond which a straight closes it
EVEN = 1e-6  # mm within which a cubic is a straight

_POINT, _STRAIGHT, _CUBIC = 0, 1, 2


@dataclass(frozen=True, slots=True)
class _Looked:
    """A path whose segments were looked at for all bodies: what is drawn of each, `sorts` (S, n)."""

    path: Path
    sorts: NDArray[np.int8]

    def segments(self, i: int) -> Iterator[tuple[list[float], list[float], int]]:
        """The x and the y of a body's control points, and what is drawn of them."""
        at = min(i, self.path.ctrl.shape[-1] - 1)
        x, y = self.path.ctrl[:, :, 0, at].tolist(), self.path.ctrl[:, :, 1, at].tolist()
        return zip(x, y, self.sorts[:, at].tolist(), strict=True)


class Strokes:
    """The strokes of a batch's paths. A path is looked at once for all bodies, when the first is drawn."""

    def __init__(self) -> None:
        self._looked: dict[int, _Looked] = {}

    def of(self, paths: Sequence[Path], i: int, *, closed: bool) -> Stroke:
        """One body's paths as one stroke. A segment of no length that stands apart is gone through."""
        first: Point | None = None
        x = y = math.nan  # where the pen stands
        segments: list[tuple[Point, ...]] = []
        for path in paths:
            for (x0, x1, x2, x3), (y0, y1, y2, y3), sort in self._look(path).segments(i):
                if first is None:
                    first, x, y = (x0, y0), x0, y0
                elif abs(x0 - x) + abs(y0 - y) > GAP:
                    x, y = x0, y0
                    segments.append(((x, y),))
                if sort:
                    x, y = x3, y3
                    segments.append(((x, y),) if sort == _STRAIGHT else ((x1, y1), (x2, y2), (x, y)))
        assert first is not None
        if closed and abs(first[0] - x) + abs(first[1] - y) > GAP:
            segments.append((first,))
        return Stroke(first, tuple(segments), closed)

    def _look(self, path: Path) -> _Looked:
        looked = self._looked.get(id(path))
        if looked is None:
            looked = self._looked[id(path)] = _look(path)
        return looked


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


def _look(path: Path) -> _Looked:
    """What is drawn of each segment; the path is kept as well, so that no other can have its place."""
    ctrl = path.ctrl
    third = (ctrl[:, 3] - ctrl[:, 0]) / 3.0
    long = np.abs(ctrl - ctrl[:, :1]).max(axis=(1, 2)) > NO_LENGTH
    off_first = np.abs(ctrl[:, 1] - ctrl[:, 0] - third).max(axis=1)
    off_second = np.abs(ctrl[:, 3] - ctrl[:, 2] - third).max(axis=1)
    even = (off_first <= EVEN) & (off_second <= EVEN)
    sorts = np.where(long, np.where(even, _STRAIGHT, _CUBIC), _POINT).astype(np.int8)
    return _Looked(path, sorts)
