"""How deep one piece lies in another, for every place of the one beside the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scye.lay.shapes import Strip

Depths = NDArray[np.float64]
Flags = NDArray[np.bool_]

TOUCH = 1e-9  # share of a step by which pieces that touch may seem to overlap


@dataclass(frozen=True, slots=True, eq=False)
class DepthMap:
    """Depths (mm, 0 where clear) by steps along and across from one piece to another.

    `depth[0, 0]` is for the other at (`along`, `across`) steps; outside of the array all is clear.
    """

    depth: Depths
    along: int
    across: int

    def at(self, along: int, across: int) -> float:
        i, j = along - self.along, across - self.across
        if 0 <= i < self.depth.shape[0] and 0 <= j < self.depth.shape[1]:
            return float(self.depth[i, j])
        return 0.0


def depth_map(one: Sequence[Strip], other: Sequence[Strip], breadth: float, step: float) -> DepthMap:
    """The depths for steps of `breadth` mm along, in which the strips were cut, and `step` mm across.

    The depth is the shortest way out, straight along or straight across. Strips take no less than the
    outline, so what is clear here is clear of the outline itself.
    """
    k1, low1, high1 = _columns(one)
    k2, low2, high2 = _columns(other)
    along = (k1[:, None] - k2[None, :]).ravel()
    first = np.floor((low1[:, None] - high2[None, :]) / step + TOUCH).astype(np.int64).ravel() + 1
    last = np.ceil((high1[:, None] - low2[None, :]) / step - TOUCH).astype(np.int64).ravel() - 1
    some = last >= first
    along, first, last = along[some], first[some], last[some]
    # a clear row and column all round, so that every way out ends in the array
    x0, y0 = int(along.min()) - 1, int(first.min()) - 1
    shape = (int(along.max()) - x0 + 2, int(last.max()) - y0 + 2)
    changes = np.zeros(shape, dtype=np.int64)
    np.add.at(changes, (along - x0, first - y0), 1)
    np.add.at(changes, (along - x0, last - y0 + 1), -1)
    blocked = np.cumsum(changes, axis=1) > 0
    depth = np.minimum(_way_out(blocked) * step, _way_out(blocked.T).T * breadth)
    return DepthMap(np.ascontiguousarray(depth), x0, y0)


def _columns(strips: Sequence[Strip]) -> tuple[NDArray[np.int64], Depths, Depths]:
    numbers, low, high = zip(*strips, strict=True)
    return np.array(numbers, dtype=np.int64), np.array(low), np.array(high)


def _way_out(blocked: Flags) -> Depths:
    """Steps along each row to the nearest clear cell, 0 where it is clear."""
    places = np.arange(blocked.shape[1])
    before = np.maximum.accumulate(np.where(blocked, -1, places), axis=1)
    after = np.minimum.accumulate(np.where(blocked, len(places), places)[:, ::-1], axis=1)[:, ::-1]
    steps: Depths = np.minimum(places - before, after - places).astype(np.float64)
    return steps
