"""Marks for the curved ruler: places on a curve, measured along the straight between its ends and out."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np

from scye.geometry import path
from scye.ir.lesson import CurveMark
from scye.ir.pattern import Point
from scye.lesson.phrases import leaning
from scye.lesson.ruler import Floats, laid_through, strays
from scye.lesson.tape import Tape

FEWEST, MOST = 3, 24  # marks between the ends
STRAY = 0.02  # mm that the ruler through them may lie off the curve
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


def _chosen(line: path.Path) -> list[Point]:
    """Places spread so that from one to the next the curve neither runs far nor turns much, and so many that
    a ruler through them lies on it."""
    whole = float(path.length(line)[0])
    found = path.locate(line, path.at_length(line, np.linspace(0.0, whole, LOOKS + 1)))
    cost = _cost(found.T, whole)
    ways = [np.array(way) for way in ends_of(line)]
    count = min(MOST, max(FEWEST, math.ceil(cost[-1]) - 1))
    while True:
        targets = cost[-1] * np.arange(1, count + 1) / (count + 1)
        marks = found.T[np.searchsorted(cost, targets)]
        ruled = laid_through(np.concatenate([found.T[:1], marks, found.T[-1:]]), *ways)
        if count == MOST or strays(found.T, ruled) <= STRAY:
            return [(float(x), float(y)) for x, y in marks]
        count += 1


def _cost(points: Floats, whole: float) -> Floats:
    """What it costs a ruler to come to each of points (k, 2) that lie evenly on a curve `whole` mm long."""
    ways = [math.atan2(b[1] - a[1], b[0] - a[0]) for a, b in pairwise(points.tolist())]
    turns = [abs(math.remainder(b - a, math.tau)) for a, b in pairwise(ways)]
    steps = whole / LOOKS / FAR + np.array([*turns, 0.0]) / BEND
    return np.concatenate([[0.0], np.add.accumulate(steps)])


def _corner(point: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> Point:
    return float(point[0, 0]), float(point[1, 0])
