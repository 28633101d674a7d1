"""A springy ruler laid through marks: where it would run, and how far that is from the curve meant."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
import numpy.typing as npt

Floats: TypeAlias = npt.NDArray[np.float64]
LOOKS = 24  # places looked at from mark to mark


def laid_through(points: Floats, leaving: Floats, arriving: Floats) -> Floats:
    """Places (m, 2) on the cubic spline through points (k, 2), clamped to unit directions (2,) at its ends.

    The spline over the lengths of its chords bends least of all curves through the marks, as a thin spring
    does (C. de Boor, A Practical Guide to Splines, 1978, chapter 4). No two neighbours may coincide.
    """
    gaps = np.hypot(*np.diff(points, axis=0).T)
    slopes = np.diff(points, axis=0) / gaps[:, None]
    ways = _ways(gaps, slopes, leaving, arriving)
    t = (np.arange(LOOKS) / LOOKS)[None, :, None]
    rise = gaps[:, None, None]
    places = (
        (2 * t**3 - 3 * t**2 + 1) * points[:-1, None]
        + (t**3 - 2 * t**2 + t) * rise * ways[:-1, None]
        + (3 * t**2 - 2 * t**3) * points[1:, None]
        + (t**3 - t**2) * rise * ways[1:, None]
    )
    return np.concatenate([places.reshape(-1, 2), points[-1:]])


def _ways(gaps: Floats, slopes: Floats, leaving: Floats, arriving: Floats) -> Floats:
    """The direction of the spline at each mark, (k, 2): its bend runs on evenly through every one."""
    count = len(gaps) + 1
    matrix, right = np.eye(count), np.zeros((count, 2))
    right[0], right[-1] = leaving, arriving
    for i in range(1, count - 1):
        matrix[i, i - 1 : i + 2] = gaps[i], 2 * (gaps[i - 1] + gaps[i]), gaps[i - 1]
        right[i] = 3 * (gaps[i] * slopes[i - 1] + gaps[i - 1] * slopes[i])
    return np.asarray(np.linalg.solve(matrix, right), dtype=np.float64)


def strays(places: Floats, line: Floats) -> float:
    """How far (mm) the farthest of places (m, 2) lies from a line through points (k, 2)."""
    begin, along = line[:-1], np.diff(line, axis=0)
    square = np.maximum((along * along).sum(axis=1), 1e-30)
    off = places[:, None] - begin
    share = np.clip((off * along).sum(axis=2) / square, 0.0, 1.0)
    gap = off - share[..., None] * along
    return float(np.sqrt((gap * gap).sum(axis=2).min(axis=1)).max())
