"""Lines beside others at one distance, corners and all. mm; the last axis is bodies."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from scye.geometry.intersect import meet
from scye.geometry.offset import offset_paths
from scye.geometry.path import Path, end, end_tangent, extend, part, start, start_tangent
from scye.geometry.regularity import kinks
from scye.geometry.vector import Array, dot, norm, quarter_turn, quiet, row

KINK = 1e-3  # radians between two segments that are no longer one curve
REACH = 8.0  # times the distance that the lines are run on to meet at a corner: up to a turn of 165 degrees


def parallel_path(path: Path, distance: Array) -> tuple[Path, Array]:
    """The line (n bodies) that lies `distance` (n,) to the right of another as it runs, left for a negative.

    At a corner the lines on both sides are run on straight until they meet, or, on its inner side, cut off
    where they cross. Both ends lie square from the ends of the line.

    Also returns the least 1 - distance * curvature (n,): at 0 or below the line would loop back over itself.
    A body whose lines do not meet at a corner has NaN.
    """
    with quiet(all="ignore"):
        runs = list(_runs(path))
        beside = offset_paths(runs, [row(distance)] * len(runs))
        least = beside[0][1]
        for _, worst in beside[1:]:
            least = np.fmin(least, worst)
        lines = [line for line, _ in beside]
        if len(lines) == 1:
            return lines[0], least
        return _joined(lines, row(distance), runs), least


def _runs(path: Path) -> Iterator[Path]:
    """The path cut at its kinks."""
    turns = np.abs(kinks(path)) > KINK
    cuts = [0, *(np.flatnonzero(turns.any(axis=-1)) + 1), len(path.straight)]
    for first, last in pairwise(cuts):
        yield Path(path.ctrl[first:last], path.straight[first:last])


def _joined(lines: Sequence[Path], distance: Array, runs: Sequence[Path]) -> Path:
    longer = [extend(line, REACH * np.abs(distance) + 1.0) for line in lines]
    begins: list[Array] = [np.ones(1)]
    finishes: list[Array] = []
    for i, (a, b) in enumerate(pairwise(longer)):
        u, v = _corner(a, b, _mitre(runs[i], runs[i + 1], distance))
        finishes.append(u)
        begins.append(v)
    finishes.append(np.full(1, len(longer[-1].straight) - 1.0))
    pieces = [part(line, u, v) for line, u, v in zip(longer, begins, finishes, strict=True)]
    ctrl = [np.broadcast_to(piece.ctrl, (*piece.ctrl.shape[:-1], _most(pieces))) for piece in pieces]
    lost = np.logical_or.reduce(
        [np.broadcast_to(u > v, (_most(pieces),)) for u, v in zip(begins, finishes, strict=True)]
    )
    whole = np.where(lost, np.nan, np.concatenate(ctrl))
    return Path(whole, tuple(flag for piece in pieces for flag in piece.straight))


def _most(pieces: Sequence[Path]) -> int:
    return max(int(piece.ctrl.shape[-1]) for piece in pieces)


def _mitre(before: Path, after: Path, distance: Array) -> Array:
    """Where the straights beside a corner's two ways meet (2, n); its middle where it is no corner."""
    one, two = quarter_turn(end_tangent(before)), quarter_turn(start_tangent(after))
    place: Array = end(before) + distance * (one + two) / (1.0 + dot(one, two))
    return place + 0.0 * start(after)


def _corner(a: Path, b: Path, mitre: Array) -> tuple[Array, Array]:
    """Where two lines meet nearest to the mitre: how far along each (n,); NaN where they do not."""
    found = meet(a, b)
    if not len(found.u):
        nowhere = np.full(mitre.shape[-1], np.nan)
        return nowhere, nowhere
    away = norm(found.point - mitre)
    best = np.argmin(np.where(np.isnan(away), np.inf, away), axis=0)[None]
    u, v = (
        np.take_along_axis(x, np.broadcast_to(best, (1, x.shape[-1])), axis=0)[0] for x in (found.u, found.v)
    )
    return u, v
