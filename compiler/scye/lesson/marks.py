"""Marks for the curved ruler: places on a curve, measured along the straight between its ends and out."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from scye.geometry import path
from scye.ir.lesson import CurveMark
from scye.ir.pattern import Point
from scye.lesson.phrases import leaning
from scye.lesson.tape import Tape

FEWEST, MOST = 3, 11  # marks between the ends
FAR = 45.0  # mm along a curve from mark to mark, where it bends evenly
BEND = math.radians(12)  # and what it may turn between them
LOOKS = 240


def marks_of(line: path.Path, tape: Tape) -> tuple[CurveMark, ...]:
    """The marks of a curve (one body) between its two ends, closer where it bends more."""
    first, last = _corner(path.start(line)), _corner(path.end(line))
    chord = math.dist(first, last)
    if chord < 1e-6:
        return ()
    along = ((last[0] - first[0]) / chord, (last[1] - first[1]) / chord)
    out = (-along[1], along[0])
    return tuple(_mark(p, first, along, out, tape) for p in _chosen(line))


def ends_of(line: path.Path) -> tuple[Point, Point]:
    """The unit directions a curve leaves its start and arrives at its end in."""
    return _corner(path.start_tangent(line)), _corner(path.end_tangent(line))


def _mark(p: Point, first: Point, along: Point, out: Point, tape: Tape) -> CurveMark:
    dx, dy = p[0] - first[0], p[1] - first[1]
    far, off = dx * along[0] + dy * along[1], dx * out[0] + dy * out[1]
    side = 1.0 if off >= 0 else -1.0
    where, aside = tape.length(far), tape.length(off)
    away = tape.length(abs(off))
    if away.printed == 0:
        return CurveMark(where, aside, f"{where.text} along, on the straight")
    return CurveMark(where, aside, f"{where.text} along, {away.text} {leaning(out[0] * side, out[1] * side)}")


def _chosen(line: path.Path) -> Iterator[Point]:
    """Places spread so that from one to the next the curve neither runs far nor turns much."""
    whole = float(path.length(line)[0])
    found = path.locate(line, path.at_length(line, np.linspace(0.0, whole, LOOKS + 1)))
    points = [(float(x), float(y)) for x, y in found.T]
    cost = [0.0]
    ways = [math.atan2(b[1] - a[1], b[0] - a[0]) for a, b in pairwise(points)]
    for i in range(1, LOOKS + 1):
        turn = abs(math.remainder(ways[min(i, LOOKS - 1)] - ways[i - 1], math.tau))
        cost.append(cost[-1] + whole / LOOKS / FAR + turn / BEND)
    count = min(MOST, max(FEWEST, math.ceil(cost[-1]) - 1))
    for k in range(1, count + 1):
        target = cost[-1] * k / (count + 1)
        yield points[next(i for i, c in enumerate(cost) if c >= target)]


def _corner(point: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> Point:
    return float(point[0, 0]), float(point[1, 0])
