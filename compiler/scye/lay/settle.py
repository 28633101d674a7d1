"""Pieces pushed together: each slid towards the start of the cloth and across it until it meets another."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from scye.ir.pattern import Point
from scye.lay.flat import Ring

Places = NDArray[np.float64]
Flags = NDArray[np.bool_]

# mm left between pieces that have been slid together, far over the last bits of a float
SLACK = 0.001
# Rounds of sliding, and the mm of a round's slides that make another worth while.
ROUNDS = 12
WORTH = 0.1


def settled(rings: Sequence[Ring], at: Sequence[Point], on_fold: Sequence[bool]) -> tuple[Point, ...]:
    """Places of outlines slid to x = 0 and y = 0 as far as they go; what is on the fold stays on it.

    The outlines must not overlap as they are given, at their places; nor do they afterwards.
    """
    laid = [np.array(ring) + np.array(place) for ring, place in zip(rings, at, strict=True)]
    first = [ring[0].copy() for ring in laid]
    for _ in range(ROUNDS):
        total = 0.0
        for axis in (0, 1):
            for i in sorted(range(len(laid)), key=lambda k: (laid[k][:, axis].min(), k)):
                if axis == 1 and on_fold[i]:
                    continue
                slide = _room(laid, i, axis)
                if slide > SLACK:
                    laid[i][:, axis] -= slide - SLACK
                    total += slide
        if total < WORTH:
            break
    moved = [ring[0] - start for ring, start in zip(laid, first, strict=True)]
    return tuple((x + float(m[0]), y + float(m[1])) for (x, y), m in zip(at, moved, strict=True))


def _room(laid: list[Places], i: int, axis: int) -> float:
    """How far (mm) an outline can be slid down an axis before it meets another or the cloth's edge."""
    mine = laid[i] if axis == 0 else laid[i][:, ::-1]
    low, high = mine.min(axis=0), mine.max(axis=0)
    room = float(low[0])
    for j, ring in enumerate(laid):
        other = ring if axis == 0 else ring[:, ::-1]
        least, most = other.min(axis=0), other.max(axis=0)
        if j == i or most[1] < low[1] or least[1] > high[1] or least[0] > high[0] or low[0] - most[0] > room:
            continue
        room = min(room, _gap(mine, other), _gap(-other, -mine))
    return room


def _gap(points: Places, ring: Places) -> float:
    """The shortest way to the left from a vertex to a side of another outline; infinite if none is met."""
    a, b = ring, np.roll(ring, -1, axis=0)
    level = points[:, 1:2]
    rise = b[:, 1] - a[:, 1]
    flat = np.abs(rise) < 1e-12
    within = (np.minimum(a[:, 1], b[:, 1]) <= level) & (level <= np.maximum(a[:, 1], b[:, 1]))
    share = np.clip((level - a[:, 1]) / np.where(flat, 1.0, rise), 0.0, 1.0)
    x = np.where(flat, np.maximum(a[:, 0], b[:, 0]), a[:, 0] + share * (b[:, 0] - a[:, 0]))
    gaps = points[:, :1] - x
    # a little behind counts as touching: two slid together are a hair apart, give or take the last bits
    met: Flags = within & (gaps > -SLACK / 2)
    return float(np.maximum(gaps[met], 0.0).min()) if met.any() else np.inf
